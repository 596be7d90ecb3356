"""The air trap: two methods agree, limits hold, and no pose breaks the march."""

import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from skimwright.base import InputError
from skimwright.physics import tunnel

RATIOS = (0.1, 0.3, 0.5, 0.7, 0.9, 0.97, 0.985, 0.999)


def by_quadrature(r):
    """Lift and centre of a flat roof of unit entry gap and length, straight from the channel law."""

    def pressure(x):
        return 1 - (r / (1 - (1 - r) * x)) ** 2

    lift = quad(pressure, 0, 1, epsabs=1e-14)[0]
    return lift, quad(lambda x: x * pressure(x), 0, 1, epsabs=1e-14)[0] / lift


@pytest.mark.parametrize("r", RATIOS)
def test_closed_forms_are_the_integral_of_the_channel_law(r):
    lift, centre = by_quadrature(r)
    assert tunnel.roof_lift(exit_gap=r, entry_gap=1.0) == pytest.approx(lift, abs=1e-12)
    assert tunnel.roof_centre(exit_gap=r, entry_gap=1.0) == pytest.approx(centre, abs=1e-7)


def test_centre_runs_from_a_third_to_a_half():
    assert tunnel.roof_centre(exit_gap=1.0, entry_gap=1.0) == pytest.approx(1 / 3, abs=1e-12)
    assert tunnel.roof_centre(exit_gap=1e-6, entry_gap=1.0) == pytest.approx(0.5, abs=1e-5)


@pytest.mark.parametrize("call", [tunnel.roof_centre, tunnel.aerodynamic_centre])
def test_series_joins_the_closed_form_without_a_step(call):
    below, above = (call(exit_gap=r, entry_gap=1.0) for r in (0.98 - 1e-9, 0.98 + 1e-9))
    assert below == pytest.approx(above, abs=2e-6)


@pytest.mark.parametrize("r", (0.3, 0.5, 0.7, 0.9))
def test_centre_in_height_and_centre_in_pitch_coincide(r):
    """The published-table row wig_neutral: a flat roof neither steadies nor upsets the ride height."""

    def moment(exit_gap, entry_gap):
        lift = tunnel.roof_lift(exit_gap=exit_gap, entry_gap=entry_gap)
        return lift, lift * tunnel.roof_centre(exit_gap=exit_gap, entry_gap=entry_gap)

    step = 1e-6

    def centre(up_rear, up_front):
        plus = moment(r + step * up_rear, 1 + step * up_front)
        minus = moment(r - step * up_rear, 1 - step * up_front)
        return (plus[1] - minus[1]) / (plus[0] - minus[0])

    in_height, in_pitch = centre(1, 1), centre(0, 1)
    assert in_height == pytest.approx(in_pitch, abs=1e-6)
    assert in_height == pytest.approx(tunnel.aerodynamic_centre(exit_gap=r, entry_gap=1.0), abs=1e-5)


def test_slopes_are_the_differences_of_the_lift():
    rear, front, step = 0.03, 0.06, 1e-7
    lower = tunnel.roof_lift(exit_gap=rear, entry_gap=front)
    with_height, with_drop = tunnel.lift_slopes(exit_gap=rear, entry_gap=front)
    raised = tunnel.roof_lift(exit_gap=rear + step, entry_gap=front + step)
    steeper = tunnel.roof_lift(exit_gap=rear, entry_gap=front + step)
    assert (raised - lower) / step == pytest.approx(with_height, rel=1e-4)
    assert (steeper - lower) / step == pytest.approx(with_drop, rel=1e-4)


@pytest.mark.parametrize("r", (0.2, 0.5, 0.9))
def test_march_without_leak_gives_the_closed_form(r):
    lift, centre = tunnel.leaky_roof(exit_gap=0.06 * r, entry_gap=0.06, leak=0.0)
    assert lift == pytest.approx(tunnel.roof_lift(exit_gap=r, entry_gap=1.0), abs=3e-5)
    assert centre == pytest.approx(tunnel.roof_centre(exit_gap=r, entry_gap=1.0), abs=3e-5)


@pytest.mark.parametrize("r, leak", [(0.3, 0.5), (0.3, 2.0), (0.6, 1.0), (0.8, 3.0)])
def test_march_agrees_with_a_general_solver(r, leak):
    drop = 1 - r

    def grow(s, state):
        w = state[0] / (r + drop * s)
        outflow = leak * drop * np.sqrt(max(1 - w * w, 0.0))
        return [outflow, 1 - w * w]

    found = solve_ivp(grow, (0, 1), [r * (1 - 1e-12), 0.0], rtol=1e-9, atol=1e-12)
    lift, _ = tunnel.leaky_roof(exit_gap=0.06 * r, entry_gap=0.06, leak=leak)
    assert lift == pytest.approx(found.y[1, -1], abs=3e-4)


@pytest.mark.parametrize("leak", (0.0, 0.5, 3.0))
def test_more_stations_on_the_same_roof_change_nothing(leak):
    side = leak * 0.03 * 0.2 / (2 * tunnel.CONTRACTION * 0.3)

    def lift(n):
        x, gap = np.linspace(0, 0.3, n), np.linspace(0.06, 0.03, n)
        return tunnel.channel_lift(stations=x, gap=gap, side_gap=0 * x + side, width=0.2)[0] / 0.06

    assert lift(25) == pytest.approx(lift(2), abs=2e-4)


def test_strong_leak_leaves_one_over_leak_squared_everywhere():
    lift, centre = tunnel.leaky_roof(exit_gap=0.03, entry_gap=0.06, leak=30.0)
    assert lift == pytest.approx(1 / 900, rel=0.05)
    assert centre == pytest.approx(0.5, abs=0.01)


def test_fit_is_within_its_stated_share_of_the_march():
    for r in np.linspace(0.2, 0.9, 8):
        for leak in np.linspace(0.0, 3.0, 7):
            lift, _ = tunnel.leaky_roof(exit_gap=0.06 * r, entry_gap=0.06, leak=leak)
            fitted = (1 - r) * tunnel.leak_factor(gap_ratio=r, leak=leak)
            assert fitted == pytest.approx(lift, rel=0.076)


@given(
    gaps=st.lists(st.floats(-0.02, 0.3), min_size=2, max_size=30),
    open_share=st.floats(0.0, 1.0),
)
def test_no_roof_breaks_the_march(gaps, open_share):
    gap = np.array(gaps)
    stations = np.linspace(0.0, 0.5, len(gap))
    pressures = tunnel.channel_pressures(stations=stations, gap=gap, side_gap=open_share * gap, width=0.2)
    assert ((pressures >= -0.5 - 1e-12) & (pressures <= 1.0)).all()
    area, _ = tunnel.channel_lift(stations=stations, gap=gap, side_gap=open_share * gap, width=0.2)
    assert -0.05 - 1e-12 <= area <= 0.1


def test_diverging_roof_sucks_and_stops_at_a_half():
    x = np.linspace(0, 0.3, 31)
    gentle = tunnel.channel_pressures(stations=x, gap=np.linspace(0.05, 0.06, 31), side_gap=0 * x, width=0.2)
    steep = tunnel.channel_pressures(stations=x, gap=np.linspace(0.02, 0.06, 31), side_gap=0 * x, width=0.2)
    assert gentle[0] == pytest.approx(1 - 1.2**2, abs=1e-9)
    assert steep.min() == pytest.approx(-0.5, abs=1e-9)


def test_shut_exit_gives_a_full_cushion_not_a_division_by_zero():
    x = np.linspace(0, 0.3, 11)
    found = tunnel.channel_pressures(stations=x, gap=np.linspace(0.06, 0.0, 11), side_gap=0 * x, width=0.2)
    assert found[0] > 0.999
    assert np.isfinite(found).all()


def test_throat_under_the_roof_fills_what_lies_ahead_of_it():
    x = np.linspace(0, 0.4, 41)
    gap = np.where(np.abs(x - 0.2) < 0.02, 0.005, 0.05)
    found = tunnel.channel_pressures(stations=x, gap=gap, side_gap=0 * x, width=0.2)
    assert found[0] > 0.95
    assert found[-1] == 0.0


def test_wider_side_gap_never_lifts_more():
    x = np.linspace(0, 0.3, 11)
    gap = np.linspace(0.06, 0.03, 11)
    lifts = [
        tunnel.channel_lift(stations=x, gap=gap, side_gap=0 * x + side, width=0.2)[0]
        for side in np.linspace(0, 0.03, 7)
    ]
    assert (np.diff(lifts) < 0).all()


ROOF = {
    "stations": np.linspace(0.1, 0.62, 25),
    "roof": np.linspace(0.05, 0.03, 25),
    "wall": np.where(np.linspace(0.1, 0.62, 25) < 0.4, 0.0, np.linspace(0.05, 0.03, 25)),
    "width": 0.2,
}


def test_table_is_the_single_pose_many_times():
    table = tunnel.tunnel_table(**ROOF, rear_gaps=np.array([0.01, 0.04]), trims=np.array([0.0, 0.07]))
    x, roof, wall = ROOF["stations"], ROOF["roof"], ROOF["wall"]
    gap = 0.04 + (x[-1] - x) * np.sin(0.07) + (roof - roof[-1]) * np.cos(0.07)
    side = np.minimum(0.04 + (x[-1] - x) * np.sin(0.07) + (wall - roof[-1]) * np.cos(0.07), gap)
    area, moment = tunnel.channel_lift(stations=x, gap=gap, side_gap=side, width=0.2)
    assert table.lift_area[1, 1] == pytest.approx(area, rel=1e-12)
    assert table.lift_moment[1, 1] == pytest.approx(moment, rel=1e-12)
    assert 0.1 < table.arm[1, 1] < 0.62
    assert table.arm[1, 1] == pytest.approx(moment / area, rel=1e-12)


def test_place_of_the_lift_stays_under_the_roof_even_where_push_and_suction_cancel():
    x = np.linspace(0.1, 0.6, 21)
    roof = 0.03 + 0.01 * np.sin(7 * x)
    table = tunnel.tunnel_table(
        stations=x, roof=roof, wall=0 * x, width=0.2,
        rear_gaps=np.linspace(0.0, 0.1, 30), trims=np.linspace(-0.08, 0.1, 31),
    )  # fmt: skip
    assert (table.lift_area < 0).any()
    assert ((table.arm >= 0.1) & (table.arm <= 0.6)).all()


def test_lift_fades_as_the_boat_leaves_the_water():
    table = tunnel.tunnel_table(**ROOF, rear_gaps=np.linspace(0.02, 0.5, 12), trims=np.array([0.05]))
    lifts = (table.weight * table.lift_area)[:, 0]
    assert (np.diff(lifts) < 0).all()
    assert lifts[-1] < 0.05 * lifts[0]


def test_a_full_table_takes_under_a_tenth_of_a_second():
    grid = {"rear_gaps": np.linspace(0, 0.1, 40), "trims": np.linspace(-0.05, 0.3, 40)}
    tunnel.tunnel_table(**ROOF, **grid)  # compiles, or reads the cache

    def once():
        begin = time.process_time()
        tunnel.tunnel_table(**ROOF, **grid)
        return time.process_time() - begin

    assert min(once() for _ in range(3)) < 0.1


@pytest.mark.parametrize("exit_gap, entry_gap", [(0.0, 0.03), (0.04, 0.03), (-0.01, 0.03)])
def test_impossible_roofs_are_refused_in_millimetres(exit_gap, entry_gap):
    with pytest.raises(InputError, match=r"entry gap 30\.0 mm"):
        tunnel.roof_lift(exit_gap=exit_gap, entry_gap=entry_gap)


def test_stations_must_rise():
    with pytest.raises(InputError, match="rising from bow to stern"):
        tunnel.channel_pressures(
            stations=np.array([0.3, 0.0]), gap=np.ones(2), side_gap=np.zeros(2), width=0.2
        )


def test_envelope_names_the_number_and_the_range():
    high, sucks = tunnel.envelope(exit_gap=0.06, entry_gap=0.05, roof_length=0.3)
    assert "0.2" in high.what
    assert "0.1" in high.what
    assert "50 mm in front, 60 mm behind" in sucks.what
    assert tunnel.envelope(exit_gap=0.001, entry_gap=0.05, roof_length=0.3)[0].code == "tunnel-shut"
