"""The race half of the bad-data pack: each slip planted in the demonstration's log is asked about, and the day goes on.

Nothing is averaged, nothing is dropped silently, and no heat that is sound stops counting.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Rows = list[list[str]]


@pytest.fixture
def log(season: Path) -> Path:
    return season / "results.csv"


def lines(log: Path) -> Rows:
    return [line.split(",") for line in log.read_text("utf8").splitlines()]


def spoil(log: Path, change: Callable[[Rows], Rows]) -> None:
    log.write_text("\n".join(",".join(row) for row in change(lines(log))) + "\n", "utf8")


def asked(say: Any, log: Path, at: str = "15:20") -> dict[str, str]:
    """What the day asks, by code and place."""
    said = say("call", "--season", str(log.parent), "--at", at, "--json")
    assert said.status == 0, said.err
    found = json.loads(said.out)["findings"]
    return {f"{each['code']} {each['where']}": each["what"] for each in found}


def counting(say: Any, log: Path) -> set[int]:
    said = say("points", str(log), "--json")
    assert said.status == 0, said.err
    table = json.loads(said.out)["table"]
    return {race["heat"] for row in table for race in row["races"] if race["heat"]}


def where(row: list[str], *, event: str, heat: str, boat: str = "", phone: str = "") -> bool:
    return (
        row[3] == event and row[5] == heat and (not boat or row[6] == boat) and (not phone or row[1] == phone)
    )


def test_the_sound_log_asks_only_about_the_slow_clock(say: Any, log: Path) -> None:
    assert set(asked(say, log)) == {"clock-off heat 2"}
    assert counting(say, log) == set(range(1, 26))


def test_a_torn_sheet_with_lane_3_unreadable_waits_for_that_place_alone(say: Any, log: Path) -> None:
    def torn(rows: Rows) -> Rows:
        head, kept = (
            rows[0],
            [row for row in rows[1:] if row[5] != "13" or row[3] not in ("finish", "result")],
        )
        places = {"02": "1", "04": "2", "01": "?", "06": "4", "03": "5", "05": "6"}
        sheet = [["", "", "scorer", "result", "Cress", "13", b, "", p, "", ""] for b, p in places.items()]
        return [head, *kept, *[[*row, *[""] * (len(head) - len(row))] for row in sheet]]

    spoil(log, torn)
    told = asked(say, log)["heat-held heat 13"]
    assert "the place of boat 01, which cannot be read; the only place left is 3" in told
    assert counting(say, log) == set(range(1, 26)) - {13}


def test_a_withdrawn_boat_that_is_scored_is_asked_about(say: Any, log: Path) -> None:
    def score(rows: Rows) -> Rows:
        return [
            [*row[:6], "24", *row[7:]] if row[3] == "finish" and row[5:7] == ["16", "19"] else row
            for row in rows
        ]

    spoil(log, score)
    assert "boat 24 had withdrawn, yet is scored here" in asked(say, log)["heat-held heat 16"]
    assert counting(say, log) == set(range(1, 26)) - {16}


def test_two_finish_phones_that_disagree_wait_for_the_marshal(say: Any, log: Path) -> None:
    spoil(log, lambda rows: [row for row in rows if not where(row, event="decision", heat="7")])
    assert "the marshal: the finish phones differ" in asked(say, log)["heat-held heat 7"]
    assert counting(say, log) == set(range(1, 26)) - {7}


def test_a_row_for_boat_31_is_named_and_its_heat_waits(say: Any, log: Path) -> None:
    spoil(
        log,
        lambda rows: [
            [*row[:6], "31", *row[7:]]
            if where(row, event="finish", heat="2", phone="finish B", boat="07")
            else row
            for row in rows
        ],
    )
    told = asked(say, log)
    left_out = next(what for name, what in told.items() if name.startswith("row-left-out"))
    assert "boat 31 is not entered" in left_out
    assert "the finish phones differ" in told["heat-held heat 2"]


def test_a_clock_two_hours_wrong_changes_no_points_and_is_named(say: Any, log: Path) -> None:
    before = say("points", str(log)).out.split("Note:")[0]
    spoil(
        log,
        lambda rows: [
            [f"{(int(row[0][:2]) + 2) % 24:02d}{row[0][2:]}", *row[1:]] if row[1] == "finish B" else row
            for row in rows
        ],
    )
    assert say("points", str(log)).out.split("Note:")[0] == before
    assert any(name.startswith("clock-off") for name in asked(say, log))


def test_a_heat_typed_twice_counts_once_and_a_difference_is_shown(say: Any, log: Path) -> None:
    def again(rows: Rows) -> Rows:
        sheet = [row for row in rows if where(row, event="result", heat="13")]
        places = [row[8] for row in sheet]
        swapped = [[*row[:8], place, *row[9:-1], ""] for row, place in
                   zip(sheet, [places[1], places[0], *places[2:]], strict=True)]  # fmt: skip
        return [*rows, *[[*row[:-1], ""] for row in sheet], *swapped]

    spoil(log, again)
    told = asked(say, log)["heat-doubted heat 13"]
    assert "reported more than once, and not alike" in told
    assert "the first is kept" in told
    assert counting(say, log) == set(range(1, 26))


def test_times_5_05_and_50_5_and_a_comma_decimal(say: Any, log: Path) -> None:
    def clocked(rows: Rows) -> Rows:
        at = rows[0].index("seconds") if "seconds" in rows[0] else None
        if at is None:
            rows = [[*row, "seconds" if n == 0 else ""] for n, row in enumerate(rows)]
            at = len(rows[0]) - 1
        finishes = [row for row in rows if row[3] == "finish"]
        for row, text in zip(finishes, ("5.05", "50.5", "five", "-3"), strict=False):
            row[at] = text
        return rows

    spoil(log, clocked)
    told = asked(say, log)
    assert sum(name.startswith("cell-not-read") for name in told) == 2, told
    assert "heat-held heat 1" not in told, "a time that cannot be read takes no place away"


def test_a_file_cut_off_at_half_keeps_every_whole_row_before_the_cut(say: Any, log: Path) -> None:
    whole = log.read_text("utf8")
    half = whole[: len(whole) // 2].rsplit("\n", 1)[0] + "\n10:5"
    log.write_text(half, "utf8")
    said = say("call", "--season", str(log.parent), "--at", "12:00")
    assert said.status == 2
    assert said.err.count("\n") == 1
    assert "breaks off in this row" in said.err
    log.write_text(half.rsplit("\n", 1)[0] + "\n", "utf8")  # as the message says: the broken row taken out
    assert counting(say, log) >= set(range(1, 10))


def test_a_spreadsheets_dates_name_the_row_and_the_rest_is_read(say: Any, log: Path) -> None:
    spoil(log, lambda rows: [["22/05/2027", *row[1:]] if row[5] == "5" else row for row in rows])
    told = asked(say, log)
    assert sum(name.startswith("cell-not-read") for name in told) > 5
    assert not any(name.startswith(("heat-held", "row-left-out")) for name in told)
