"""A season folder as people and spreadsheets write it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.base import InputError, MissingError, StoreError

DEMO = Path(app.__file__).parent / "demo_season"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "season"))


def as_spreadsheet(path: Path, separator: str) -> None:
    """The list as a spreadsheet of half the world saves it: its separator, decimal commas, mark and line ends."""
    text = path.read_text("utf8")
    assert ";" not in text
    cells = [line.split(",") for line in text.splitlines()]
    lines = [separator.join(cell.replace(".", ",") for cell in row) for row in cells]
    path.write_bytes(b"\xef\xbb\xbf" + "\r\n".join([*lines, ""]).encode("utf8"))


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_spreadsheet_of_decimal_commas_reads_the_same(folder: Path, separator: str) -> None:
    plain = store.read_season_folder(folder)
    as_spreadsheet(folder / "boats.csv", separator)
    assert [entry.built for entry in store.read_season_folder(folder).boats] == [
        entry.built for entry in plain.boats
    ]


def test_empty_columns_and_rows_of_a_spreadsheet_are_passed_over(folder: Path) -> None:
    plain = store.read_season_folder(folder)
    path = folder / "boats.csv"
    lines = [f"{line},," for line in path.read_text("utf8").splitlines()]
    path.write_text("\n".join([*lines, "," * 18, ""]), "utf8")
    assert store.read_season_folder(folder).boats == plain.boats


def test_a_hint_line_for_other_spreadsheets_is_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("sep=;\na;b\n1;2,5\n", "utf8")
    rows = store.read_rows(path)
    assert [dict(row.cells) for row in rows.rows] == [{"a": "1", "b": "2,5"}]
    assert rows.rows[0].number == 3


def test_capitals_and_blanks_in_a_heading_do_not_matter(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Boat, Mass g\n1, 2\n", "utf8")
    assert store.read_rows(path).columns == ("boat", "mass_g")


def test_a_quoted_cell_may_hold_the_separator_and_a_decimal_comma(folder: Path) -> None:
    path = folder / "boats.csv"
    path.write_text(path.read_text("utf8").replace("Whirr 5,307,", 'Whirr 5,"307,5",', 1), "utf8")
    assert store.read_season_folder(folder).boat(7).built.mass == pytest.approx(0.3075, rel=1e-12)


def test_row_numbers_are_those_of_the_spreadsheet_even_after_blank_rows(folder: Path) -> None:
    path = folder / "boats.csv"
    path.write_text(path.read_text("utf8").replace("07,Gravel", "\n\n07,Gravel"), "utf8")
    assert store.read_season_folder(folder).boat(7).row == 10


def test_a_cell_too_many_is_refused_though_the_last_cell_is_blank(folder: Path) -> None:
    path = folder / "boats.csv"
    path.write_text(path.read_text("utf8").replace(",307,353,", ",307,5,353,", 1), "utf8")
    with pytest.raises(InputError, match=r"boats.csv, row 8: too many cells: got 18 cells"):
        store.read_season_folder(folder)


def test_the_season_file_itself_may_be_named(folder: Path) -> None:
    assert store.read_season_folder(folder / "season.toml").name == "Brackenfold Skimming Boats"


def test_pond_and_runs_may_be_left_out(folder: Path) -> None:
    (folder / "pond.toml").unlink()
    (folder / "runs.csv").unlink(missing_ok=True)
    tables = store.read_tables(folder)
    assert tables.pond is None
    assert tables.runs is None


def test_a_folder_in_place_of_a_file_is_a_sentence(folder: Path) -> None:
    (folder / "boats.csv").unlink()
    (folder / "boats.csv").mkdir()
    with pytest.raises(StoreError, match=r"boats\.csv: could not be read"):
        store.read_season_folder(folder)


def test_a_file_of_absurd_size_is_refused_unread(folder: Path) -> None:
    with (folder / "boats.csv").open("ab") as file:
        file.truncate(25_000_000)
    with pytest.raises(InputError, match="too large for a season file"):
        store.read_season_folder(folder)


# which season is meant


def test_the_season_asked_for_comes_before_the_environment_and_the_folder(
    folder: Path, tmp_path: Path
) -> None:
    other = Path(shutil.copytree(DEMO, tmp_path / "other"))
    env = {"SKIMWRIGHT_SEASON": str(other)}
    assert store.find_season(str(folder), environment=env, here=tmp_path) == folder
    assert store.find_season(None, environment=env, here=tmp_path) == other


def test_the_only_season_here_is_found(folder: Path) -> None:
    assert store.find_season(None, environment={}, here=folder.parent) == folder
    assert store.find_season(None, environment={}, here=folder) == folder


def test_two_seasons_here_are_a_question(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "other")
    with pytest.raises(InputError, match="more than one season here: got other, season"):
        store.find_season(None, environment={}, here=tmp_path)


def test_no_season_here_says_how_to_name_one(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="--season FOLDER"):
        store.find_season(None, environment={}, here=tmp_path)


# writing


def test_a_table_written_reads_back_the_same(tmp_path: Path) -> None:
    table = {
        "name": 'a "b" \\ é',
        "needs": True,
        "mass_g": 12.5,
        "law": {"times_s": [0, 0.5], "thrust_n": [0.0, 2]},
    }
    path = store.write_file(tmp_path / "new" / "device.toml", store.toml_text(table))
    assert store.read_table(path) == table


def test_a_file_that_cannot_be_written_leaves_no_half_behind(tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    (tmp_path / "taken" / "x").write_text("", "utf8")
    with pytest.raises(StoreError, match="could not be written"):
        store.write_file(tmp_path / "taken", "text")
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]


@pytest.mark.parametrize("sign", ["\0", "\udc80"])
def test_a_sign_that_would_shut_the_list_is_never_added(tmp_path: Path, sign: str) -> None:
    path = store.add_rows(tmp_path / "results.csv", ("heat", "reason"), [{"heat": "1", "reason": "film"}])
    before = path.read_bytes()
    with pytest.raises(InputError, match="no list can hold"):
        store.add_rows(path, ("heat", "reason"), [{"heat": "2", "reason": f"fi{sign}lm"}])
    assert path.read_bytes() == before
