"""``print day`` and its papers from the command line, and a kit still printed as before."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pdfplumber
import pytest


def answer(say: Any, *words: str) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def refused(say: Any, *words: str) -> str:
    said = say(*words)
    assert said.status == 2, said.out
    assert said.err.count("\n") == 1
    return str(said.err)


def text_of(path: str, page: int = 0) -> str:
    with pdfplumber.open(path) as book:
        return str(book.pages[page].extract_text())


def test_print_day_writes_every_paper_and_a_file_to_type_into(say: Any, season: Path, tmp_path: Path) -> None:
    out = tmp_path / "papers"
    found = answer(say, "print", "day", "--season", str(season), "--out", str(out))
    assert sorted(path.name for path in out.iterdir()) == [
        "blank-a4.pdf", "call-board-a3.pdf", "cards-a4.pdf", "heats-a4.pdf", "pack-a4.pdf", "queue-a4.pdf",
        "run-log-a4.pdf", "scales-a4.pdf", "talk-a4.pdf", "type-back.csv",
    ]  # fmt: skip
    pages = {row["paper"]: row["pages"] for row in found["papers"]}
    assert pages["heats"] == len(found["heats"]) == 25
    assert pages["call-board"] == 1 + 9  # the three words, and three heats a page
    assert found["pages"] == sum(pages.values())
    lines = (out / "type-back.csv").read_text("utf8").splitlines()
    assert lines[:2] == ["heat,lanes,group,planned,reason", "1,,Cress,10:15,"]
    assert len(lines) == 26
    heat = text_of(str(out / "heats-a4.pdf"), 1)
    assert "Rush, round 1" in heat
    assert "Planned 10:24" in heat
    pack = " ".join(text_of(str(out / "pack-a4.pdf"), page) for page in range(4))
    assert "safety officer says all clear" in " ".join(pack.split())
    assert "gust 6.5 m/s" in pack  # from the season's limits.toml


def test_one_heat_on_letter(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(
        say,
        "print",
        "heats",
        "cards",
        "--heats",
        "3",
        "--paper",
        "letter",
        "--season",
        str(season),
        "--out",
        str(tmp_path),
    )
    assert found["papers"] == [{"paper": "heats", "pages": 1}, {"paper": "cards", "pages": 2}]


def test_the_call_board_of_now(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(say, "print", "call-board", "--now", "24", "--season", str(season), "--out", str(tmp_path))
    text = text_of(found["files"][0])
    assert "NOW" in text
    assert "NEXT" in text
    assert "AFTER" not in text  # the last heat but one is on the water


def test_points_of_the_table_asked_for(say: Any, season: Path, tmp_path: Path) -> None:
    words = ("print", "pack", "--season", str(season), "--out", str(tmp_path), "--table")
    answer(say, *words, "low-point")
    assert "Fewest points win" in text_of(str(tmp_path / "pack-a4.pdf"), 4)
    assert "no points table of this name" in refused(say, *words, "goals")


def test_what_needs_no_plan_is_printed_without_one(say: Any, season: Path, tmp_path: Path) -> None:
    (season / "day.toml").unlink()
    (season / "limits.toml").unlink()
    found = answer(
        say, "print", "blank", "run-log", "queue", "pack", "--season", str(season), "--out", str(tmp_path)
    )
    assert found["heats"] == []
    assert "no day.toml" in say("print", "heats", "--season", str(season), "--out", str(tmp_path)).err
    pack = " ".join(text_of(str(tmp_path / "pack-a4.pdf"), page) for page in range(4))
    assert "write them here before the day" in " ".join(pack.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("heats", "Fold 62"), "a kit and papers of the day are printed by themselves"),
        (("heats", "--heats", "8-5"), "not the numbers of heats"),
        (("heats", "--heats", "99"), "there is no such heat"),
        (("call-board", "--now", "99"), "there is no such heat"),
        (("day", "--paper", "sheet"), "papers of the day are not printed on a sheet of board"),
    ],
)
def test_bad_input_is_one_sentence(
    say: Any, season: Path, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    assert said in refused(say, "print", *words, "--season", str(season), "--out", str(tmp_path))


def test_a_kit_is_still_printed_as_templates(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(
        say, "print", "Fold 62", "--part", "POD-1 left", "--season", str(season), "--out", str(tmp_path)
    )
    assert found["kits"][0]["kit"] == "Fold 62"
    assert found["paper"] == "a4"
