"""Blow-over speed and straightness of the run model beside the documented formulas."""

import math

import numpy as np
import pytest

from factories import RESULT, ROW, ask, middle_row
from skimwright.boat import running_form
from skimwright.physics import blowover, tunnel
from skimwright.run import ensemble, forecast
from skimwright.run.limits import blow_over, critical_speeds, straightness

KITS = ["fold-50", "fold-62", "fold-74"]


def level_tunnel(form, scene):
    """Lift area and place of the tunnel of a level boat on its three points, by the documented march."""
    roof = form.tunnel
    gap = np.maximum(roof.roof - roof.roof[-1], 0.0) + tunnel.SMALLEST_GAP
    side = np.minimum(roof.wall - roof.roof[-1] + tunnel.SMALLEST_GAP, gap)
    area, moment = tunnel.channel_lift(stations=roof.stations, gap=gap, side_gap=side, width=roof.width)
    near = tunnel.ground_weight(
        mean_gap=0.5 * (roof.roof[0] + roof.roof[-1]), roof_length=roof.stations[-1] - roof.stations[0]
    )
    return area * near, moment / area


@pytest.mark.parametrize("kit", KITS)
def test_without_drag_the_front_unloads_at_the_documented_speed(kits, devices, kit):
    question = ask(kits[kit], devices["whirr-5"])
    form, ready = running_form(kits[kit]), ensemble(question)
    scene = ready.scene._replace(roof_sine=0.0)  # lift straight up, as the formula has it
    row = middle_row(question, drag_factor=0.0)
    off, _ = critical_speeds(row[None, :], scene, form, np.array([8.0]))
    area, place = level_tunnel(form, scene)
    expected = blowover.unload_speed(
        mass=row[ROW["mass"]], cg_ahead=form.stern_contact - row[ROW["xg"]], lift_area=area,
        lift_ahead=form.stern_contact - place, air_density=scene.air_density,
    )  # fmt: skip
    assert off[0] == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("push", [0.0, 1.0])
def test_at_the_critical_speed_the_documented_margin_is_nought(kits, devices, kit, push):
    question = ask(kits[kit], devices["whirr-5"])
    form, ready = running_form(kits[kit]), ensemble(question)
    row = middle_row(question, thrust_scale=push)
    off, on = critical_speeds(row[None, :], ready.scene, form, np.array([0.0]))
    speed = float(on[0] if push else off[0])
    area, place = level_tunnel(form, ready.scene)
    pressure = 0.5 * ready.scene.air_density * speed**2
    lift = pressure * area
    back = pressure * row[ROW["drag_factor"]] * ready.scene.front_area
    lean = lift * ready.scene.roof_sine  # the roof leans, and so does its push
    drag = back + lean
    left = blowover.margin(
        weight=row[ROW["mass"]] * 9.80665,
        cg_ahead=form.stern_contact - row[ROW["xg"]],
        lift=lift,
        lift_ahead=form.stern_contact - place,
        thrust=1.9 * push,
        thrust_height=kits[kit].thrust.place[2],
        drag=drag,
        drag_height=(back * ready.scene.front_z + lean * ready.scene.roof_mid_z) / drag,
        inertia_force=0.0 if push else -drag,
        cg_height=row[ROW["zg"]],
    )
    assert left == pytest.approx(0.0, abs=4e-3)


def test_thrust_above_the_water_holds_the_bow_down_so_the_limit_drops_when_it_ends(kits, devices):
    limits = forecast(ask(kits["fold-62"], devices["lantern-3"], runs=60)).blow_over
    assert limits.thrust_off < limits.thrust_on
    assert limits.critical[0] < limits.critical[1] < limits.critical[2]
    assert limits.margin_low < limits.margin


def critical(kits, devices, kit="fold-62", device="whirr-5", **built):
    question = ask(kits[kit], devices[device], **built)
    row = middle_row(question)
    return critical_speeds(row[None, :], ensemble(question).scene, running_form(kits[kit]), np.array([8.0]))[
        0
    ][0]


def test_balance_aft_lowers_the_critical_speed_and_ballast_forward_raises_it(kits, devices):
    # Less weight ahead of the stern contact, or a shorter arm for it, is lifted by less air.
    aft, drawn, fore = (critical(kits, devices, balance_x=x) for x in (0.375, 0.345, 0.315))
    assert aft < drawn < fore
    # speed ~ sqrt(arm): drag moves it a little
    assert aft / fore == pytest.approx(math.sqrt((0.605 - 0.375) / (0.605 - 0.315)), rel=0.02)


def test_mass_raises_the_critical_speed_as_its_root(kits, devices):
    light, heavy = (critical(kits, devices, mass=m) for m in (0.24, 0.36))
    assert heavy / light == pytest.approx(math.sqrt((0.36 + 0.0005) / (0.24 + 0.0005)), rel=1e-3)


def test_a_lift_factor_lowers_the_critical_speed(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"])
    ready, form = ensemble(question), running_form(kits["fold-62"])
    speeds = [
        critical_speeds(middle_row(question, tunnel_factor=f)[None, :], ready.scene, form, np.array([8.0]))[
            0
        ][0]
        for f in (0.8, 1.0, 1.25)
    ]
    assert speeds[0] > speeds[1] > speeds[2]


def test_a_headwind_is_met_on_top_of_the_boats_own_speed(kits, devices):
    def met(wind_from):
        question = ask(kits["fold-62"], devices["whirr-5"], runs=40, wind=3.0, wind_from=wind_from)
        ready = ensemble(question)
        results = np.zeros((len(ready.rows), len(RESULT)))
        results[:, RESULT["top_speed"]] = 7.0
        return blow_over(ready.rows, ready.scene, running_form(kits["fold-62"]), results).met

    assert met(180.0) == pytest.approx((7.0, 7.0, 7.0))
    low, middle, high = met(0.0)
    assert 7.0 < low < middle < high < 7.0 + 3.0 * 0.72 * 1.6 * 1.6


# -------------------------------------------------------------------------------------------------- straightness


def margin(kits, devices, *, kit="fold-62", device="whirr-5", blade=1.0, fin=True, **built):
    question = ask(kits[kit], devices[device], **built)
    ready = ensemble(question)
    rows = middle_row(question, blade_factor=blade)[None, :]
    scene = ready.scene if fin else ready.scene._replace(fin_area=0.0)
    return straightness(rows, ready.strips[:1], ready.count, scene, time=2.0)


@pytest.mark.parametrize("kit", KITS)
def test_the_boats_as_drawn_hold_their_course(kits, devices, kit):
    found = margin(kits, devices, kit=kit)
    assert found.stable
    assert (
        0.1 < found.margin < 0.6
    )  # of the length: the blade stands near the stern, behind the balance point


def test_without_its_blade_a_boat_loses_most_of_its_margin_and_without_both_fins_it_turns_away(kits, devices):
    whole, no_blade, nothing = (
        margin(kits, devices), margin(kits, devices, blade=0.0), margin(kits, devices, blade=0.0, fin=False)
    )  # fmt: skip
    assert no_blade.margin < 0.5 * whole.margin
    # The sides of a hull with its balance point aft of their middle: a weathercock put on backwards.
    assert not nothing.stable
    assert nothing.margin < 0.0 < no_blade.margin


def test_with_its_blade_the_side_force_acts_where_the_blade_is(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"])
    scene, row = ensemble(question).scene, middle_row(question)
    to_blade = (scene.blade_x - row[ROW["xg"]]) / scene.deck_length
    assert margin(kits, devices).margin == pytest.approx(to_blade, rel=0.1)


def test_balance_aft_shortens_the_margin_by_as_much(kits, devices):
    fore, aft = (margin(kits, devices, balance_x=x).margin for x in (0.33, 0.36))
    assert fore - aft == pytest.approx(0.03 / 0.62, rel=0.15)
