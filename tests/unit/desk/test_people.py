"""Crews and helpers: no more than a first name, fourteen jobs, nobody in two places, the school's own ratio."""

from __future__ import annotations

from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.base import ConflictError, InputError, MissingError
from skimwright.desk import (
    Crews,
    Roster,
    Row,
    Rows,
    job_rota,
    make_roster,
    read_crews,
    read_helpers,
    read_ratios,
)
from skimwright.desk.people.roster import MINIMUM

DEMO = Path(app.__file__).parent / "demo_season"
SEASON = store.read_season_folder(DEMO)
GROUPS = tuple(SEASON.groups)
HOUR = 3600.0


def rows(text: str, file: str = "crews.csv") -> Rows:
    heading, *lines = (line.split(",") for line in text.strip().split("\n"))
    return Rows(
        file=file,
        columns=tuple(heading),
        rows=tuple(
            Row(number=n, cells=dict(zip(heading, cells, strict=True))) for n, cells in enumerate(lines, 2)
        ),
    )


def crews(text: str) -> Crews:
    return read_crews(rows("crew,first_name,initial\n" + text))


def roster(*changes: tuple[str, str], ratios: dict[str, int] | None = None) -> Roster:
    text = (DEMO / "helpers.csv").read_text("utf8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    helpers = read_helpers(rows(text, "helpers.csv"), groups=GROUPS)
    usual = read_ratios(store.read_table(DEMO / "people.toml"), groups=GROUPS)
    listed = read_crews(store.read_rows(DEMO / "crews.csv"))
    return make_roster(
        helpers, listed, SEASON.boats, groups=GROUPS, ratios=usual if ratios is None else ratios
    )


def stops(made: Roster) -> list[str]:
    return [f.what for f in made.findings if f.severity == "stop"]


# crews


def test_a_child_is_found_by_first_name_or_with_the_initial() -> None:
    listed = crews("Rush crew 1,Wren,B\nRush crew 2,Idris,\n")
    assert listed.child("wren").called == listed.child("Wren B.").called == "Wren B"
    with pytest.raises(MissingError, match="nobody of this name"):
        listed.child("Marlow")


def test_one_first_name_twice_shows_the_crews_and_asks() -> None:
    listed = crews("Rush crew 1,Wren,B\nReed crew 4,Wren,W\n")
    with pytest.raises(ConflictError, match="Wren B of Rush crew 1; Wren W of Reed crew 4"):
        listed.child("Wren")
    assert listed.child("Wren", crew="reed crew 4").initial == "W"
    assert listed.child("Wren W").crew == "Reed crew 4"


@pytest.mark.parametrize("row", ["Rush crew 1,Wren,Barrowby", "Rush crew 1,Wren Barrowby,"])
def test_a_surname_is_asked_about_and_not_repeated(row: str) -> None:
    listed = crews(row + "\n")
    (finding,) = listed.findings
    assert finding.severity == "stop"
    assert "surname" in finding.what
    assert "Barrowby" not in finding.sentence()
    assert listed.first_names_of("Rush crew 1") == ()


@pytest.mark.parametrize("name", ["Ann-Lou", "Zoë", "D’Arcy"])
def test_other_first_names_are_taken_as_they_are(name: str) -> None:
    assert crews(f"Rush crew 1,{name},B\n").first_names_of("rush crew 1") == (name,)


@pytest.mark.parametrize("column", ["surname", "age", "school", "telephone"])
def test_nothing_more_is_kept_about_a_child(column: str) -> None:
    with pytest.raises(InputError, match="nothing more than a first name and an initial"):
        read_crews(rows(f"crew,first_name,{column}\nRush crew 1,Wren,x\n"))


def test_a_row_without_a_name_is_refused() -> None:
    with pytest.raises(InputError, match=r"crews\.csv, row 2, first_name: this cell is empty"):
        crews("Rush crew 1,,B\n")
    with pytest.raises(InputError, match="not a first name"):
        crews("Rush crew 1,<b>,\n")


@pytest.mark.parametrize("count", [3, 4])
def test_nobody_writes_more_than_twice_in_six_lessons(count: int) -> None:
    names = ["Wren", "Idris", "Marlow", "Fenn"][:count]
    rota = job_rota(names, lessons=6)
    assert all(sum(row[3] == name for row in rota) <= 2 for name in names)
    assert all(len(set(row)) == min(4, count) for row in rota)


def test_a_crew_of_one_needs_no_rota() -> None:
    assert job_rota(["Wren"], lessons=6) == ()


# helpers


def test_the_day_of_the_demonstration_may_open() -> None:
    made = roster()
    assert made.may_open
    assert sum(line.needed for line in made.jobs) == sum(MINIMUM.values()) == 14
    assert [(line.group, line.pupils, line.adults, line.needed) for line in made.groups] == [
        ("Cress", 15, 3, 3),
        ("Rush", 16, 4, 4),
        ("Reed", 15, 2, 2),
        ("Willow", 15, 2, 2),
    ]


@pytest.mark.parametrize("job", MINIMUM)
def test_a_job_without_anybody_bars_the_day(job: str) -> None:
    text = (DEMO / "helpers.csv").read_text("utf8")
    line = next(line for line in text.split("\n") if line.startswith(f"{job},"))
    made = roster((line + "\n", ""))
    assert not made.may_open
    assert any(job in what for what in stops(made))


def test_an_hour_without_a_safety_officer_is_named() -> None:
    made = roster(("safety officer,officer B,,12:40,", "safety officer,officer B,,13:15,"))
    assert stops(made) == ["Nobody is safety officer from 12:40 to 13:15."]


def test_one_person_in_a_boat_is_not_two() -> None:
    made = roster(("boat crew,parent B", "boat crew,parent A"))
    assert "1 of 2 are missing as boat crew from 08:00 to 16:00." in stops(made)
    assert any(what.startswith("parent A is boat crew and boat crew") for what in stops(made))


def test_rowing_and_timing_at_once_is_a_clash() -> None:
    made = roster(
        ("finish,parent C,,,", "finish,Parent A,,09:00,10:00"), ("finish,parent D", "finish,parent C")
    )
    assert "parent A is boat crew and finish from 09:00 to 10:00." in stops(made)


def test_one_after_the_other_is_no_clash() -> None:
    made = roster(
        ("finish,parent C,,,", "finish,parent C,,,12:00\nfinish,officer A,,12:40,"),
    )
    assert not any(what.startswith("officer A") for what in stops(made))


def test_a_ratio_that_is_not_set_is_said_and_never_made_up() -> None:
    made = roster(ratios={})
    assert {line.says for line in made.groups} == {"not set: ask your school"}
    assert {f.code for f in made.findings} == {"ratio-not-set"}
    assert made.may_open
    assert read_ratios({"pupils_to_one_adult": {"Rush": ""}}, groups=GROUPS) == {}


def test_too_few_adults_for_a_group_bar_the_day() -> None:
    made = roster(("group adult,parent K,Rush,,\n", ""))
    assert stops(made) == ["Rush: 16 pupils and 3 group adults; the school's 1:5 asks for 4."]


def test_an_adult_who_leaves_at_noon_does_not_count_for_the_day() -> None:
    assert not roster(("group adult,parent K,Rush,,", "group adult,parent K,Rush,,12:00")).may_open


@pytest.mark.parametrize(
    "old, new, says",
    [
        ("director,", "directer,", "no such job"),
        ("director,leader", "director,", "nobody is named"),
        ("Cress,,", "Cros,,", "no such group"),
        (",,12:40", ",,noon", "not a time of day"),
        (",,12:40", ",,07:00", "ends before it begins"),
        ("job,person", "job,persons", "person: this column is missing"),
    ],
)
def test_a_slip_in_the_list_is_named(old: str, new: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        roster((old, new))


@pytest.mark.parametrize(
    "table, says",
    [
        ({"pupils_to_one_adult": {"Rsh": 5}}, "no such group"),
        ({"pupils_to_one_adult": {"Rush": 0}}, "not a number of pupils"),
        ({"pupils_to_one_adult": {"Rush": "1:5"}}, "not a number of pupils"),
        ({"ratio": 5}, "unknown table"),
    ],
)
def test_a_slip_in_the_ratio_is_named(table: dict[str, object], says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_ratios(table, groups=GROUPS)
