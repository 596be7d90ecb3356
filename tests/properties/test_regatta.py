"""Things true of every regatta: nobody is forgotten, names do not matter, neither does who types first."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skimwright.regatta import (
    LOW_POINT,
    POWERBOAT,
    Draw,
    Event,
    Outcome,
    PointsTable,
    draw_lots,
    redraw,
    replay,
    standings,
)
from skimwright.regatta.chance import Chance

SLOW = settings(max_examples=40, deadline=None)
QUICK = settings(max_examples=150, deadline=None)

fields = st.tuples(st.integers(2, 45), st.integers(1, 7), st.integers(2, 8), st.integers(0, 10**6))


def drawn(boats: list[int], rounds: int, lanes: int, seed: int) -> Draw:
    return draw_lots(boats, rounds=rounds, lanes=lanes, seed=seed, tries=3000)


def starts(draw: Draw) -> Counter[int]:
    return Counter(boat for heat in draw.heats for boat in heat.boats)


@SLOW
@given(fields)
def test_every_boat_races_once_a_round_and_never_twice_in_a_heat(field: tuple[int, int, int, int]) -> None:
    n, rounds, lanes, seed = field
    draw = drawn(list(range(1, n + 1)), rounds, lanes, seed)
    assert starts(draw) == Counter(dict.fromkeys(range(1, n + 1), rounds))
    for turn in range(1, rounds + 1):
        boats = [boat for heat in draw.of_round(turn) for boat in heat.boats]
        assert sorted(boats) == list(range(1, n + 1))
        sizes = [len(heat.boats) for heat in draw.of_round(turn)]
        assert max(sizes) - min(sizes) <= 1
    assert [heat.number for heat in draw.heats] == list(range(1, len(draw.heats) + 1))
    assert [heat.round for heat in draw.heats] == sorted(heat.round for heat in draw.heats)


@SLOW
@given(fields)
def test_lanes_are_perfect_and_no_draw_is_below_its_bound(field: tuple[int, int, int, int]) -> None:
    n, rounds, lanes, seed = field
    draw = drawn(list(range(1, n + 1)), rounds, lanes, seed)
    counts = draw.counts
    assert counts.lane_excess == 0
    assert counts.most_in_one_lane <= -(-rounds // lanes)
    assert counts.repeats >= draw.bound


@SLOW
@given(fields, st.data())
def test_other_numbers_on_the_boats_give_the_same_lots_under_other_names(
    field: tuple[int, int, int, int], data: st.DataObject
) -> None:
    n, rounds, lanes, seed = field
    numbers = sorted(data.draw(st.lists(st.integers(1, 9999), min_size=n, max_size=n, unique=True)))
    plain = drawn(list(range(1, n + 1)), rounds, lanes, seed)
    named = drawn(numbers, rounds, lanes, seed)
    assert named.counts == plain.counts
    assert named.bound == plain.bound
    new = [[numbers[boat - 1] if boat else None for boat in heat.lanes] for heat in plain.heats]
    assert [list(heat.lanes) for heat in named.heats] == new


@SLOW
@given(fields, st.data())
def test_after_any_change_raced_heats_stand_and_nobody_is_forgotten(
    field: tuple[int, int, int, int], data: st.DataObject
) -> None:
    n, rounds, lanes, seed = field
    draw = drawn(list(range(1, n + 1)), rounds, lanes, seed)
    raced = data.draw(st.integers(0, len(draw.heats)))
    gone = data.draw(st.lists(st.integers(1, n), max_size=max(0, n - 2), unique=True))
    came = data.draw(st.lists(st.integers(100, 110), max_size=3, unique=True))
    after = redraw(draw, raced=raced, without=gone, late=came).draw
    assert after.heats[:raced] == draw.heats[:raced]
    assert [heat.number for heat in after.heats] == list(range(1, len(after.heats) + 1))
    for heat in after.heats[raced:]:
        assert not set(gone) & set(heat.boats)
        assert len(set(heat.boats)) == len(heat.boats) > 0
    stay = set(range(1, n + 1)) - set(gone)
    assert {boat: starts(after)[boat] for boat in stay} == dict.fromkeys(stay, rounds)
    rounds_ahead = {heat.round for heat in after.heats[raced:]}
    for boat in came:
        assert starts(after)[boat] == len(rounds_ahead)
    assert after.counts.repeats >= after.bound


@st.composite
def days(draw: st.DrawFn) -> tuple[list[Event], list[int]]:
    """A day of whole rounds: each heat an order, some boats not finished."""
    n = draw(st.integers(2, 14))
    rounds = draw(st.integers(1, 4))
    lots = drawn(list(range(1, n + 1)), rounds, draw(st.integers(2, 6)), draw(st.integers(0, 99)))
    log = []
    for heat in lots.heats:
        order = draw(st.permutations(heat.boats))
        last = draw(st.integers(0, 2))
        outcomes = {
            boat: Outcome(code="DNF") if place > len(order) - last else Outcome(place=place)
            for place, boat in enumerate(order, 1)
        }
        log.append(Event(kind="result", heat=heat.number, outcomes=outcomes))
    return log, list(range(1, n + 1))


TABLES = (POWERBOAT, LOW_POINT, PointsTable(name="ours", points=tuple(range(20, 0, -1)), discards=1))


@QUICK
@given(days(), st.data())
def test_the_order_in_which_heats_are_typed_never_changes_the_standings(
    day: tuple[list[Event], list[int]], data: st.DataObject
) -> None:
    log, boats = day
    shuffled = data.draw(st.permutations(log))
    turned = [
        Event(kind=e.kind, heat=e.heat, outcomes=dict(data.draw(st.permutations(list(e.outcomes.items())))))
        for e in shuffled
    ]
    for table in TABLES:
        assert standings(replay(turned), table, entries=boats) == standings(replay(log), table, entries=boats)


@QUICK
@given(days(), st.data())
def test_a_correction_and_its_correction_back_change_nothing(
    day: tuple[list[Event], list[int]], data: st.DataObject
) -> None:
    log, _ = day
    heat = data.draw(st.sampled_from(log))
    boat = data.draw(st.sampled_from(sorted(heat.outcomes)))
    was, new = heat.outcomes[boat], Outcome(code=data.draw(st.sampled_from(["DSQ", "DNS", "DNE"])))
    there = Event(kind="correction", heat=heat.heat, outcomes={boat: new}, was={boat: was}, reason="film")
    back = Event(
        kind="correction", heat=heat.heat, outcomes={boat: was}, was={boat: new}, reason="wrong film"
    )
    for table in TABLES:
        before = standings(replay(log), table)
        assert standings(replay([*log, there, back]), table) == before
        assert standings(replay([*log, there]), table).rows != before.rows or was.place is None


@QUICK
@given(days())
def test_a_restart_in_the_middle_of_the_log_loses_nothing(day: tuple[list[Event], list[int]]) -> None:
    log, _ = day
    known = [replay(log[:k]).heats for k in range(len(log) + 1)]
    assert all(dict(early).items() <= dict(late).items() for early, late in pairwise(known))


@QUICK
@given(days(), st.integers(0, 10**6))
def test_other_numbers_on_the_boats_give_the_same_points(
    day: tuple[list[Event], list[int]], seed: int
) -> None:
    log, boats = day
    new = dict(zip(boats, Chance(seed).shuffled(boats), strict=True))
    renamed = [
        Event(kind=e.kind, heat=e.heat, outcomes={new[b]: outcome for b, outcome in e.outcomes.items()})
        for e in log
    ]
    for table in TABLES:
        before, after = standings(replay(log), table), standings(replay(renamed), table)
        assert {(new[r.boat], r.place, r.points) for r in before.rows} == {
            (r.boat, r.place, r.points) for r in after.rows
        }


@QUICK
@given(days())
def test_points_in_the_table_are_what_was_counted(day: tuple[list[Event], list[int]]) -> None:
    log, _ = day
    for table in TABLES:
        made = standings(replay(log), table)
        for row in made.rows:
            assert row.points == pytest.approx(sum(score.points for score in row.counted), abs=1e-5)
            assert len(row.dropped) == made.discards
        places = [row.place for row in made.rows]
        assert places == sorted(places)
        assert places[:1] in ([1], [])
