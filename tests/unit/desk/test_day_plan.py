"""``day.toml``: read, drawn, and refused in one sentence."""

from __future__ import annotations

import copy
import datetime
import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from skimwright import app, desk
from skimwright.base import SkimwrightError
from skimwright.pond import Place

DEMO = Path(app.__file__).parent / "demo_season"
TABLE = tomllib.loads((DEMO / "day.toml").read_text("utf8"))
DATE = datetime.date(2027, 5, 22)
PLACE = Place(latitude=math.radians(52), longitude=math.radians(1), utc_offset=1)


def lots() -> desk.DayLots:
    entries = desk.read_entries(app.Disk().rows(DEMO / "entries.csv"))
    return desk.draw_day(desk.read_day_plan(TABLE, date=DATE, place=PLACE), entries)


def test_the_demonstration_day_fits_with_nothing_to_say() -> None:
    made = lots()
    assert made.findings == ()
    assert len(made.timetable.heats) == 25
    assert made.timetable.last_before == {"afternoon wind": 25, "sunset": 25}
    assert made.timetable.slack == 600


def test_lots_of_the_day_are_those_of_the_lots_command() -> None:
    entries = desk.read_entries(app.Disk().rows(DEMO / "entries.csv"))
    alone = desk.draw_entries(entries, group="Rush", rounds=4, lanes=6, seed=1906)
    assert lots().draws["Rush"] == alone.draw


def changed(*path: Any, to: Any) -> dict[str, Any]:
    table = copy.deepcopy(TABLE)
    inner: Any = table
    for step in path[:-1]:
        inner = inner[step]
    if to is None:
        del inner[path[-1]]
    else:
        inner[path[-1]] = to
    return table


@pytest.mark.parametrize(
    "table, words",
    [
        (changed("sessions", to=None), "no sessions"),
        (changed("day", "opens", to="8 o'clock"), "day.toml, [day] opens: not a time of day"),
        (changed("day", "clear", to=None), "day.toml, [day] clear: this line is missing"),
        (changed("day", "clear", to="24:00"), "not a time of day"),
        (changed("sessions", 1, "groups", to=[]), "no groups race in this session"),
        (changed("sessions", 1, "rounds", to=0), "rounds: not such a number"),
        (changed("sessions", 1, "round", to=4), "unknown name"),
        (changed("sessions", 0, "kind", to="qualify"), 'Did you mean "qualifying"?'),
        (changed("sessions", 0, "end", to="08:30"), "late qualifying ends before it starts"),
        (changed("sessions", 3, "start", to="21:30"), "open handicap starts after sunset"),
        (changed("no_heat_after", "wind", to="late"), "not a time of day"),
    ],
)
def test_a_plan_that_cannot_be_read_is_refused_in_one_sentence(table: dict[str, Any], words: str) -> None:
    with pytest.raises(SkimwrightError) as told:
        desk.read_day_plan(table, date=DATE, place=PLACE)
    said = told.value.sentence()
    assert words in said
    assert "day.toml" in said
    assert "\n" not in said


def test_a_group_nobody_entered_and_one_without_a_session_are_named() -> None:
    entries = desk.read_entries(app.Disk().rows(DEMO / "entries.csv"))
    with pytest.raises(SkimwrightError, match='Did you mean "Rush"'):
        desk.draw_day(desk.read_day_plan(changed("sessions", 1, "groups", to=["Rash"]), date=DATE), entries)
    plan = desk.read_day_plan(changed("sessions", 1, "groups", to=["Rush", "Reed"]), date=DATE)
    codes = [finding.code for finding in desk.draw_day(plan, entries).findings]
    assert codes == ["group-without-session", "group-without-session"]
