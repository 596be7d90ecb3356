"""`new`, `import`, `export`, `keep`, and every other verb on a season in one file."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from skimwright.desk import SeasonEvent
from skimwright.store.season_file import SeasonFile, new_season, read_contents

RUN = SeasonEvent(key="a", kind="run", at="2027-03-20T10:05:00", payload={"boat": 7})


def answer(say: Any, *words: str) -> Any:
    said = say(*words, "--json")
    assert said.status == 0, said.err
    return json.loads(said.out)


def refusal(say: Any, *words: str, status: int = 2) -> str:
    """The one sentence of a refusal."""
    said = say(*words)
    assert said.status == status, (said.out, said.err)
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    return str(said.err)


@pytest.fixture
def one_file(say: Any, tmp_path: Path) -> Path:
    """The demonstration season in one file."""
    path = tmp_path / "our.season"
    assert say("new", str(path), "--from", "demo").status == 0
    return path


def test_new_from_demo_holds_every_plain_file(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(say, "new", str(tmp_path / "our.season"), "--from", "demo")
    there = sorted(path.relative_to(season).as_posix() for path in season.rglob("*") if path.is_file())
    assert (found["boats"], found["files"], found["left_out"]) == (24, there, [])


def test_new_by_itself_can_be_used_at_once(say: Any, tmp_path: Path) -> None:
    path = tmp_path / "Oak School.season"
    found = answer(say, "new", str(path))
    assert (found["name"], found["boats"]) == ("Oak School", 1)
    assert answer(say, "float", "--boat", "1", "--season", str(path))["floats"]


def test_new_refuses_a_name_that_is_taken_or_is_none(say: Any, one_file: Path, tmp_path: Path) -> None:
    assert "there is a file of this name already" in refusal(say, "new", str(one_file))
    assert "Call it our.season" in refusal(say, "new", str(tmp_path / "our.db"))
    assert "no such folder" in refusal(
        say, "new", str(tmp_path / "x.season"), "--from", str(tmp_path / "gone")
    )


def test_a_folder_with_a_fault_is_refused_by_row_and_nothing_is_made(
    say: Any, season: Path, tmp_path: Path
) -> None:
    boats = season / "boats.csv"
    boats.write_text(boats.read_text("utf8").replace("Whirr 5,307,", "Whirr 5,20-Mar,", 1), "utf8")
    said = refusal(say, "new", str(tmp_path / "x.season"), "--from", str(season))
    assert "boats.csv, row 8, mass_g" in said
    assert "Nothing was taken in yet." in said
    assert not (tmp_path / "x.season").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("float", "--boat", "7"),
        ("shape", "Fold 62"),
        ("cite", "--boat", "7"),
        ("forecast", "--boat", "7", "--runs", "20"),
        ("permit",),
        ("hold", "--at", "2027-05-22T14:31:00+01:00"),
    ],
    ids=lambda words: words[0],
)
def test_a_verb_answers_the_same_from_one_file_and_from_a_folder(
    say: Any, one_file: Path, season: Path, words: tuple[str, ...]
) -> None:
    assert answer(say, *words, "--season", str(one_file)) == answer(say, *words, "--season", str(season))


def test_the_only_season_file_here_is_found(
    say: Any, one_file: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(one_file.parent)
    assert say("export", "plain").status == 0
    assert answer(say, "float", "--boat", "7")["floats"], "the exported folder beside it is no second season"
    shutil.copy(one_file, tmp_path / "b.season")
    assert (
        "more than one season here: got b.season, our.season"
        in refusal(say, "float", "--boat", "7").casefold()
    )


def test_export_gives_back_every_byte_and_import_takes_only_what_changed(
    say: Any, one_file: Path, season: Path, tmp_path: Path
) -> None:
    plain, where = tmp_path / "plain", ("--season", str(one_file))
    answer(say, "export", str(plain), *where)
    for path in season.rglob("*.*"):
        assert (plain / path.relative_to(season)).read_bytes() == path.read_bytes()
    assert answer(say, "import", str(plain), *where)["changed"] == []
    edited = (plain / "boats.csv").read_text("utf8").replace("Gravel", "Pebble")
    (plain / "boats.csv").write_text(edited, "utf8")
    assert answer(say, "import", str(plain), *where)["changed"] == ["boats.csv"]
    assert answer(say, "import", str(plain), *where)["changed"] == []
    assert "Pebble" in say("float", "--boat", "7", "--plain", *where).out


def test_events_go_out_and_come_in_once(say: Any, one_file: Path, season: Path, tmp_path: Path) -> None:
    with SeasonFile(one_file) as file:
        file.log([RUN])
    assert answer(say, "export", str(tmp_path / "plain"), "--season", str(one_file))["events"] == 1
    other = new_season(tmp_path / "b.season", read_contents(one_file).files)
    words = ("import", str(tmp_path / "plain"), "--season", str(other))
    assert [answer(say, *words)["events"] for _ in range(2)] == [1, 0]
    assert read_contents(other).events == (RUN,)


def test_what_the_folder_lacks_stays_unless_it_is_to_go(say: Any, one_file: Path, season: Path) -> None:
    (season / "devices" / "hiss.toml").unlink()
    where = ("--season", str(one_file))
    found = answer(say, "import", str(season), *where)
    assert (found["changed"], found["stays"]) == ([], ["devices/hiss.toml"])
    assert "--drop takes them out" in say("import", str(season), *where).out
    assert answer(say, "import", str(season), "--drop", *where)["changed"] == ["devices/hiss.toml"]


def test_export_does_not_write_over_an_edit(say: Any, one_file: Path, tmp_path: Path) -> None:
    words = ("export", str(tmp_path / "plain"), "--season", str(one_file))
    answer(say, *words)
    (tmp_path / "plain" / "boats.csv").write_text("my edit", "utf8")
    (tmp_path / "plain" / "season.toml").unlink()
    assert "1 of these files are there already" in refusal(say, *words)
    assert (tmp_path / "plain" / "boats.csv").read_text("utf8") == "my edit"
    assert say(*words, "--over").status == 0


def test_a_folder_is_no_season_file_to_keep_or_export(say: Any, season: Path, tmp_path: Path) -> None:
    for words in (("keep",), ("export", str(tmp_path / "x")), ("import", str(season))):
        assert "this season is a folder of plain files" in refusal(say, *words, "--season", str(season))


def test_keep_says_where_how_large_and_how_much(say: Any, one_file: Path, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    with SeasonFile(one_file) as file:  # in use meanwhile
        before = answer(say, "keep", str(tmp_path / "stick"), "--season", str(one_file))
        file.log([RUN])
        found = answer(say, "keep", str(tmp_path / "stick"), "--season", str(one_file))
    assert found["boats"] == 24
    assert (found["events"], found["restored"]) == (1, True)
    assert found["runs"] == before["runs"] + 1
    assert Path(found["kept"]).stat().st_size == found["size_bytes"]
    assert answer(say, "float", "--boat", "7", "--season", found["kept"])["floats"]
    assert before["kept"] != found["kept"]


def test_keep_without_the_stick_is_one_sentence(say: Any, one_file: Path, tmp_path: Path) -> None:
    said = refusal(say, "keep", str(tmp_path / "stick"), "--season", str(one_file))
    assert "Is the stick in?" in said


def test_runs_and_holds_are_logged_into_the_file(say: Any, one_file: Path) -> None:
    where = ("--season", str(one_file))
    before = answer(say, "keep", *where)["runs"]
    assert say("hold", "hold", "--who", "boat crew", "--why", "wind", *where).status == 0
    assert say("log", "--boat", "5", "--guess", "skip", "--distance-m", "9", *where).status == 0
    assert "holds.csv" in read_contents(one_file).files
    assert answer(say, "keep", *where)["runs"] == before + 1


def test_a_damaged_season_gives_what_it_can_and_names_the_rest(
    say: Any, one_file: Path, tmp_path: Path
) -> None:
    raw = one_file.read_bytes()
    assert raw.count(b'name = "Tolly Water"') == 1, "in season.toml"
    one_file.write_bytes(raw.replace(b'name = "Tolly', b'name = "Dolly'))
    where = ("--season", str(one_file))
    assert "season.toml: the season file is damaged here" in refusal(
        say, "float", "--boat", "7", *where, status=1
    )
    assert "this season file is damaged" in refusal(say, "keep", *where, status=1)
    said = say("export", str(tmp_path / "plain"), *where)
    assert said.status == 1
    assert "Lost: season.toml." in said.out
    assert (tmp_path / "plain" / "boats.csv").is_file()
    assert not (tmp_path / "plain" / "season.toml").exists()


def test_last_years_season_answers_and_export_says_what_is_new(
    say: Any, one_file: Path, tmp_path: Path
) -> None:
    """A file of layout 1, made of the demonstration season's plain files."""
    old = tmp_path / "old.season"
    with closing(sqlite3.connect(old)) as raw:
        raw.executescript(
            f"PRAGMA application_id = {0x536B696D}; PRAGMA user_version = 1;"
            "CREATE TABLE file (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, content BLOB NOT NULL);"
            "CREATE TABLE event (number INTEGER PRIMARY KEY AUTOINCREMENT, key TEXT NOT NULL UNIQUE,"
            " kind TEXT NOT NULL, at TEXT NOT NULL, who TEXT NOT NULL, payload TEXT NOT NULL);"
        )
        raw.executemany(
            "INSERT INTO file (name, content) VALUES (?, ?)", read_contents(one_file).files.items()
        )
        raw.commit()
    assert answer(say, "float", "--boat", "7", "--season", str(old))["floats"]
    said = say("export", str(tmp_path / "plain"), "--season", str(old))
    assert said.status == 0
    assert "An older edition made this season. Layout 2:" in said.out
    assert say("hold", "hold", "--who", "boat crew", "--season", str(old)).status == 0
    assert read_contents(old).news == ()


def test_other_files_and_newer_editions_are_one_sentence(say: Any, one_file: Path, tmp_path: Path) -> None:
    (tmp_path / "x.season").write_bytes(b"PK\x03\x04" * 40)
    assert "not a season file" in refusal(say, "float", "--boat", "7", "--season", str(tmp_path / "x.season"))
    with closing(sqlite3.connect(one_file)) as raw:
        raw.execute("PRAGMA user_version = 99")
    for words in (("float", "--boat", "7"), ("keep",), ("hold", "hold", "--who", "boat crew")):
        assert "made by a newer edition of Skimwright: got layout 99" in refusal(
            say, *words, "--season", str(one_file)
        )


def test_a_season_being_written_or_marked_read_only_is_one_sentence(
    say: Any, one_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from skimwright.store.season_file import writing

    init = writing.SeasonFile.__init__
    monkeypatch.setattr(init, "__kwdefaults__", {**(init.__kwdefaults__ or {}), "wait": 0.05})
    words = ("hold", "hold", "--who", "boat crew", "--season", str(one_file))
    with closing(sqlite3.connect(one_file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert "another program is writing in this season" in refusal(say, *words, status=1)
        other.execute("ROLLBACK")
    one_file.chmod(0o444)
    assert "may be read but not changed" in refusal(say, *words, status=1)
    assert answer(say, "float", "--boat", "7", "--season", str(one_file))["floats"]
