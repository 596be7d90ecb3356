"""Planing: limits, identities and refusals; values stand in tests/published/water.csv."""

from dataclasses import replace
from itertools import pairwise
from math import cos, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import quad

from skimwright.base import InputError, ModelError
from skimwright.physics import planing

HULL = planing.Hull(weight=266893.0, beam=4.2672, deadrise=radians(10), balance=8.8392, height=0.6096)
SEA = planing.Water(speed=20.574, density=999.83, kinematic_viscosity=9.29e-7, roughness=0.0004)
LINE = planing.Thrust(arm=0.1524, rise=radians(4))


# Wave rise


def test_wave_rise_has_no_step_where_its_two_forms_meet():
    assert planing.wave_rise(still_ratio=1.0 - 1e-9) == pytest.approx(1.3, abs=1e-8)


@pytest.mark.parametrize("ratio", [0.0, 0.1, 0.9, 1.0, 1.3, 2.5, 4.0])
def test_wave_rise_goes_there_and_back_again(ratio):
    assert planing.still_ratio(wetted_ratio=planing.wave_rise(still_ratio=ratio)) == pytest.approx(
        ratio, abs=1e-12
    )


# The short plate, solved exactly


def test_lift_of_a_nearly_level_short_plate_is_pi_times_its_trim():
    for trim in (1e-7, 1e-4, 1e-3):
        assert planing.two_dimensional_lift(trim=trim) == pytest.approx(pi * trim, rel=2e-3 + 2 * trim)


def test_the_limit_of_no_trim_is_reached_without_a_step():
    below, above = 0.99e-5, 1.01e-5
    for law, power in ((planing.two_dimensional_lift, 1), (planing.spray_thickness_ratio, 2)):
        assert law(trim=above) / law(trim=below) == pytest.approx((above / below) ** power, rel=2e-4)


@pytest.mark.parametrize("degrees", [2, 6, 15, 30, 50])
def test_force_on_the_short_plate_is_the_momentum_its_spray_carries_off(degrees):
    """The sheet leaves along the plate at the boat's speed: force = density x U^2 x sheet x (1 + cos)/sin."""
    trim = radians(degrees)
    c, s = cos(trim), sin(trim)
    sheet = planing.spray_thickness_ratio(trim=trim)
    assert planing.two_dimensional_lift(trim=trim) == pytest.approx(2 * sheet * (1 + c) / s * c, rel=1e-12)
    # the same force by adding pressure up along the plate, in the plane of the water's speed u
    area, _ = quad(lambda u: 4 * (1 - u) ** 2 / ((u - c) ** 2 + s * s) ** 2, -1, 1, points=[c], limit=400)
    length = pi / ((1 + c) ** 2 * sheet)
    assert planing.two_dimensional_lift(trim=trim) == pytest.approx(area / length * c, rel=1e-8)


@pytest.mark.parametrize("degrees", [5, 15, 40])
def test_centre_of_the_short_plate_agrees_with_a_plain_double_sum(degrees):
    trim = radians(degrees)
    c, s = cos(trim), sin(trim)

    def along(u):
        return 4 * (1 - u) / ((1 + u) * ((u - c) ** 2 + s * s) ** 2)

    u = 1 - 2 * (1 - np.linspace(0, 1, 400_001)[:-1] ** 2) ** 2  # crowded at both ends
    u = np.unique(u[u > -1])
    step = np.diff(u)
    place = np.append(np.cumsum((0.5 * step * (along(u[1:]) + along(u[:-1])))[::-1])[::-1], 0.0)
    push = along(u) * (1 - u * u)
    force = np.sum(0.5 * step * (push[1:] + push[:-1]))
    moment = np.sum(0.5 * step * ((push * place)[1:] + (push * place)[:-1]))
    length = pi / ((1 + c) ** 2 * planing.spray_thickness_ratio(trim=trim))
    assert planing.two_dimensional_centre(trim=trim) == pytest.approx(moment / force / length, abs=2e-4)


def test_centre_of_the_short_plate_starts_at_three_quarters_like_an_aerofoils():
    assert planing.two_dimensional_centre(trim=0.0) == 0.75
    assert planing.two_dimensional_centre(trim=radians(0.05)) == pytest.approx(0.75, abs=1e-3)


def test_centre_of_the_short_plate_brackets_what_plates_in_a_tank_gave():
    """tn2981_cp: Weinstein & Kapryan 1953, NACA TN 2981 (quoted second-hand), 0.71 at the lower trims, +-0.03."""
    for degrees in (2, 4, 6, 8, 10):
        assert planing.two_dimensional_centre(trim=radians(degrees)) == pytest.approx(0.71, abs=0.03)
    assert planing.two_dimensional_centre(trim=radians(20)) != pytest.approx(0.71, abs=0.03)


@pytest.mark.parametrize("trim", [-0.01, 0.5 * pi, float("nan")])
def test_a_plate_bow_down_or_upright_does_not_plane(trim):
    for law in (
        planing.two_dimensional_lift,
        planing.two_dimensional_centre,
        planing.spray_thickness_ratio,
    ):
        with pytest.raises(InputError, match="bow up"):
            law(trim=trim)


# Savitsky's laws


def test_above_a_speed_coefficient_of_ten_speed_drops_out():
    """Savitsky 1964, text: gravity drops out above Cv of about 10."""
    slow, fast = (
        planing.flat_lift(trim=radians(4), wetted_ratio=1.0, speed_coefficient=cv) for cv in (10, 40)
    )
    assert slow == pytest.approx(fast, rel=0.01)


def test_at_a_speed_coefficient_of_one_the_plate_carries_about_its_buoyancy():
    """Savitsky 1964, text: about equal at Cv = 1, less between 0.6 and 1."""
    trim, beam, density = radians(6), 0.3, 1000.0

    def parts(cv, ratio):
        speed = cv * sqrt(planing.GRAVITY * beam)
        law = planing.flat_lift(trim=trim, wetted_ratio=ratio, speed_coefficient=cv)
        afloat = planing.static_lift(trim=trim, wetted_ratio=ratio, beam=beam, density=density)
        return 0.5 * density * speed**2 * beam**2 * law, afloat

    carried, buoyancy = parts(1.0, 3.0)
    assert carried == pytest.approx(buoyancy, rel=0.15)
    carried, buoyancy = parts(0.6, 3.0)
    assert carried < buoyancy


def test_a_vee_without_deadrise_is_a_flat_plate():
    assert planing.vee_lift(flat_lift=0.07, deadrise=0.0) == 0.07
    assert planing.flat_lift_under_vee(vee_lift=0.07, deadrise=0.0) == pytest.approx(0.07)


@pytest.mark.parametrize("lift", [0.002, 0.05, 0.4])
@pytest.mark.parametrize("degrees", [1, 10, 30])
def test_the_vee_law_goes_there_and_back_again(lift, degrees):
    flat = planing.flat_lift_under_vee(vee_lift=lift, deadrise=radians(degrees))
    assert planing.vee_lift(flat_lift=flat, deadrise=radians(degrees)) == pytest.approx(lift, rel=1e-9)


def test_a_lightly_loaded_steep_vee_carries_nothing_rather_than_less():
    assert planing.vee_lift(flat_lift=0.001, deadrise=radians(30)) == 0.0


def test_a_vee_as_steep_as_a_wall_is_refused():
    with pytest.raises(InputError, match="flatter"):
        planing.flat_lift_under_vee(vee_lift=0.05, deadrise=pi)


def test_centre_of_pressure_runs_from_a_third_to_three_quarters():
    """Savitsky 1964: 0.33 of the wetted length for buoyancy, 0.75 for the dynamic part."""
    slow = planing.flat_centre(wetted_ratio=4.0, speed_coefficient=0.01)
    fast = planing.flat_centre(wetted_ratio=0.5, speed_coefficient=50.0)
    assert slow == pytest.approx(1 / 3, abs=0.005)
    assert fast == pytest.approx(0.75, abs=1e-4)


def test_keel_and_chine_are_alike_on_a_flat_bottom():
    keel, chine = planing.keel_and_chine(trim=0.1, deadrise=0.0, beam=0.08, wetted_ratio=2.0)
    assert keel == chine == 0.16


def test_a_flat_bottom_has_no_whisker_spray_to_ask_for():
    with pytest.raises(InputError, match="Deadrise"):
        planing.added_spray_ratio(trim=0.07, deadrise=0.0)


def test_the_bottom_speed_never_runs_out():
    assert planing.bottom_speed_ratio(trim=radians(15), wetted_ratio=1e-4) == 0.5


@pytest.mark.parametrize("bad", [{"trim": -0.01}, {"wetted_ratio": -0.1}, {"speed_coefficient": 0.0}])
@pytest.mark.parametrize("law", [planing.flat_lift, planing.pad_lift, planing.second_lift])
def test_lift_of_what_cannot_be_is_refused(law, bad):
    with pytest.raises(InputError):
        law(**{"trim": 0.07, "wetted_ratio": 1.0, "speed_coefficient": 5.0, **bad})


# The whole boat on one bottom


@pytest.mark.parametrize("rise, slack", [(0.0, 1e-12), (4.0, 0.004)])
@pytest.mark.parametrize("degrees", [2.0, 2.3, 3.5])
def test_the_one_equation_form_follows_from_the_three_it_was_made_from(degrees, rise, slack):
    """Eqs 29 and 30 solved for thrust and normal force, put into 31; exact while the thrust follows the keel."""
    run = planing.running_at(trim=radians(degrees), hull=HULL, water=SEA)
    tau, eps, rub = run.trim, radians(rise), run.friction_drag
    forces = np.array([[cos(tau), sin(tau + eps)], [-sin(tau), cos(tau + eps)]])
    normal, thrust = np.linalg.solve(forces, [HULL.weight + rub * sin(tau), rub * cos(tau)])
    a, c = HULL.height - 0.25 * HULL.beam * tan(HULL.deadrise), HULL.balance - run.centre
    moment = normal * c + rub * a - thrust * LINE.arm
    line = planing.Thrust(arm=LINE.arm, rise=eps)
    ours = planing.pitch_residual(running=run, hull=HULL, thrust=line)
    assert ours == pytest.approx(moment, abs=slack * HULL.weight * HULL.beam)


def test_at_equilibrium_nothing_is_left_over_and_the_load_is_carried():
    run = planing.equilibrium(hull=HULL, water=SEA, thrust=LINE)
    assert planing.pitch_residual(running=run, hull=HULL, thrust=LINE) == pytest.approx(0.0, abs=1e-3)
    cv = SEA.speed / sqrt(SEA.gravity * HULL.beam)
    flat = planing.flat_lift(trim=run.trim, wetted_ratio=run.wetted_ratio, speed_coefficient=cv)
    lift = planing.vee_lift(flat_lift=flat, deadrise=HULL.deadrise)
    assert 0.5 * SEA.density * SEA.speed**2 * HULL.beam**2 * lift == pytest.approx(HULL.weight, rel=1e-9)


def test_moving_the_weight_forward_lowers_the_bow():
    aft, forward = (
        planing.equilibrium(hull=replace(HULL, balance=place), water=SEA, thrust=LINE) for place in (8.0, 9.5)
    )
    assert forward.trim < aft.trim


def test_a_boat_balanced_behind_its_transom_has_no_even_trim():
    with pytest.raises(ModelError, match="Move the weight"):
        planing.equilibrium(hull=replace(HULL, balance=-1.0), water=SEA, thrust=LINE)


# The pad's law


@pytest.mark.parametrize("degrees", [2, 4, 6, 8, 12, 20])
def test_no_pad_carries_more_than_the_exact_limit_while_it_is_short(degrees):
    for ratio in (1e-4, 0.01, 0.08, 0.3, 0.5):
        lift = planing.pad_dynamic_lift(trim=radians(degrees), wetted_ratio=ratio)
        limit = ratio * planing.two_dimensional_lift(trim=min(radians(degrees), planing.STEEPEST))
        assert 0 < lift <= limit


def test_savitskys_own_law_breaks_that_limit_where_the_reference_says():
    """At trim 4 below a ratio of about 0.08: the reason for a law of our own."""
    trim = radians(4)
    limit = planing.two_dimensional_lift(trim=trim)
    assert planing.dynamic_lift(trim=trim, wetted_ratio=0.07) > 0.07 * limit
    assert planing.dynamic_lift(trim=trim, wetted_ratio=0.09) < 0.09 * limit


@pytest.mark.parametrize("degrees", [2, 4, 6, 8])
def test_from_half_a_beam_up_the_pads_law_is_savitskys(degrees):
    for ratio in (0.5, 0.6, 0.8, 1.0, 2.0, 4.0):
        pose = {"trim": radians(degrees), "wetted_ratio": ratio, "speed_coefficient": 12.0}
        assert planing.pad_lift(**pose) == pytest.approx(planing.flat_lift(**pose), rel=1e-3)


@pytest.mark.parametrize("degrees", [1, 4, 8, 10, 15, 30])
def test_the_pads_law_neither_jumps_nor_falls_as_it_gets_wetter(degrees):
    ratios = [0.001 * n for n in range(0, 2001)]
    lifts = [planing.pad_dynamic_lift(trim=radians(degrees), wetted_ratio=r) for r in ratios]
    for (before, after), ratio in zip(pairwise(lifts), ratios[1:], strict=True):
        assert before < after, ratio
        assert after - before < 0.02 * lifts[-1], ratio


def test_a_dry_pad_carries_nothing():
    assert planing.pad_lift(trim=0.07, wetted_ratio=0.0, speed_coefficient=10.0) == 0.0


def test_the_pads_centre_has_both_its_ends():
    trim = radians(6)
    short = planing.pad_centre(trim=trim, wetted_ratio=1e-9, speed_coefficient=20.0)
    assert short == pytest.approx(planing.two_dimensional_centre(trim=trim), abs=1e-6)
    for ratio in (0.5, 1.0, 3.0):
        assert planing.pad_centre(
            trim=trim, wetted_ratio=ratio, speed_coefficient=20.0
        ) == planing.flat_centre(wetted_ratio=ratio, speed_coefficient=20.0)


def test_a_slow_wet_pad_keeps_savitskys_centre_when_that_lies_further_back():
    pose = {"wetted_ratio": 0.4, "speed_coefficient": 0.3}
    assert planing.pad_centre(trim=radians(2), **pose) == planing.flat_centre(**pose)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.0, 3.0, 4.0])
@pytest.mark.parametrize("degrees", [2, 4, 8])
def test_two_published_laws_agree_within_sixteen_per_cent(degrees, ratio):
    """The only use of the second law; its form is from memory, so this holds it and not the other way round."""
    pose = {"trim": radians(degrees), "wetted_ratio": ratio, "speed_coefficient": 20.0}
    assert planing.second_lift(**pose) == pytest.approx(planing.flat_lift(**pose), rel=0.165)


@pytest.mark.parametrize("ratio", [0.02, 0.2, 0.7, 3.0])
def test_the_band_holds_both_laws(ratio):
    pose = {"trim": radians(5), "wetted_ratio": ratio, "speed_coefficient": 15.0}
    low, high = planing.lift_band(**pose)
    assert low < planing.pad_lift(**pose) < high
    assert low <= planing.second_lift(**pose) <= high


@pytest.mark.parametrize("law", ["pad", "flat", "second"])
def test_wetted_length_undoes_every_lift_law(law):
    laws = {"pad": planing.pad_lift, "flat": planing.flat_lift, "second": planing.second_lift}
    for ratio in (0.003, 0.2, 0.7, 3.0):
        pose = {"trim": radians(5), "speed_coefficient": 9.0}
        lift = laws[law](wetted_ratio=ratio, **pose)
        assert planing.wetted_ratio_for(lift=lift, law=law, **pose) == pytest.approx(ratio, rel=1e-9)


def test_no_load_wets_nothing_and_a_mountain_is_refused():
    assert planing.wetted_ratio_for(lift=0.0, trim=0.07, speed_coefficient=5.0) == 0.0
    with pytest.raises(ModelError, match="more trim"):
        planing.wetted_ratio_for(lift=1e9, trim=0.01, speed_coefficient=50.0)


# A pad under its load: 25 mm square, 0.9 N, 10 m/s, 4 deg, water of 15 °C, worked by hand in the docs


def _ride(**changes):
    pad = {
        "load": 0.9,
        "trim": radians(4),
        "beam": 0.025,
        "length": 0.025,
        "speed": 10.0,
        "density": 999.1026,
        "kinematic_viscosity": 1.138589e-6,
    }
    return planing.pad_ride(**{**pad, **changes})


def test_the_worked_pad_drags_what_the_docs_say():
    smooth, rough = _ride(turbulence=0.0), _ride(turbulence=1.0)
    assert smooth.pressure_drag == pytest.approx(0.0629, abs=0.0005)
    assert smooth.friction_drag == pytest.approx(0.045, abs=0.003)
    assert rough.friction_drag == pytest.approx(0.0815, abs=0.0065)
    assert smooth.wetted_ratio == pytest.approx(0.273, abs=0.001)  # Savitsky's own, printed beside it


def test_a_pad_at_half_a_beam_sits_as_deep_as_geometry_says():
    """Still ratio 0.5, 25 mm, 4 deg: 0.5 x 25 x sin 4 = 0.87 mm."""
    lift = planing.pad_lift(trim=radians(4), wetted_ratio=0.725, speed_coefficient=20.196)
    ride = _ride(load=lift * 0.5 * 999.1026 * 100 * 0.025**2)
    assert ride.immersion == pytest.approx(0.87e-3, abs=0.01e-3)


def test_a_pad_asked_for_too_much_hands_the_rest_on():
    ride = _ride(load=5.0)
    assert ride.wetted_length == pytest.approx(0.025)
    assert ride.carried + ride.spilled == pytest.approx(5.0)
    assert ride.spilled > 0
    assert _ride().spilled == 0.0


def test_one_degree_of_pad_angle_moves_the_drag_as_the_docs_say():
    steps = _ride(trim=radians(5)).pressure_drag - _ride(trim=radians(4)).pressure_drag
    assert steps == pytest.approx(0.016, abs=0.0005)


def test_the_envelope_names_number_and_range():
    assert planing.envelope(trim=radians(5), wetted_ratio=0.7, speed_coefficient=12.0) == ()
    found = planing.envelope(trim=radians(1), wetted_ratio=0.1, speed_coefficient=40.0, deadrise=radians(40))
    assert [f.code for f in found] == [
        "planing-trim",
        "planing-wetted",
        "planing-speed",
        "planing-deadrise",
    ]
    assert "0.1; the model was checked from 0.5 to 4" in found[1].what


# What is a choice of ours is held word for word


def test_a_short_pad_carries_the_limit_times_its_share_of_an_endless_strip():
    """Aspect/(aspect + 2) with aspect = beam over wet length: docs/physics/planing.md, section 3."""
    for ratio in (0.01, 0.1):
        aspect = 1 / ratio
        limit = ratio * planing.two_dimensional_lift(trim=radians(4)) * aspect / (aspect + 2)
        assert planing.pad_dynamic_lift(trim=radians(4), wetted_ratio=ratio) == pytest.approx(limit)


@pytest.mark.parametrize("ratio, error", [(0.05, 0.60), (0.3, 0.30), (0.8, 0.15)])
def test_the_band_is_as_wide_as_the_stated_error_at_least(ratio, error):
    pose = {"trim": radians(4), "wetted_ratio": ratio, "speed_coefficient": 20.0}
    low, high = planing.lift_band(**pose)
    best = planing.pad_lift(**pose)
    assert low <= (1 - error) * best * 1.0001
    assert high == pytest.approx((1 + error) * best, rel=1e-9)


def test_the_wedge_of_buoyancy_ends_where_the_risen_water_does():
    """Savitsky 1964, eq. 11: (lam - 0.30)^2, half density g b^3 tan(trim)."""
    pose = {"trim": radians(45), "beam": 1.0, "density": 2.0, "gravity": 1.0}
    assert planing.static_lift(wetted_ratio=0.30, **pose) == 0.0
    assert planing.static_lift(wetted_ratio=1.30, **pose) == pytest.approx(1.0)


def test_the_shortcut_carries_the_load_too():
    run = planing.balance_through_centre(hull=HULL, water=SEA)
    cv = SEA.speed / sqrt(SEA.gravity * HULL.beam)
    flat = planing.flat_lift(trim=run.trim, wetted_ratio=run.wetted_ratio, speed_coefficient=cv)
    assert flat == pytest.approx(run.flat_lift, rel=1e-12)
    assert run.centre == pytest.approx(HULL.balance, rel=1e-9)
