"""Points and places: tables as data, ties in words, codes, discards."""

from __future__ import annotations

import pytest

from skimwright.base import InputError
from skimwright.regatta import (
    LOW_POINT,
    POWERBOAT,
    Event,
    Outcome,
    PointsTable,
    Standings,
    read_outcome,
    replay,
    standings,
)
from skimwright.regatta.standings import score_heat


def heat(number: int, text: str, *, group: str = "") -> Event:
    pairs = (part.split(":") for part in text.split())
    outcomes = {int(boat): read_outcome(said.replace("_", " ")) for boat, said in pairs}
    return Event(kind="result", heat=number, group=group, outcomes=outcomes, reason="seen")


def table_of(made: PointsTable, *heats: Event, **more: object) -> Standings:
    return standings(replay(heats), made, **more)  # type: ignore[arg-type]


def order(made: Standings) -> list[int]:
    return [row.boat for row in made.rows]


def test_most_points_win_in_the_powerboat_table() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:2 3:3"), heat(2, "1:3 2:1 3:2"))
    assert [(r.boat, r.points) for r in made.rows] == [(2, 700), (1, 625), (3, 525)]


def test_not_finishing_counts_nothing_in_the_powerboat_table() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:DNF 3:DNS 4:DSQ"))
    assert [r.points for r in made.rows] == [400, 0, 0, 0]


def test_a_site_may_give_a_point_for_not_finishing() -> None:
    ours = PointsTable(name="ours", points=(10, 9, 8), code_points={"DNF": 1})
    assert [r.points for r in table_of(ours, heat(1, "1:1 2:DNF 3:DNS")).rows] == [10, 1, 0]


def test_a_disqualified_boat_moves_those_behind_it_up() -> None:
    made = table_of(LOW_POINT, heat(1, "1:1 2:DSQ 3:3 4:4"))
    assert {r.boat: r.points for r in made.rows} == {1: 1, 3: 2, 4: 3, 2: 5}  # A6; five is entries + 1


def test_a_tie_in_a_race_shares_the_points_of_its_places() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:2= 3:2= 4:4"))
    assert [r.points for r in made.rows] == [400, 262.5, 262.5, 169]


def test_more_places_than_the_table_has_are_asked_about() -> None:
    short = PointsTable(name="short", points=(5, 3))
    made = table_of(short, heat(1, "1:1 2:2 3:3"))
    assert made.rows[2].points == 0
    assert made.findings[0].code == "table-short"
    assert "places 3 to 3" in made.findings[0].do


def test_two_boats_level_in_everything_share_a_place() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:2 3:3"), heat(2, "4:1 5:2 6:3"))
    assert [(r.place, r.is_shared) for r in made.rows] == [
        (1, True),
        (1, True),
        (3, True),
        (3, True),
        (5, True),
        (5, True),
    ]
    assert "share the place" in made.rows[0].tie_broken_by


def test_the_words_name_rule_other_boat_and_numbers() -> None:
    made = table_of(LOW_POINT, heat(1, "1:1 2:2 3:3"), heat(2, "2:1 1:2 3:3"), discards=0)
    assert order(made) == [2, 1, 3]
    assert made.rows[0].tie_broken_by == "ahead of 01 by the last race (race 2: 1 against 2)"
    assert made.rows[1].tie_broken_by == "behind 02 by the last race (race 2: 2 against 1)"
    assert made.rows[2].tie_broken_by == ""


def test_least_time_parts_a_tie_for_first_in_two_heats_and_only_there() -> None:
    def timed(number: int, *places: tuple[int, int, float]) -> Event:
        return Event(
            kind="result", heat=number, outcomes={b: Outcome(place=p, seconds=s) for b, p, s in places}
        )

    two = [timed(1, (1, 1, 5.0), (2, 2, 5.1)), timed(2, (2, 1, 4.0), (1, 2, 4.8))]
    made = table_of(POWERBOAT, *two)
    assert order(made) == [2, 1]
    assert "least time over both heats (9.1 against 9.8)" in made.rows[0].tie_broken_by
    three = [*two, timed(3, (1, 1, 5.0), (2, 1, 5.0))]
    assert "least time" not in table_of(POWERBOAT, *three).rows[0].tie_broken_by


def test_the_worst_race_is_left_out_and_of_equal_ones_the_earliest() -> None:
    made = table_of(LOW_POINT, *(heat(n, "1:2 2:1") for n in (1, 2, 3)))
    row = next(r for r in made.rows if r.boat == 1)
    assert [s.is_dropped for s in row.scores] == [True, False, False]  # A2.1
    assert row.points == 4


def test_never_so_many_races_are_left_out_that_none_is_left() -> None:
    assert table_of(LOW_POINT, heat(1, "1:1 2:2")).rows[1].points == 2
    assert table_of(LOW_POINT, heat(1, "1:1 2:2"), heat(2, "1:1 2:2"), discards=5).discards == 1


def test_who_is_entered_once_is_scored_for_every_race() -> None:
    made = table_of(LOW_POINT, heat(1, "1:1 2:2"), heat(2, "1:1 2:2"), entries=(1, 2, 3), discards=0)
    assert {r.boat: r.points for r in made.rows} == {1: 2, 2: 4, 3: 8}  # A2.2: twice 3 + 1
    assert "03" in next(f for f in made.findings if f.code == "race-missed").what


def test_a_boat_missing_in_the_middle_misses_that_race_and_no_other() -> None:
    made = table_of(LOW_POINT, heat(1, "1:1 2:2 3:3"), heat(2, "1:1 2:2"), heat(3, "3:1 1:2 2:3"), discards=0)
    row = next(r for r in made.rows if r.boat == 3)
    assert [(s.heat, s.points) for s in row.scores] == [(1, 3), (None, 4), (3, 1)]


def test_heats_of_a_round_make_one_race() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:2"), heat(2, "3:1 4:2"), heat(3, "1:1 3:2"), heat(4, "2:1 4:2"))
    assert made.rounds == 2


def test_codes_may_count_from_the_boats_at_that_start() -> None:
    starters = PointsTable(name="starters", most_wins=False, base="starters")
    made = table_of(starters, heat(1, "1:1 2:DNF 3:DNC"), heat(2, "4:1 5:2 6:DNF"))
    assert {r.boat: r.points for r in made.rows} == {1: 1, 4: 1, 5: 2, 2: 3, 6: 4, 3: 7}


def test_penalties_add_and_never_pass_not_finishing() -> None:
    fleet = "1:1 2:2 3:3_ZFP 4:4 5:5 6:6 7:7 8:8 9:9_SCP"
    made = table_of(LOW_POINT, heat(1, fleet))
    points = {r.boat: r.points for r in made.rows}
    assert points[3] == 5  # a fifth of ten, added
    assert points[9] == 10  # 9 + 2 would pass the ten of a boat that does not finish
    assert table_of(LOW_POINT, heat(1, "1:1 2:2_DPI_0.5")).rows[1].points == 2.5
    assert table_of(POWERBOAT, heat(1, "1:1 2:2_DPI_20")).rows[1].points == 280
    assert table_of(LOW_POINT, heat(1, "1:1 2:RDG_1.5")).rows[1].points == 1.5


def test_a_table_without_penalties_says_that_the_place_stands() -> None:
    made = table_of(POWERBOAT, heat(1, "1:1 2:2_ZFP"))
    assert made.rows[1].points == 300
    assert "penalty-unknown" in [f.code for f in made.findings]


def test_small_heats_in_a_fleet_table_are_pointed_out() -> None:
    made = table_of(LOW_POINT, heat(1, "1:1 2:2"), heat(2, "3:1 4:2"))
    assert "small-heats" in [f.code for f in made.findings]


def test_only_the_heats_of_the_group_count() -> None:
    log = [heat(1, "1:1 2:2", group="Rush"), heat(2, "2:1 1:2", group="Open")]
    assert order(table_of(POWERBOAT, *log, group="Rush")) == [1, 2]
    assert order(table_of(POWERBOAT, *log, group="Open")) == [2, 1]


def test_a_held_heat_does_not_count_yet() -> None:
    torn = Event(kind="result", heat=2, outcomes={1: Outcome(), 2: Outcome(place=1)})
    assert table_of(POWERBOAT, heat(1, "1:1 2:2"), torn).rounds == 1


def test_nobody_yet_makes_an_empty_table() -> None:
    assert table_of(POWERBOAT).rows == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"points": (1, 2, 3)},
        {"points": (3, 2, 1), "most_wins": False},
        {"points": ()},
        {"points": (), "most_wins": False, "base": "fixed"},
    ],
)
def test_a_table_that_contradicts_itself_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(InputError):
        PointsTable(name="wrong", **wrong)  # type: ignore[arg-type]


def test_a_heat_is_scored_by_the_boats_that_keep_their_places() -> None:
    state = replay([heat(1, "1:1 2:DSQ 3:3= 4:3= 5:5")]).heats[1]
    scores = score_heat(state, LOW_POINT, entries=5)
    assert {boat: s.points for boat, s in scores.items()} == {1: 1, 2: 6, 3: 2.5, 4: 2.5, 5: 4}
