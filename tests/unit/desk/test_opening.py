"""What keeps the event shut, and the year read off the files."""

from __future__ import annotations

import datetime

import pytest

from skimwright import app, desk

FILES = app.Disk()
SEASON = FILES.season(str(FILES.demo_season()))
LIMITS = desk.read_site_limits(FILES.table(FILES.demo_season() / "limits.toml"))
TRIAL_DAY = SEASON.regatta - datetime.timedelta(days=7)


def sheet(today: datetime.date, **given: object) -> dict[str, desk.SheetLine]:
    records = desk.OpeningRecords(season=SEASON, today=today, **({"limits": LIMITS} | given))  # type: ignore[arg-type]
    return {line.what: line for line in desk.safety_sheet(records)}


def test_without_limits_nothing_opens_on_any_day() -> None:
    for today in (TRIAL_DAY, SEASON.regatta):
        lines = sheet(today, limits=None, no_limits="No limit is written down.")
        assert lines["Limits of the site"].state == "stop"
        assert not desk.may_open(tuple(lines.values()))


@pytest.mark.parametrize(("today", "state"), [(TRIAL_DAY, "care"), (SEASON.regatta, "stop")])
def test_a_day_without_a_plan_keeps_only_the_regatta_shut(today: datetime.date, state: str) -> None:
    line = sheet(today)["Plan of the day and lots"]
    assert line.state == state


def test_a_device_that_nobody_uses_keeps_nothing_shut_and_one_in_use_does() -> None:
    sheets = desk.permission_sheets(SEASON, (), SEASON.regatta)
    assert any(not each.is_open for each in sheets)
    assert sheet(SEASON.regatta, sheets=sheets)["Permission for each device"].state == "ok"
    shut = tuple(each for each in sheets if not each.is_open)[:1]
    from dataclasses import replace

    boats = (replace(SEASON.boats[0], device=shut[0].device.name), *SEASON.boats[1:])
    records = desk.OpeningRecords(
        season=replace(SEASON, boats=boats), today=TRIAL_DAY, limits=LIMITS, sheets=sheets
    )
    assert desk.safety_sheet(records)[1].state == "stop"


def test_the_year_says_of_what_files_cannot_show_that_they_cannot() -> None:
    records = desk.OpeningRecords(season=SEASON, today=TRIAL_DAY, limits=LIMITS)
    lines = desk.season_checklist(records)
    assert [int(line.what.split()[0]) for line in lines] == list(range(1, 16))
    assert lines[3].state == ""
    assert lines[8].state == "care"  # no run is logged here
