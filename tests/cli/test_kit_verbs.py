"""The kit's verbs as a person types them: sheets, print, labels, order."""

from __future__ import annotations

import csv
import json
import os
import re
import signal
from pathlib import Path
from typing import Any

import pytest

from skimwright.cli.progress import Progress
from skimwright.cli.stopping import stoppable
from skimwright.cli.verb import Ask


@pytest.fixture
def kit(season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Fold 62's file; everything is written into a folder of its own."""
    monkeypatch.chdir(tmp_path)
    return season / "kits" / "fold-62.toml"


def answer(say: Any, *words: str) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    assert all(Path(name).is_file() for name in found.get("files", []))
    return found


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf8")


# --- sheets -------------------------------------------------------------------------------------------


def test_fold_62_lies_on_one_a1_sheet_and_says_why_that_is_the_least(say: Any, kit: Path) -> None:
    """Capability B1: one A1 sheet, 5 mm margin, 3 mm gap, 78.8 % use."""
    found = answer(say, "sheets", str(kit), "--sheet", "841x594")
    assert {"sheets", "lower_bound", "use", "placements", "files"} <= set(found)
    assert (found["sheets"], found["lower_bound"]) == (1, 1)
    assert found["use"] == [pytest.approx(0.788, abs=0.0005)]
    assert len(found["placements"]) == 23
    assert all(set(p) == {"part", "sheet", "x_mm", "y_mm", "turn_deg"} for p in found["placements"])
    assert "no layout can use fewer" in found["proof"]
    stiff = {"DECK-1", "FLOOR-1", "WALL-1 left", "WALL-1 right"}
    assert all(p["turn_deg"] % 180 == 0 for p in found["placements"] if p["part"] in stiff)
    kinds = {Path(name).name for name in found["files"]}
    assert {"sheets.json", "sheets.pdf", "sheet-1.svg", "cutting-order.pdf", "sheet-1-of-1.dxf"} <= kinds


def test_the_same_seed_lays_the_same_sheet(say: Any, kit: Path) -> None:
    first, second = (answer(say, "sheets", str(kit), "--seed", "4")["placements"] for _ in range(2))
    assert first == second


def test_a_sheet_too_small_by_area_is_said_at_once(say: Any, kit: Path) -> None:
    """Capability B1: 762 x 508 holds 0.387 m2, less than the 0.394 m2 of parts: two sheets."""
    found = answer(say, "sheets", str(kit), "--sheet", "762x508")
    assert (found["sheets"], found["lower_bound"]) == (2, 2)
    assert {p["sheet"] for p in found["placements"]} == {1, 2}


def test_several_kits_share_sheets_and_keep_their_names(say: Any, kit: Path) -> None:
    found = answer(
        say,
        "sheets",
        f"{kit}=1",
        f"{kit.parent / 'fold-50.toml'}=2",
        "--sheet",
        "1500x1200",
        "--seconds",
        "5",
    )
    counts = {entry["kit"]: entry["boats"] for entry in found["kits"]}
    assert counts == {"Fold 62": 1, "Fold 50": 2}
    names = [p["part"] for p in found["placements"]]
    assert names.count("Fold 50 / DECK-1") == 2
    assert names.count("Fold 62 / DECK-1") == 1


def test_an_unknown_grain_is_asked_once_and_the_answer_taken(say: Any, kit: Path) -> None:
    edit(kit, 'grain = "long side"', 'grain = "unknown"')
    said = say("sheets", str(kit))
    assert said.status == 2
    assert "Which way does the board bend least?" in said.err
    assert "--grain long" in said.err
    assert answer(say, "sheets", str(kit), "--grain", "long")["grain"] == "long side"


def test_a_small_bed_splits_the_sheet_into_files(say: Any, kit: Path) -> None:
    found = answer(say, "sheets", str(kit), "--bed", "600x400", "--dxf", "r12")
    cutter = [Path(name).name for name in found["files"] if "/cutter/" in name]
    assert "sheet-1-of-1-piece-A1.svg" in cutter
    assert "sheet-1-of-1-piece-B2-mm.dxf" in cutter
    assert len(cutter) == 8


def test_ctrl_c_once_asks_for_the_best_so_far_and_twice_gives_up() -> None:
    ask = Ask(given={}, files=None, progress=Progress())  # type: ignore[arg-type]
    before = signal.getsignal(signal.SIGINT)
    with stoppable(ask, best="layout") as stop:
        assert not stop()
        os.kill(os.getpid(), signal.SIGINT)
        assert stop()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


# --- print --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_whole_kit_takes_fifteen_to_seventeen_small_pages(say: Any, kit: Path, paper: str) -> None:
    """Capability B5: whole kit 15-17 pages."""
    found = answer(say, "print", str(kit), "--paper", paper)
    assert 15 <= found["pages"] <= 17
    assert len(found["files"]) == 1


def test_a_lost_part_is_printed_alone(say: Any, kit: Path) -> None:
    found = answer(say, "print", str(kit), "--part", "POD-4 right")
    assert found["pages"] == 1
    assert Path(found["files"][0]).name == "POD-4-right-a4.pdf"


def test_a_bar_of_97_says_what_happened_and_the_parts_are_not_accepted(say: Any, kit: Path) -> None:
    said = say("print", str(kit), "--bar-reads", "97", "--json")
    found = json.loads(said.out)
    assert said.status == 1
    assert found["factor"] == pytest.approx(0.97)
    assert found["parts_accepted"] is False
    for words in ("3 % short", "601.4 mm", "Do not cut", "actual size", "103.1 %"):
        assert words in found["says"]


@pytest.mark.parametrize(
    "reading, accepted", [("100", True), ("100.3", True), ("99.7", True), ("99.6", False)]
)
def test_a_bar_is_true_within_what_a_ruler_can_tell(
    say: Any, kit: Path, reading: str, accepted: bool
) -> None:
    said = say("print", str(kit), "--bar-reads", reading, "--json")
    assert json.loads(said.out)["parts_accepted"] is accepted
    assert said.status == (0 if accepted else 1)


def test_a_layout_is_printed_as_it_was_laid(say: Any, kit: Path) -> None:
    answer(say, "sheets", str(kit), "--seed", "3")
    found = answer(say, "print", str(kit), "--layout", "sheets/sheets.json", "--paper", "sheet")
    assert found["pages"] == 1


def test_a_kit_edited_after_printing_names_the_parts_to_print_again(say: Any, kit: Path) -> None:
    before = answer(say, "sheets", str(kit))["kits"][0]["edition"]
    edit(kit, "cradle_length_mm = 110", "cradle_length_mm = 104")
    said = say("print", str(kit), "--layout", "sheets/sheets.json")
    assert said.status == 2
    assert "was edited after this layout was made" in said.err
    assert "changed parts: CRADLE-1 left, CRADLE-1 right" in said.err
    said = say("print", str(kit), "--edition", before)
    assert said.status == 2
    assert before in said.err
    now = answer(say, "shape", str(kit))["edition"]
    assert now != before
    assert answer(say, "print", str(kit), "--edition", now, "--part", "PAD-1")["pages"] >= 1


SPOILT = {
    "a place that is no number": ('"x_mm": ', '"x_mm": NaN, "was": ', "not a layout"),
    "a turn that is no number": ('"turn_deg": ', '"turn_deg": Infinity, "was": ', "not a layout"),
    "a sheet without end": ("841.0", "1e400", "not a layout"),
    "a sheet without size": ("841.0", "0.0", "cannot be cut"),
    "a sheet that is not there": ('"sheet": 1', '"sheet": 99', "cannot be cut"),
    "an unknown part": ('"part": "DECK-1"', '"part": "WING-1"', "cannot be cut"),
    "a part moved onto another": ('"x_mm": ', '"x_mm": 300.0, "was": ', "cannot be cut"),
    "more boats than laid": ('"boats": 1', '"boats": 2', "cannot be cut"),
    "a kit that is a number": ('"kits": [', '"kits": [7,', "not a layout"),
    "another kit": ('"kit": "Fold 62"', '"kit": "Fold 26"', "Fold 26"),
    "cut off half way": ('"placements": [', "", "not JSON"),
}


@pytest.mark.parametrize("case", SPOILT)
def test_a_spoilt_layout_is_refused_in_one_sentence(say: Any, kit: Path, case: str) -> None:
    old, new, words = SPOILT[case]
    answer(say, "sheets", str(kit))
    edit(Path("sheets/sheets.json"), old, new)
    said = say("print", str(kit), "--layout", "sheets/sheets.json")
    assert said.status == 2, said.err
    assert len(said.err.strip().splitlines()) == 1
    assert words in said.err


# --- labels -------------------------------------------------------------------------------------------


def test_each_boat_of_the_season_gets_a_page(say: Any, season: Path, kit: Path) -> None:
    found = answer(say, "labels", "--season", str(season))
    assert found["pages"] == 24
    assert {(bag["boat"], bag["kit"]) for bag in found["bags"]} >= {(7, "Fold 62"), (24, "Fold 74")}


def test_weighed_sheets_reach_the_bag_and_the_mass_of_the_boat(say: Any, kit: Path) -> None:
    """240, 243, 246 g: 243 g over 0.499554 m2 = 486.43 g/m2; bag 0.3937 m2 x that = 191.5 g."""
    found = answer(say, "labels", str(kit), "--sheets-g", "240,243,246")
    assert found["board"]["areal_density_g_m2"] == pytest.approx(486.434, abs=0.001)
    assert found["bags"][0]["mass_g"] == pytest.approx(191.5, rel=0.002)
    said = say("labels", str(kit), "--sheets-g", "240,243,246")
    assert "areal_density_g_m2 = 486.4" in said.out
    assert "8 % heavier than drawn" not in said.out  # under a tenth is the ordinary spread of board


def test_a_slipped_decimal_point_in_a_weighed_sheet_is_asked_about(say: Any, kit: Path) -> None:
    said = say("labels", str(kit), "--sheets-g", "224,22.3,226")
    assert said.status == 2
    assert "got 22.3 g" in said.err
    assert "Is a decimal point out of place: 223 g?" in said.err


def test_a_light_bag_is_not_right(say: Any, kit: Path) -> None:
    said = say("labels", str(kit), "--bag-g", "138.6", "--json")
    found = json.loads(said.out)
    assert said.status == 1
    assert found["right"] is False
    assert "FLOOR-1" in found["findings"][0]["do"]
    assert answer(say, "labels", str(kit), "--bag-g", "177")["right"] is True


# --- order --------------------------------------------------------------------------------------------


def boards(found: dict[str, Any]) -> float:
    return sum(item["need"] for item in found["items"] if item["item"].startswith("board"))


@pytest.mark.parametrize("stem, boats, need", [("fold-62", 12, 12), ("fold-50", 6, 6), ("fold-74", 6, 12)])
def test_boards_for_a_class_when_each_crew_has_its_own(
    say: Any, kit: Path, stem: str, boats: int, need: int
) -> None:
    """Capability T1: 12 A1 for Fold 62, 6 for Fold 50, 12 for Fold 74."""
    found = answer(say, "order", str(kit.parent / f"{stem}.toml"), "--boats", str(boats))
    assert boards(found) == need
    assert all(item["order"] == item["need"] + item["spare"] for item in found["items"])
    assert found["total"] == 0


def test_the_season_orders_devices_too_and_a_missing_price_leaves_the_quantity(
    say: Any, season: Path, kit: Path, tmp_path: Path
) -> None:
    (tmp_path / "prices.csv").write_text("item,price\ncurrency,GBP\nboard,4.20\nWhirr 5,\n", "utf8")
    found = answer(say, "order", "--season", str(season), "--prices", "prices.csv")
    items = {item["item"]: item for item in found["items"]}
    assert boards(found) == 30
    assert items["Whirr 5"]["need"] == 12
    assert items["Whirr 5"]["cost"] is None
    assert "Whirr 5" in found["without_price"]
    board = next(item for name, item in items.items() if name.startswith("board"))
    assert found["total"] == pytest.approx(board["order"] * 4.2)
    assert found["currency"] == "GBP"
    rows = list(csv.reader(Path("order/order.csv").read_text("utf8").splitlines()))
    assert rows[0] == ["item", "need", "spare", "order", "unit", "price", "cost"]
    assert all(len(row) == 7 for row in rows)


def test_prices_may_be_toml(say: Any, kit: Path, tmp_path: Path) -> None:
    (tmp_path / "prices.toml").write_text('currency = "EUR"\n[prices]\nglue = 0.02\n', "utf8")
    found = answer(say, "order", str(kit), "--prices", "prices.toml")
    glue = next(item for item in found["items"] if item["item"] == "glue")
    assert glue["cost"] == pytest.approx(glue["order"] * 0.02)


# --- bad input: one sentence, exit 2 ------------------------------------------------------------------

OWN = """name = "Own"
form = "own"
[board]
thickness_mm = 5
areal_density_g_m2 = 450
areal_density_spread_g_m2 = 10
[thrust]
place_mm = [50, 0, 20]
[contacts]
pad_mm = 20
stern_mm = 90
"""

BAD = {
    "no kit": ("sheets", "KIT", "missing"),
    "unknown kit": ("sheets fold-26.toml", "no such file"),
    "zero sheet": ("sheets @ --sheet 0x594", "makes no sense", "50 to 5000 mm"),
    "negative sheet": ("sheets @ --sheet=-841x594", "makes no sense"),
    "absurd sheet": ("sheets @ --sheet 841000x594", "makes no sense"),
    "sheet without a second side": ("sheets @ --sheet 841", "not a size", "841x594"),
    "sheet in words": ("sheets @ --sheet AxB", '"A"'),
    "sheet smaller than the deck": ("sheets @ --sheet 400x300", "larger than the sheet", "DECK-1"),
    "kerf larger than the gap": ("sheets @ --kerf-mm 4 --gap-mm 3", "wider than the gap", "4 mm", "3 mm"),
    "no boats": ("sheets @ --boats 0", "--boats", "1 to 200"),
    "half a boat": ("sheets @ --boats 1.5", "--boats"),
    "no boats behind the kit": ("sheets @=0", "1 to 200"),
    "margin eats the sheet": ("sheets @ --sheet 700x300 --margin-mm 100", "larger than the sheet"),
    "gap absurd": ("sheets @ --gap-mm 500", "--gap-mm", "0 to 50 mm"),
    "grain in other words": ("sheets @ --grain wavy", '"wavy"', "long, short, none"),
    "bed smaller than the square": ("sheets @ --bed 100x90", "bed makes no sense"),
    "kit twice": ("sheets @ @", "given twice"),
    "unknown part": ("print @ --part WING-1", '"WING-1"', "DECK-1"),
    "unknown paper": ("print @ --paper a3", '"a3"', "a4, letter, sheet"),
    "bar in inches without saying so": ("print @ --bar-reads 3.94", "bar", "50 to 200 mm"),
    "bar in words": ("print @ --bar-reads long", '"long"'),
    "pages of another edition": ("print @ --edition abc123", "edited after these pages were printed", "abc123"),
    "layout that is not there": ("print @ --layout none.json", "no such file"),
    "layout that is not JSON": ("print @ --layout season/season.toml", "not JSON"),
    "layout of something else": ("print @ --layout other.json", "not a layout"),
    "sheets weighed of no kit": ("labels --sheets-g 223", "Name a kit"),
    "bag weighed of no kit": ("labels --bag-g 177", "Name a kit"),
    "mass of a sheet in words": ("labels @ --sheets-g 223,heavy", "heavy"),
    "scale reads nought": ("labels @ --bag-g 0", "cannot weigh that"),
    "ballast heavier than half the boat": ("order @ --ballast-g 200", "the design is wrong"),
    "washer of nothing": ("order @ --disc-g 0", "--disc-g"),
    "price in words": ("order @ --prices bad.csv", "bad.csv, row 2", '"cheap"'),
    "price below nought": ("order @ --prices minus.csv", "minus.csv, row 1", '"-4"'),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD)
def test_bad_input_gets_one_clear_sentence(say: Any, kit: Path, tmp_path: Path, case: str) -> None:
    (tmp_path / "bad.csv").write_text("board,4\nglue,cheap\n", "utf8")
    (tmp_path / "minus.csv").write_text("board,-4\n", "utf8")
    (tmp_path / "other.json").write_text('{"kits": 3}', "utf8")
    line, *words = BAD[case]
    said = say(*line.replace("@", str(kit)).split())
    assert said.status == 2, said.err
    assert said.out == ""
    assert len(said.err.strip().splitlines()) == 1
    assert "Traceback" not in said.err
    assert not re.search(r"%s|\{\w*\}", said.err)
    assert all(word in said.err for word in words), said.err
    assert not (tmp_path / "sheets").exists()


@pytest.mark.parametrize(
    "outline, words",
    [
        ("[[0, 0], [100, 0]]", ("open",)),
        ("[[0, 0], [100, 50], [100, 0], [0, 50]]", ("crosses", "(50.0, 25.0) mm")),
        ("[[0, 0], [100, 0], [50, 0]]", ("LID",)),
    ],
)
def test_an_open_or_crossing_outline_is_named(
    say: Any, kit: Path, outline: str, words: tuple[str, ...]
) -> None:
    own = kit.with_name("own.toml")
    own.write_text(f'{OWN}\n[[parts]]\nname = "LID"\noutline_mm = {outline}\n', "utf8")
    said = say("sheets", str(own))
    assert said.status == 2
    assert all(word in said.err for word in ("LID", *words)), said.err
