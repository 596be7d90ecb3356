"""The day rehearsed: the plan without luck, closed forms with it, and like luck for every what-if."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from skimwright import app, store
from skimwright.base import InputError
from skimwright.desk import draw_day, read_day_plan, read_entries, read_guesses
from skimwright.regatta import Guesses, Rehearsal, Stretch, rehearse, stretches
from skimwright.regatta.rehearsal import hold_lengths, marshal_share, shared_out

STILL = Guesses(
    source="a test", call=60, check=75, arm=15, run=60, fetch=55, spread=0.0, missing=0.0, missing_wait=120,
    rerun=0.0, slow=0.0, slow_fetch=240, misread=0.0, marshal=120, thunder=0.0, strikes=2 / 3600, all_clear=1800,
    least_pause=1200,
)  # fmt: skip
LIVELY = replace(STILL, spread=0.25, missing=0.03, rerun=0.04, slow=0.04, misread=0.03, thunder=0.25)
HANDS = {"inspector": 2, "armer": 1, "timer": 2, "boat crew": 1}
HOUR = 3600.0
DAY = (
    Stretch(name="late qualifying", start=9 * HOUR, tries=36, each=240, ramps=2),
    Stretch(name="heats", start=10.25 * HOUR, heats=(6,) * 16),
    Stretch(name="lunch", start=12.65 * HOUR, until=13.25 * HOUR),
    Stretch(name="open", start=13.25 * HOUR, heats=(6,) * 9),
)


def played(guesses: Guesses, plan: tuple[Stretch, ...] = DAY, **more: object) -> Rehearsal:
    asked = {"helpers": HANDS, "by": 16 * HOUR, "opens": 8 * HOUR, "planned": 14.6 * HOUR} | more
    return rehearse(plan, guesses, **asked)  # type: ignore[arg-type]


def test_without_luck_it_is_the_plan_of_the_demonstration() -> None:
    disk, folder = app.Disk(), Path(app.__file__).parent / "demo_season"
    season = store.read_season_folder(folder)
    plan = read_day_plan(disk.table(folder / "day.toml"), date=season.regatta)
    table = draw_day(plan, read_entries(disk.rows(folder / "entries.csv"))).timetable
    guesses, hands = read_guesses(disk.table(folder / "rehearsal.toml"))
    made = rehearse(
        stretches(table),
        guesses,
        hands,
        by=plan.clear,
        opens=plan.opens,
        planned=table.slots[-1].end,
        days=100,
    )
    assert made.steady == pytest.approx(table.slots[-1].end)
    heats = [slot for slot in table.slots if slot.last]
    still = played(STILL, stretches(table))
    assert still.racing[0] == pytest.approx(heats[-1].end)


def test_sixteen_and_nine_heats_of_nine_minutes_end_at_14_36() -> None:
    """Worked by hand: 13:15 and nine times nine minutes."""
    made = played(STILL)
    assert set(made.days.finish) == {14 * HOUR + 36 * 60}
    assert made.days.on_time == 1.0


def test_means_and_spreads_of_a_row_of_heats_add_up() -> None:
    """Derived: means add, and variances of independent times add; one time a heat, nothing else."""
    only = replace(STILL, call=0, check=0, arm=0, fetch=0, run=300, spread=0.4)
    made = played(only, (Stretch(name="heats", start=0.0, heats=(1,) * 25),), days=20_000)
    assert made.days.mean == pytest.approx(25 * 300, rel=0.003)
    assert float(made.days.finish.std()) == pytest.approx(5 * 0.4 * 300, rel=0.02)


@pytest.mark.parametrize("boats", [2, 4, 6])
def test_the_last_of_several_fetched_at_once_takes_the_harmonic_sum(boats: int) -> None:
    """The mean of the greatest of n exponential times is the mean times 1 + 1/2 + ... + 1/n (Renyi 1953, derived)."""
    times = np.random.default_rng(1).exponential(60.0, (boats, 200_000))
    expected = 60.0 * sum(1 / k for k in range(1, boats + 1))
    assert float(shared_out(times, boats).mean()) == pytest.approx(expected, rel=0.01)
    assert float(shared_out(times, 1).mean()) == pytest.approx(60.0 * boats, rel=0.01)
    two = 60.0 * ((boats - 2) / 2 + 1.5)  # one leaves every 30 s while both work, then the last alone
    assert float(shared_out(times, 2).mean()) == pytest.approx(two, rel=0.01)


@pytest.mark.parametrize("things, hands", [(6, 2), (7, 2), (36, 2), (5, 8)])
def test_equal_things_go_in_whole_turns(things: int, hands: int) -> None:
    assert shared_out(np.full((things, 1), 10.0), hands)[0] == 10.0 * math.ceil(things / hands)


@pytest.mark.parametrize("check", [30.0, 150.0])
def test_two_places_in_a_row_take_the_slower_one_each_time(check: float) -> None:
    """Derived, the two-stage flow line: every start waits for the slower of the pit and the water."""
    guesses = replace(STILL, check=check)
    made = played(guesses, (Stretch(name="heats", start=0.0, heats=(6,) * 10),), days=1)
    water, pit = 540.0, check * 3  # two inspectors, six boats
    assert made.days.finish[0] == pytest.approx(9 * max(water, pit) + water)


def test_a_hold_lasts_as_long_as_the_closed_form_says() -> None:
    """The mean wait until a gap T in events of rate r, from an event: (exp(r T) - 1) / r (derived)."""
    for rate in (1 / HOUR, 2 / HOUR, 4 / HOUR):
        long = hold_lengths(np.random.default_rng(2), (1, 200_000), strikes=rate, all_clear=1800.0)
        assert float(long.mean()) == pytest.approx((math.exp(rate * 1800) - 1) / rate, rel=0.02)
        assert long.min() >= 1800.0


def test_a_third_timer_makes_the_marshal_rare() -> None:
    """Derived: two agree unless one errs; of three a majority errs with 3 e^2 - 2 e^3."""
    e = 0.1
    assert marshal_share(2, e) == pytest.approx(1 - (1 - e) ** 2)
    assert marshal_share(3, e) == pytest.approx(3 * e**2 - 2 * e**3)


def test_thunder_alone_costs_its_chance_times_its_length() -> None:
    """Derived: a hold falls into the middle of a heat on average, and that heat is armed, run and fetched anew."""
    full = (Stretch(name="heats", start=8 * HOUR, heats=(6,) * 53),)
    made = played(replace(STILL, thunder=0.2), full, days=20_000)
    long = (math.exp(1.0) - 1) / (2 / HOUR)
    lost = made.days.mean - made.steady
    again = 90 + 60 + 330 - 540 / 2
    assert lost == pytest.approx(0.2 * (long + again), rel=0.05)


def test_the_same_luck_for_every_what_if() -> None:
    made = played(LIVELY)
    one = {w.what: w for w in made.helpers}
    assert one["one more boat crew"].gains > 3 * one["one more boat crew"].gains_error
    assert one["one more boat crew"].gains > one["one more inspector"].gains
    assert [w.gains for w in made.costs] == sorted((w.gains for w in made.costs), reverse=True)
    assert all(w.gains >= -1e-9 for w in made.helpers)
    assert played(LIVELY).days.finish.tolist() == made.days.finish.tolist()


def test_few_inspectors_are_the_ones_to_add_when_the_pit_is_slow() -> None:
    made = played(replace(LIVELY, check=220, thunder=0.0), helpers=HANDS | {"boat crew": 2})
    assert made.helpers[0].what == "one more inspector"


def test_the_share_in_time_has_wilsons_range() -> None:
    """Wilson's interval for 8 of 10 is 0.490 to 0.943 (derived from its formula; z = 1.96)."""
    made = played(STILL, days=10)
    days = replace(made.days, finish=np.array([0.0] * 8 + [1e6] * 2), by=1.0)
    assert days.on_time_range == pytest.approx((0.4902, 0.9433), abs=1e-4)


def test_a_late_day_eats_into_lunch_but_leaves_some() -> None:
    slow = replace(STILL, fetch=80)
    made = played(slow, days=1)
    morning = 10.25 * HOUR + 16 * (540 + 150)
    assert made.days.finish[0] == pytest.approx(morning + 1200 + 9 * 690)


@pytest.mark.parametrize(
    "changed, says",
    [({"helpers": HANDS | {"boat crew": 0}}, "nobody is boat crew"), ({"days": 0}, "no days")],
)
def test_a_day_without_hands_is_refused(changed: dict[str, object], says: str) -> None:
    with pytest.raises(InputError, match=says):
        played(STILL, **changed)


def test_a_chance_above_one_is_refused() -> None:
    with pytest.raises(InputError, match="rerun is not a chance"):
        played(replace(STILL, rerun=4.0))
