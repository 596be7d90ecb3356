"""``finish --file``: heat sheets typed back in give the points of the phones, and doubles stand side by side."""

from __future__ import annotations

import json
import random
import re
from pathlib import Path
from typing import Any

import pytest

from skimwright import app, desk

HEADING = "time,phone,who,event,group,heat,boat,old,new,seconds,reason"
AT = ("--at", "2027-05-22T15:00:00+01:00")


@pytest.fixture
def heats(season: Path) -> list[Any]:
    """The sixteen group heats of the plan; the log is empty."""
    (season / "results.csv").write_text(f"{HEADING}\n", "utf8")
    disk = app.Disk()
    read = disk.season(str(season))
    plan = desk.read_day_plan(
        disk.table(season / "day.toml"), date=read.regatta, place=read.pond and read.pond.place
    )
    lots = desk.draw_day(plan, desk.read_entries(disk.rows(season / "entries.csv")))
    return list(lots.timetable.heats[:16])


def answer(say: Any, *words: str) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def typed(say: Any, season: Path, *lines: str) -> dict[str, Any]:
    path = season.parent / "typed.csv"
    path.write_text("\n".join(["heat,lanes,reason", *lines]) + "\n", "utf8")
    return answer(say, "finish", "--file", str(path), "--season", str(season), *AT)


def phones(season: Path, orders: dict[int, list[int]], heats: list[Any]) -> None:
    groups = {heat.number: heat.group for heat in heats}
    rows = [
        f"10:15,{phone},,finish,{groups[number]},{number},{boat:02d},,{place},,"
        for number, order in orders.items()
        for phone in ("finish A", "finish B")
        for place, boat in enumerate(order, 1)
    ]
    (season / "results.csv").write_text("\n".join([HEADING, *rows]) + "\n", "utf8")


def table(say: Any, season: Path) -> list[dict[str, Any]]:
    rows = answer(say, "points", "--season", str(season))["table"]
    assert isinstance(rows, list)
    return rows


def test_sixteen_heats_from_paper_give_the_points_table_of_the_phones(
    say: Any, season: Path, heats: list[Any]
) -> None:
    chance = random.Random(7)
    lanes = {heat.number: chance.sample(range(1, 7), 6) for heat in heats}
    found = typed(say, season, *(f"{number},{''.join(map(str, order))}," for number, order in lanes.items()))
    assert found["rows_added"] == 96
    assert {heat["says"] for heat in found["typed"]} == {"new"}
    on_paper = table(say, season)
    assert len(on_paper) == 24
    seats = {heat.number: heat.lanes for heat in heats}
    phones(season, {n: [seats[n][lane - 1] for lane in order] for n, order in lanes.items()}, heats)
    assert table(say, season) == on_paper


def test_the_file_that_print_heats_lays_out_is_the_one_to_type_into(
    say: Any, season: Path, heats: list[Any], tmp_path: Path
) -> None:
    answer(say, "print", "heats", "--season", str(season), "--out", str(tmp_path))
    path = tmp_path / "type-back.csv"
    path.write_text(re.sub(r"^(1|2),,", r"\1,315246,", path.read_text("utf8"), flags=re.M), "utf8")
    found = answer(say, "finish", "--file", str(path), "--season", str(season), *AT)
    assert [heat["heat"] for heat in found["typed"]] == [1, 2]
    assert found["not_raced"] == list(range(3, 26))
    assert found["did"] == "2 heats from paper: 2 new, 0 known already."


def test_the_same_file_put_in_twice_adds_nothing(say: Any, season: Path, heats: list[Any]) -> None:
    lines = ("1,315246,", "2,3?5246,torn", "3,31524x6,cut in")
    assert typed(say, season, *lines)["rows_added"] == 18
    before = (season / "results.csv").read_bytes()
    again = typed(say, season, *lines)
    assert [heat["says"] for heat in again["typed"]] == ["the same"] * 3
    assert again["rows_added"] == 0
    assert (season / "results.csv").read_bytes() == before


def test_a_torn_sheet_holds_its_heat_and_nothing_is_guessed(say: Any, season: Path, heats: list[Any]) -> None:
    found = typed(say, season, "1,1?5246,sheet torn at lane 3")
    assert found["typed"][0]["gaps"] == [heats[0].lanes[2]]
    held = answer(say, "points", "--season", str(season))
    assert held["held_heats"] == [1]
    lane_3 = f"{heats[0].lanes[2]:02d}"
    assert f",{lane_3},,?," in (season / "results.csv").read_text("utf8")


def test_paper_and_phones_that_differ_stand_side_by_side_and_the_marshal_decides(
    say: Any, season: Path, heats: list[Any]
) -> None:
    order = [boat for boat in heats[0].lanes if boat]
    phones(season, {1: order}, heats)
    before = table(say, season)
    found = typed(say, season, "1,213456,")
    (heat,) = found["typed"]
    assert heat["says"] == "not alike"
    assert "finish A:" in heat["side_by_side"]
    assert "paper:" in heat["side_by_side"]
    assert table(say, season) == before  # what the phones said stands


def test_a_heat_typed_twice_in_one_file_is_kept_once(say: Any, season: Path, heats: list[Any]) -> None:
    found = typed(say, season, "1,315246,", "1,135246,", "1,315246,")
    assert [heat["says"] for heat in found["typed"]] == ["new", "not alike", "the same"]
    assert answer(say, "points", "--season", str(season))["held_heats"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("finish", "9", "--file", "FILE"), "a file says which heats and boats it is about"),
        (("finish",), "Which heat is it"),
        (("finish", "--file", "FILE"), "lane 3 stands there twice"),
    ],
)
def test_bad_input_is_one_sentence(
    say: Any, season: Path, heats: list[Any], words: tuple[str, ...], said: str
) -> None:
    path = season.parent / "typed.csv"
    path.write_text("heat,lanes\n1,33\n", "utf8")
    told = say(*(str(path) if word == "FILE" else word for word in words), "--season", str(season))
    assert told.status == 2
    assert said in told.err
    assert told.err.count("\n") == 1
    assert (season / "results.csv").read_text("utf8") == f"{HEADING}\n"
