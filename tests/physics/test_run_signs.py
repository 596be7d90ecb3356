"""Which way, and why: signs a pupil can reason out, asked of the whole run model.

Calm means no wind, no gusts, no ripples; everything not named is at its middle.  Drift is to starboard at the gate,
100 ft = 30.48 m from the start.
"""

import math

import numpy as np
import pytest

from factories import CALM, LEFT_ALONE, ROW, ask, forces_on, held, middle_row, middle_run
from skimwright.run import ensemble, forecast, stepping

DEGREE = math.pi / 180.0


@pytest.fixture
def calm(kits, devices):
    """The middle run in calm weather, with measured deviations by name and entries of the row in ``row``."""

    def run(kit="fold-62", device="whirr-5", row=None, **built):
        return middle_run(ask(kits[kit], devices[device], **built), **(CALM | (row or {})))

    return run


@pytest.fixture
def windy(kits, devices):
    def run(wind_from, wind=2.0, kit="fold-62", device="whirr-5"):
        question = ask(kits[kit], devices[device], wind=wind, wind_from=wind_from)
        return middle_run(question, gust_size=0.0, ripple_size=0.0)

    return run


@pytest.fixture
def change(kits, devices):
    """Change of force and moment when a deviation is put on a boat held straight, level and skimming, no thrust."""

    def of(speed=8.0, sinkage=0.001, **built):
        def one(deviations):
            question = ask(kits["fold-62"], devices["whirr-5"], **deviations)
            ready, row = ensemble(question), middle_row(question, **LEFT_ALONE)
            state = held(row, sinkage=sinkage, trim=1.0 * DEGREE, speed=speed)
            rate, _ = stepping.rates(state, row, ready.strips[0], ready.count, ready.scene, 5.0)
            return np.concatenate(forces_on(row, rate))

        # force ahead, to starboard, down; moment to heel to starboard, to lift the bow, to turn to starboard
        return dict(zip(("x", "y", "z", "heel", "bow", "turn"), one(built) - one({}), strict=True))

    return of


# ---------------------------------------------------------------------------------------- what turns a boat


def test_a_blade_whose_trailing_edge_points_to_starboard_turns_the_boat_to_starboard(calm, change):
    # Water strikes the blade's starboard face, pushes the stern to port, and the bow swings to starboard.
    pushed = change(blade_yaw=1.0 * DEGREE)
    assert pushed["y"] < 0 < pushed["turn"]
    assert calm(blade_yaw=1.0 * DEGREE)["gate_drift"] > 0.2
    assert calm(blade_yaw=-1.0 * DEGREE)["gate_drift"] < -0.2


def test_a_device_to_starboard_of_the_middle_drives_the_boat_to_port(calm):
    # It pushes forward on the starboard side, like one oar: the bow swings to port.
    assert calm(device_y=0.005)["gate_drift"] < -0.5
    assert calm(device_y=-0.005)["gate_drift"] > 0.5


def test_weight_to_starboard_drives_the_boat_to_starboard(calm):
    # Two reasons, one way: the thrust on the centre line passes to port of the balance point, and the starboard
    # side, pressed deeper, drags more.
    assert calm(balance_y=0.004)["gate_drift"] > 0.3
    assert calm(balance_y=-0.004)["gate_drift"] < -0.3


def test_a_push_aimed_to_starboard_drives_the_boat_to_starboard_when_the_blade_stands_behind_it(calm):
    # The device pushes sideways ahead of the place where the blade holds the boat (its neutral place), so the whole
    # boat follows the push, although the device itself stands behind the balance point.
    assert calm(row={"line_y": math.sin(1.0 * DEGREE)})["gate_drift"] > 0.1


def test_a_launch_heading_to_starboard_ends_to_starboard_by_about_its_angle(calm):
    drift = calm(row={"start_yaw": 1.0 * DEGREE})["gate_drift"]
    assert drift == pytest.approx(30.48 * math.sin(1.0 * DEGREE), rel=0.1)


def test_a_toed_pad_pushes_its_way_but_hardly(calm, change):
    # A level pad has no side to push with; only its edge and its trim feel the toe.  Front to starboard: to starboard.
    pushed, blade = change(pad_toe_left=1.0 * DEGREE), change(blade_yaw=1.0 * DEGREE)
    assert pushed["y"] > 0
    assert pushed["turn"] > 0
    assert abs(pushed["y"]) < 0.1 * abs(blade["y"])
    both = calm(pad_toe_left=2.0 * DEGREE, pad_toe_right=2.0 * DEGREE)["gate_drift"]
    assert abs(both) < abs(calm(blade_yaw=2.0 * DEGREE)["gate_drift"])


def test_a_pad_whose_nose_points_up_heels_the_boat_away_and_drags_its_side_back(change):
    # Steeper, it carries more: the boat leans to the other side.  Carrying more at a steeper angle it drags more:
    # the bow turns toward it.  Which of the two wins in a run depends on the speed, so no drift is asserted.
    left, right = change(pad_angle_left=1.0 * DEGREE), change(pad_angle_right=1.0 * DEGREE)
    assert left["z"] < 0  # lift: z points down
    assert left["heel"] > 0 > left["turn"]
    assert right["heel"] < 0 < right["turn"]
    assert left["x"] < 0


@pytest.mark.parametrize("side, way", [("left", 1), ("right", -1)])
def test_a_pad_with_its_outer_edge_high_pushes_toward_the_middle(calm, change, side, way):
    # Water pushes square to the face; a face that looks outward is pushed inward.
    deviation = {f"pad_cant_{side}": 1.0 * DEGREE}
    assert way * change(**deviation)["y"] > 0
    assert way * calm(**deviation)["gate_drift"] > 0.2


def test_a_floor_steeper_to_starboard_is_lifted_there_and_leans_to_port(change):
    assert change(floor_twist=1.0 * DEGREE)["heel"] < 0


# ------------------------------------------------------------------------------------------------------- wind


def test_wind_from_port_blows_the_boat_to_starboard(windy):
    assert windy(-90)["gate_drift"] > 0.5
    assert windy(90)["gate_drift"] < -0.5


def test_a_wind_from_port_turns_the_bow_into_it_because_the_fins_stand_aft(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"])
    ready = ensemble(question)
    row = middle_row(question, **(LEFT_ALONE | {"wind_y": 2.0}))
    state = held(row, sinkage=-0.03, trim=0.02, speed=8.0)  # just clear of the water: the air alone
    rate, seen = stepping.rates(state, row, ready.strips[0], ready.count, ready.scene, 5.0)
    force, moment = forces_on(row, rate)
    assert seen[: ready.count].max() == 0.0
    assert force[1] > 0
    assert moment[2] < 0


def test_more_crosswind_drifts_more(windy):
    drifts = [windy(-90, wind=w)["gate_drift"] for w in (0.5, 1.0, 2.0, 3.0)]
    assert drifts == sorted(drifts)


def test_a_headwind_shortens_the_run_and_a_tailwind_lengthens_it(calm, windy):
    assert windy(0)["x"] < calm()["x"] < windy(180)["x"]
    assert windy(0)["top_speed"] < calm()["top_speed"] < windy(180)["top_speed"]
    assert windy(0)["top_air_speed"] > windy(0)["top_speed"]


# -------------------------------------------------------------------------------------------- what slows a boat


def test_a_heavier_boat_is_slower_to_the_gate_behind_a_propeller(calm):
    times = [calm(mass=m)["gate_time"] for m in (0.24, 0.27, 0.30, 0.33)]
    assert times == sorted(times)


def test_smooth_flow_goes_farther_than_churned_up_flow(calm):
    far = [calm(row={"friction_mix": k})["x"] for k in (0.0, 0.5, 1.0)]
    assert far == sorted(far, reverse=True)
    assert far[0] > 1.05 * far[2]


@pytest.mark.parametrize(
    "name, low, high", [("drag_factor", 0.7, 1.2), ("hump_strength", 0.1, 0.3)], ids=["air drag", "hump"]
)
def test_more_drag_goes_less_far(calm, name, low, high):
    assert calm(row={name: low})["x"] > calm(row={name: high})["x"]


@pytest.mark.parametrize("device", ["whirr-5", "lantern-3", "hiss"])
def test_a_stronger_push_goes_faster_and_farther(calm, device):
    weak, strong = (calm(device=device, row={"thrust_scale": s}) for s in (0.85, 1.15))
    assert strong["top_speed"] > weak["top_speed"]
    assert strong["x"] > weak["x"]


def test_water_soaked_up_is_weight_and_costs_time(calm):
    assert calm(water_gain=0.02)["gate_time"] > calm(water_gain=0.001)["gate_time"]


@pytest.mark.parametrize("way", [180.0, 150.0, 90.0, -120.0])
def test_a_floating_boat_is_held_back_whichever_way_it_is_pushed(kits, devices, way):
    # Water does not mind which end comes first.  (It once did: a boat towed backwards ran away.)
    question = ask(kits["fold-62"], devices["whirr-5"])
    ready, row = ensemble(question), middle_row(question, **LEFT_ALONE)
    state = held(row, sinkage=0.0215, trim=-1.4 * DEGREE)
    push = np.array([math.cos(way * DEGREE), math.sin(way * DEGREE)])
    state[7:9] = 1.2 * push[:, None]
    rate, _ = stepping.rates(
        state, row, ready.strips[0], ready.count, ready.scene._replace(air_density=1e-9), 5.0
    )
    force, _ = forces_on(row, rate)
    still, _ = forces_on(
        row,
        stepping.rates(
            held(row, sinkage=0.0215, trim=-1.4 * DEGREE), row, ready.strips[0], ready.count, ready.scene, 5.0
        )[0],
    )
    # against the motion, by some hundredths of its weight at the least
    assert (force - still)[:2] @ push < -0.03 * row[ROW["mass"]] * 9.81


# ------------------------------------------------------------------------------------------------- blowing over


def test_balance_aft_turns_more_boats_over(kits, devices):
    # Nearer the stern contact the weight holds the bow down with a shorter arm.
    def over(balance):
        answer = forecast(ask(kits["fold-50"], devices["lantern-4"], runs=150, wind=2.0, balance_x=balance))
        return answer.endings.get("blew over", 0.0), answer.blow_over.critical[1]

    aft, drawn, fore = over(0.325), over(0.278), over(0.255)
    assert aft[0] > drawn[0] + 0.05
    assert aft[1] < drawn[1] < fore[1]
