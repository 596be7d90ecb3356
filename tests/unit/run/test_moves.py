"""What a change does to the ensemble of runs, held to statics, to mirrors, to brute force and to known boats."""

import math
from dataclasses import replace

import numpy as np
import pytest

from factories import ROW, ask
from skimwright.base import InputError, ModelError
from skimwright.boat import spread
from skimwright.pond import Conditions, Gate
from skimwright.run import LEFT_ALONE, Move, Trials, difference, mass_slope, moved
from skimwright.run.moves import LASTING, lasting_draw, slope_of_boats
from skimwright.run.spread import causes, draw

DEGREE = math.pi / 180
STRAIGHT = {
    "balance_y": 0.0, "blade_yaw": 0.0, "device_y": 0.0, "pad_angle_left": 0.0, "pad_angle_right": 0.0,
}  # fmt: skip


@pytest.fixture(scope="module")
def fold(kits):
    return kits["fold-62"]


@pytest.fixture(scope="module")
def whirr(devices):
    return devices["whirr-5"]


def test_ballast_moves_mass_and_balance_by_statics():
    """235.2 g at 321.6 mm and 21.6 g at 600 mm balance at 345 mm (the sum of moments by hand)."""
    boat = {"mass": np.array([0.2352]), "balance_x": np.array([0.3216])}
    boat |= {"balance_y": np.zeros(1), "balance_z": np.zeros(1)}
    after = moved(boat, Move(key="lead", mass=0.021584, place=(0.600, 0.0, 0.0)))
    assert after["balance_x"][0] == pytest.approx(0.345, abs=5e-6)
    assert after["mass"][0] == pytest.approx(0.256784)


def test_a_lump_turns_the_boat_slower_by_the_parallel_axis_rule(fold, whirr):
    trials = Trials(ask(fold, whirr, runs=20, mass=0.269, balance_x=0.3455), aimed=False)
    rows, _ = trials._rows(LEFT_ALONE, 0, 5)
    place, lump = (0.06, 0.0, 0.04), 0.020
    more, _ = trials._rows(Move(key="lump", mass=lump, place=place), 0, 5)
    mass = rows[:, ROW["mass"]]
    dx, dy = place[0] - rows[:, ROW["xg"]], place[1] - rows[:, ROW["yg"]]
    by_hand = rows[:, ROW["izz"]] + mass * lump / (mass + lump) * (dx**2 + dy**2)
    np.testing.assert_allclose(more[:, ROW["izz"]], by_hand, rtol=1e-9)
    np.testing.assert_allclose(more[:, ROW["mass"]], mass + lump, rtol=1e-12)


def test_nothing_changed_is_nothing_gained(fold, whirr):
    trials = Trials(ask(fold, whirr, runs=40, wind=2.5, wind_from=230, heading=95))
    same = Move(key="the same", shift={"blade_yaw": 0.0})
    assert trials.make([LEFT_ALONE, same], runs=40)
    gain, error = difference(trials.outcome(same), trials.outcome(LEFT_ALONE))
    assert (gain, error) == (0.0, 0.0)


def test_pairs_tell_a_small_change_from_fewer_runs(fold, whirr):
    """Common random numbers: the paired error is a fraction of that of two separate sets of runs."""
    trials = Trials(ask(fold, whirr, runs=80, **STRAIGHT), aimed=False)
    turned = Move(key="turned", shift={"blade_yaw": 0.5 * DEGREE})
    trials.make([LEFT_ALONE, turned], runs=80)
    left, after = trials.outcome(LEFT_ALONE), trials.outcome(turned)
    step, error = difference(after, left, "drift")
    apart = math.hypot(np.nanstd(left.drift), np.nanstd(after.drift)) / math.sqrt(80)
    assert step > 0.2, "a trailing edge to starboard turns the boat to starboard"
    assert error < 0.3 * apart


def test_runs_made_in_two_goes_are_the_runs_made_in_one(fold, whirr):
    one, two = (Trials(ask(fold, whirr, runs=48), aimed=False) for _ in range(2))
    one.make([LEFT_ALONE], runs=48)
    two.make([LEFT_ALONE], runs=16)
    two.make([LEFT_ALONE], runs=48)
    np.testing.assert_array_equal(one.outcome(LEFT_ALONE).distance, two.outcome(LEFT_ALONE).distance)


def test_stopped_runs_leave_what_was_there(fold, whirr):
    trials = Trials(ask(fold, whirr, runs=40), aimed=False)
    trials.make([LEFT_ALONE], runs=20)
    assert not trials.make([LEFT_ALONE], runs=40, stop=lambda: True)
    assert trials.runs_of(LEFT_ALONE) == 20
    with pytest.raises(ModelError, match="No run was made"):
        trials.outcome(Move(key="never made"))


def test_averaging_the_launch_out_agrees_with_counting(fold, whirr):
    """The smooth chance and the plain count of the same runs agree within what 400 runs leave open."""
    trials = Trials(ask(fold, whirr, runs=400, wind=2.5, wind_from=230, heading=95, **STRAIGHT))
    trials.make([LEFT_ALONE], runs=400)
    left = trials.outcome(LEFT_ALONE)
    counted = float(np.mean(np.abs(left.drift) <= 2.5))
    assert left.mean("through") == pytest.approx(counted, abs=2 * math.sqrt(0.25 / 400))


def test_aiming_off_brings_a_straight_boat_through_a_crosswind(fold, whirr):
    question = ask(fold, whirr, runs=160, wind=2.5, wind_from=230, heading=95, **STRAIGHT)
    aimed, straight = Trials(question), Trials(question, aimed=False)
    for trials in (aimed, straight):
        trials.make([LEFT_ALONE], runs=160)
    assert aimed.aim > 3 * DEGREE, "wind from starboard: aim to starboard"
    assert aimed.outcome(LEFT_ALONE).mean("through") > straight.outcome(LEFT_ALONE).mean("through") + 0.2


def test_weight_forward_keeps_the_nose_down(fold, whirr):
    trials = Trials(ask(fold, whirr, runs=60, wind=4.0, mass=0.240, balance_x=0.365))
    lead = Move(key="lead", mass=0.02, place=(0.062, 0.0, 0.036))
    trials.make([LEFT_ALONE, lead], runs=60)
    assert difference(trials.outcome(lead), trials.outcome(LEFT_ALONE), "nose")[0] < -0.02


def test_sealed_edges_count_over_a_whole_afternoon(fold, whirr):
    trials = Trials(ask(fold, whirr, runs=40, water_gain=0.009), aimed=False)
    rows, _ = trials._rows(LEFT_ALONE, 0, 40)
    assert rows[:, ROW["mass"]].mean() == pytest.approx(trials.body.mass + 0.5 * 4 * 0.009, abs=0.003)


def test_a_slope_is_the_average_and_its_interval_grows_with_what_boats_differ():
    rng = np.random.default_rng(5)
    boats = np.repeat(rng.normal(2.0, 1.0, 200), 16)
    found = slope_of_boats(boats + rng.normal(0.0, 1.0, boats.size), runs_each=16)
    assert found.mean == pytest.approx(2.0, abs=0.25)
    wide = 1.2816 * math.sqrt(1.0 + 1.0 / 16)
    assert found.high - found.low == pytest.approx(2 * wide, rel=0.15)
    with pytest.raises(InputError, match="not a table"):
        slope_of_boats(np.zeros(7), runs_each=2)


def test_what_stays_with_a_boat_is_drawn_once_a_boat(fold, whirr):
    question = ask(fold, whirr, runs=40)
    drawn = lasting_draw(question, boats=8, runs_each=5)
    assert all(np.ptp(drawn["tunnel_factor"][1:].reshape(8, 5), axis=1) == 0)
    assert np.ptp(drawn["start_yaw"][1:6]) > 0


FAR = Gate()


def _boat(kits, devices, kit, device, *, mass, balance, wind, gate=FAR):
    question = ask(kits[kit], devices[device], runs=40, mass=mass, balance_x=balance, gate=gate, **STRAIGHT)
    return replace(question, conditions=Conditions(wind_speed=wind, wind_from=0.0, heading=0.0))


SHORT = Gate(distance=10.0, width=2.0)
KNOWN = {  # boats whose answer brute force and plain reason agree on: kit, device, mass, balance, headwind, place
    "a heavy towed boat": ("fold-50", "tug", 0.185, 0.280, 0.0, SHORT, 0.350, -1),
    "a towed boat": ("fold-50", "tug", 0.160, 0.280, 0.0, SHORT, 0.350, -1),
    "a boat full of glue": ("fold-62", "whirr-5", 0.400, 0.3455, 0.0, FAR, 0.310, -1),
    "a large boat full of glue": ("fold-74", "whirr-7", 0.600, 0.408, 0.0, FAR, 0.370, -1),
    "a light boat, weight aft, headwind": ("fold-62", "whirr-5", 0.200, 0.385, 5.0, FAR, 0.062, 1),
    "a large light boat, weight aft, headwind": ("fold-74", "whirr-7", 0.300, 0.450, 6.0, FAR, 0.074, 1),
}


@pytest.mark.slow
def test_lighter_or_heavier_has_the_right_sign_in_five_of_six_known_boats(kits, devices):
    """The answer is known from 400 runs of one drawn boat each, another seed; the verdict does not see that boat."""
    right = 0
    for number, (kit, device, mass, balance, wind, gate, place, known) in enumerate(KNOWN.values()):
        question = _boat(kits, devices, kit, device, mass=mass, balance=balance, wind=wind, gate=gate)
        spot, step = (place, 0.0, 0.035), 0.08 * mass
        every = causes(spread(question.built, kit=question.kit), question.device)
        own = draw(every, runs=6, seed=777)
        drawn = draw(every, runs=400, seed=9000 + number)
        for cause in every:
            if cause.group in LASTING:
                drawn[cause.key] = np.full(401, own[cause.key][number + 1])
        trials = Trials(replace(question, runs=400), drawn=drawn)
        more, less = (Move(key=str(way), mass=way * step, place=spot) for way in (1, -1))
        trials.make([more, less], runs=400)
        truth, error = difference(trials.outcome(more), trials.outcome(less))
        assert abs(truth) > error
        assert math.copysign(1, truth) == known
        verdict = mass_slope(question, place=spot, step=step)
        assert (verdict.sign == 0) == (verdict.points.low <= 0.0 <= verdict.points.high)
        right += verdict.sign == known
    assert right >= 5


def test_a_boat_in_between_is_not_told_either_way(kits, devices):
    question = _boat(kits, devices, "fold-62", "whirr-5", mass=0.269, balance=0.3455, wind=2.5)
    verdict = mass_slope(question, place=(0.31, 0.0, 0.035), step=0.0215)
    assert verdict.points.low < 0.0 < verdict.points.high
    assert verdict.sign == 0
    assert verdict.distance.high < 0.0, "heavier still stops shorter, whatever it is worth"


def test_a_mass_question_that_is_stopped_has_no_answer(fold, whirr):
    assert mass_slope(ask(fold, whirr), place=(0.3, 0.0, 0.03), step=0.02, stop=lambda: True) is None
