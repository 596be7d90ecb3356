"""Each short law beside the documented function it stands for, over the range the runs meet."""

import itertools
import math

import numpy as np
import pytest
from numba import njit
from scipy.integrate import quad

from skimwright.boat import running_form
from skimwright.physics import blade, friction, hump, planing, plate, tunnel
from skimwright.run import forces, laws, setup

DEGREE = math.pi / 180.0


@njit(error_model="numpy", cache=True)
def lifts(angles, trims, ratios, speeds, dynamic, gravity, centre):
    for i in range(len(angles)):
        dynamic[i], gravity[i] = laws.lift_coefficient(angles[i], trims[i], ratios[i], speeds[i])
        centre[i] = laws.pressure_centre(angles[i], ratios[i], speeds[i])


@njit(error_model="numpy", cache=True)
def of_one_number(xs, out):
    for i in range(len(xs)):
        x = xs[i]
        out[0, i], out[1, i], out[2, i] = laws.wave_rise(x), laws.hump_share(x), laws.wave_drag_ratio(x, 0.2)
        out[3, i] = laws.blade_slope(x)


@njit(error_model="numpy", cache=True)
def of_an_angle(angles, slope, out):
    for i in range(len(angles)):
        a = angles[i]
        out[0, i], out[1, i] = laws.two_dimensional_lift(a), laws.two_dimensional_centre(a)
        out[2, i] = laws.plate_normal(math.sin(a), math.cos(a), slope)
        out[3, i] = laws.plate_centre(math.sin(a), math.cos(a))


@njit(error_model="numpy", cache=True)
def frictions(reynolds, mix, out):
    for i in range(len(reynolds)):
        out[i] = laws.friction_coefficient(reynolds[i], mix)


@njit(error_model="numpy", cache=True)
def chord(rear, front, length):
    return laws.wet_chord(rear, front, length)


def lifted(poses):
    angles, trims, ratios, speeds = (np.ascontiguousarray(column) for column in np.array(poses).T)
    dynamic, gravity, centre = (np.full(len(poses), np.nan) for _ in range(3))
    lifts(angles, trims, ratios, speeds, dynamic, gravity, centre)
    return dynamic, gravity, centre


POSES = [
    (trim * DEGREE, trim * DEGREE, ratio, speed)
    for trim, ratio, speed in itertools.product(
        (0.2, 1, 2, 3.3, 4, 6, 8, 11, 15, 20, 30), (0.003, 0.02, 0.1, 0.3, 0.499, 0.51, 0.75, 1, 2, 4),
        (1.0, 2.5, 4, 10, 25, 40),
    )
]  # fmt: skip


def test_lift_is_the_pads_lift_law_within_half_a_per_cent():
    dynamic, gravity, _ = lifted(POSES)
    for pose, found in zip(POSES, dynamic + gravity, strict=True):
        _, trim, ratio, speed = pose
        expected = planing.pad_lift(trim=trim, wetted_ratio=ratio, speed_coefficient=speed)
        assert found == pytest.approx(expected, rel=0.005), pose


def test_lift_where_savitsky_holds_is_his_to_seven_digits():
    poses = [p for p in POSES if p[2] >= 0.5 and p[0] <= 8.5 * DEGREE]
    dynamic, gravity, _ = lifted(poses)
    for pose, found in zip(poses, dynamic + gravity, strict=True):
        _, trim, ratio, speed = pose
        assert found == pytest.approx(
            planing.flat_lift(trim=trim, wetted_ratio=ratio, speed_coefficient=speed), rel=2e-3
        )
        if ratio >= 1.0:
            assert found == pytest.approx(
                planing.flat_lift(trim=trim, wetted_ratio=ratio, speed_coefficient=speed), rel=1e-7
            )


@pytest.mark.parametrize("trim", [2, 6, 10, 15])
def test_lift_has_no_jump_as_the_plate_gets_longer(trim):
    ratios = np.linspace(1e-4, 2.0, 4001)
    dynamic, gravity, _ = lifted([(trim * DEGREE, trim * DEGREE, ratio, 5.0) for ratio in ratios])
    rise = np.diff(dynamic + gravity)
    # nowhere steeper than the two-dimensional limit, which is the steepest a plate can be
    assert rise.max() < 1.02 * (ratios[1] - ratios[0]) * planing.two_dimensional_lift(trim=trim * DEGREE)
    assert rise.min() > -1e-9


def test_a_dry_plate_lifts_nothing():
    dynamic, gravity, _ = lifted([(0.1, 0.1, 0.0, 5.0), (0.1, 0.1, -0.2, 5.0)])
    assert (dynamic == 0.0).all()
    assert (gravity == 0.0).all()


def test_the_place_of_lift_is_the_pads_within_a_hundredth():
    poses = [p for p in POSES if p[1] >= 1 * DEGREE]
    centre = lifted(poses)[2]
    for pose, found in zip(poses, centre, strict=True):
        _, trim, ratio, speed = pose
        expected = planing.pad_centre(trim=trim, wetted_ratio=ratio, speed_coefficient=speed)
        assert found == pytest.approx(expected, abs=0.005), pose


def test_the_short_plate_is_the_exact_one_within_half_a_per_cent_from_1_to_20_degrees():
    angles = np.arange(1.0, 20.01, 0.5) * DEGREE
    out = np.zeros((4, len(angles)))
    of_an_angle(angles, 1.5, out)
    exact = [planing.two_dimensional_lift(trim=a) for a in angles]
    np.testing.assert_allclose(out[0], exact, rtol=0.005)
    centres = [planing.two_dimensional_centre(trim=a) for a in angles]
    np.testing.assert_allclose(out[1], centres, atol=0.003)


@pytest.mark.parametrize("aspect", [0.35, 1.0, 2.2])
def test_a_plate_in_the_air_is_the_documented_one_at_every_angle(aspect):
    angles = np.linspace(-math.pi / 2, math.pi / 2, 181)
    out = np.zeros((4, len(angles)))
    of_an_angle(angles, plate.lift_slope(aspect_ratio=aspect), out)
    np.testing.assert_allclose(
        out[2], [plate.normal_force(angle=a, aspect_ratio=aspect) for a in angles], rtol=1e-13, atol=1e-15
    )
    np.testing.assert_allclose(out[3], [plate.centre_of_pressure(angle=a) for a in angles], rtol=1e-13)


def test_wave_rise_hump_and_blade_are_the_documented_ones():
    xs = np.concatenate([np.linspace(0.001, 4.0, 700), [0.4, 0.45, 1.0]])
    out = np.zeros((4, len(xs)))
    of_one_number(xs, out)
    np.testing.assert_allclose(out[0], [planing.wave_rise(still_ratio=x) for x in xs], rtol=1e-13)
    np.testing.assert_allclose(out[1], [hump.planing_share(length_froude=x) for x in xs], atol=1e-13)
    wave = [hump.residuary_ratio(length_froude=x, strength=0.2) for x in xs]
    np.testing.assert_allclose(out[2], wave, rtol=1e-12)
    np.testing.assert_allclose(out[3], [blade.lift_slope(aspect=x) for x in xs], rtol=1e-13)


@pytest.mark.parametrize("mix", [0.0, 0.3, 0.5, 1.0])
def test_friction_is_the_documented_mixture_to_eight_digits(mix):
    reynolds = np.geomspace(10.0, 5e6, 400)
    out = np.zeros(len(reynolds))
    frictions(reynolds, mix, out)
    expected = [friction.mixed(reynolds=r, turbulence=mix) for r in reynolds]
    np.testing.assert_allclose(out, expected, rtol=1e-8)


@pytest.mark.parametrize(
    "rear, front, length",
    [
        (0.01, 0.01, 0.3), (0.02, 0.001, 0.2), (0.01, -0.02, 0.25), (-0.01, 0.02, 0.25), (-0.01, -0.001, 0.2),
        (0.0, 0.01, 0.1), (0.01, 0.0, 0.1), (1e-9, -0.3, 0.3), (0.004, 0.004 + 1e-14, 0.07),
    ],
)  # fmt: skip
def test_a_wet_chord_is_what_numerical_integration_finds(rear, front, length):
    def depth(s):
        return max(rear + (front - rear) * s / length, 0.0)

    wet, start, area, moment = chord(rear, front, length)
    zero = [length * rear / (rear - front)] if rear * front < 0 else None
    assert area == pytest.approx(quad(depth, 0, length, points=zero)[0], rel=1e-9, abs=1e-15)
    assert moment == pytest.approx(
        quad(lambda s: s * depth(s), 0, length, points=zero)[0], rel=1e-9, abs=1e-16
    )
    under = [s for s in np.linspace(0, length, 2001) if depth(s) > 0]
    assert wet == pytest.approx(under[-1] - under[0] if under else 0.0, abs=length / 900)
    if wet > 0:
        assert start == pytest.approx(under[0], abs=length / 900)


# ------------------------------------------------------------------------------------------------ tunnel table


@njit(error_model="numpy", cache=True)
def table_at(table, gaps, trims, scene, out):
    for i in range(len(gaps)):
        out[i] = forces._tunnel_at(table, gaps[i], trims[i], scene)


@pytest.fixture(scope="module", params=["fold-50", "fold-62", "fold-74"])
def roof_and_scene(request, kits, devices):
    from skimwright.pond import Conditions

    form = running_form(kits[request.param])
    made = setup.scene(form, device=devices["whirr-5"], conditions=Conditions(), gate_distance=30.48)
    return form.tunnel, made


def marched(roof, gap, trim):
    """Lift area and its distance ahead of the roof's rear edge, pose by pose."""
    rise = gap + (roof.stations[-1] - roof.stations) * math.sin(trim)
    clear = rise + (roof.roof - roof.roof[-1]) * math.cos(trim)
    side = np.minimum(rise + (roof.wall - roof.roof[-1]) * math.cos(trim), clear)
    area, moment = tunnel.channel_lift(stations=roof.stations, gap=clear, side_gap=side, width=roof.width)
    return area, roof.stations[-1] * area - moment


def looked_up(scene, gaps, trims):
    area, arm = np.zeros(len(gaps)), np.zeros(len(gaps))
    table_at(scene.tunnel_lift, gaps, trims, scene, area)
    table_at(scene.tunnel_arm, gaps, trims, scene, arm)
    return area, arm


def test_the_tunnel_table_is_the_march_at_its_own_points(roof_and_scene):
    roof, scene = roof_and_scene
    gaps = np.array([setup.REAR_GAPS[i] for i in (1, 3, 6, 12)])
    trims = np.array([setup.TRIMS[j] for j in (7, 9, 10, 13)])
    area, arm = looked_up(scene, gaps, trims)
    for i in range(len(gaps)):
        exact, moment = marched(roof, gaps[i], trims[i])
        assert area[i] == pytest.approx(exact, rel=1e-9)
        assert area[i] * arm[i] == pytest.approx(moment, rel=1e-9)


@pytest.mark.parametrize(
    "low, high, worst", [(0.0015, 0.0065, 0.027), (0.0065, 0.02, 0.007), (0.02, 0.08, 0.001)]
)
def test_between_its_points_the_tunnel_table_is_close_to_the_march(roof_and_scene, low, high, worst):
    # Lift coefficients there are 0.3, 0.17 and 0.05: the first 5 mm are the coarse ones.
    roof, scene = roof_and_scene
    rng = np.random.default_rng(7)
    gaps, trims = rng.uniform(low, high, 200), rng.uniform(0.3, 9.0, 200) * DEGREE
    area, arm = looked_up(scene, gaps, trims)
    exact = np.array([marched(roof, g, t) for g, t in zip(gaps, trims, strict=True)])
    assert np.abs(area - exact[:, 0]).max() < worst * roof.width * (roof.stations[-1] - roof.stations[0])
    np.testing.assert_allclose(arm, exact[:, 1] / exact[:, 0], atol=0.002)


def test_outside_its_range_the_tunnel_table_keeps_its_edge_value(roof_and_scene):
    _, scene = roof_and_scene
    edge = looked_up(scene, np.array([0.0015, 0.1515]), np.array([0.02, 0.02]))[0]
    beyond = looked_up(scene, np.array([-0.5, 3.0]), np.array([0.02, 0.02]))[0]
    np.testing.assert_allclose(beyond, edge, rtol=2e-3)
    assert (looked_up(scene, np.array([0.02, 0.02]), np.array([-2.0, 2.0]))[0] < math.inf).all()
