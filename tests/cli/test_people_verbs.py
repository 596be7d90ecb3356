"""``crew`` and ``forget``: who does what, and a child's data written out and gone to the last byte."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from skimwright.desk import SeasonEvent
from skimwright.store.season_file import SeasonFile, read_contents

AT = "2027-05-22T14:31:00+01:00"


def answer(say: Any, *words: str, status: int = 0) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == status, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def put_in(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf8")


def bytes_of(place: Path) -> bytes:
    """Everything on the disk of a season: its files, or the file with its helpers."""
    if place.is_dir():
        return b"".join(path.read_bytes() for path in sorted(place.rglob("*")) if path.is_file())
    return b"".join(path.read_bytes() for path in sorted(place.parent.glob(place.name + "*")))


# crew


def test_the_roster_of_the_demonstration_opens_the_day(say: Any, season: Path) -> None:
    found = answer(say, "crew", "--season", str(season))
    assert found["may_open"] is True
    assert sum(job["needed"] for job in found["jobs"]) == 14
    assert len(found["crews"]) == 24


def test_a_gap_bars_the_day_with_status_1(say: Any, season: Path) -> None:
    put_in(season / "helpers.csv", "first aider,first aider,,,\n", "")
    found = answer(say, "crew", "--season", str(season), status=1)
    assert found["may_open"] is False
    assert "STOP" in say("crew", "--season", str(season)).out


def test_the_regatta_day_is_not_opened_with_a_gap(say: Any, season: Path) -> None:
    words = ("hold", "open", "--who", "safety officer", "--season", str(season), "--at")
    put_in(season / "helpers.csv", "first aider,first aider,,,\n", "")
    said = say(*words, "2027-05-22T08:05:00+01:00")
    assert said.status == 2
    assert "cannot be opened: got Nobody is first aider from 08:00 to 16:00" in said.err
    assert not (season / "holds.csv").exists()
    assert say(*words, "2027-05-01T09:00:00+01:00").status == 0  # a trials day needs no fourteen people
    (season / "helpers.csv").unlink()  # the roster is kept on paper
    assert say(*words, "2027-05-22T08:05:00+01:00").status == 0


def test_a_blank_ratio_says_ask_your_school(say: Any, season: Path) -> None:
    put_in(season / "people.toml", "Reed = 8", 'Reed = ""')
    assert "not set: ask your school" in say("crew", "--season", str(season)).out
    (season / "people.toml").unlink()
    ratios = {line["ratio"] for line in answer(say, "crew", "--season", str(season))["groups"]}
    assert ratios == {"not set: ask your school"}


def test_one_crew_gets_its_rota(say: Any, season: Path) -> None:
    found = answer(say, "crew", "--crew", "rush crew 3", "--season", str(season))
    assert len(found["rota"]) == 6
    assert found["boats"] == [9]
    said = say("crew", "--crew", "Rush crew 33", "--season", str(season))
    assert said.status == 2
    assert "No such crew" in said.err


def test_a_season_without_lists_still_answers(say: Any, season: Path) -> None:
    for name in ("crews.csv", "helpers.csv", "people.toml"):
        (season / name).unlink()
    found = answer(say, "crew", "--season", str(season), status=1)
    assert found["crews"] == []
    assert found["may_open"] is False


# forget


def test_without_the_word_nothing_is_erased(say: Any, season: Path) -> None:
    before = bytes_of(season)
    found = answer(say, "forget", "Wren B", "--season", str(season))
    assert found["erased"] is False
    assert found["crew"] == "Cress crew 1"
    assert bytes_of(season) == before


def test_the_same_first_name_twice_shows_crews_and_asks(say: Any, season: Path) -> None:
    said = say("forget", "Wren", "--erase", "--season", str(season))
    assert said.status == 2
    assert "Wren B of Cress crew 1; Wren W of Willow crew 6" in said.err
    assert "--crew" in said.err
    assert (
        answer(say, "forget", "Wren", "--crew", "Willow crew 6", "--season", str(season))["child"] == "Wren W"
    )


def test_a_folder_forgets_in_one_command(say: Any, season: Path, tmp_path: Path) -> None:
    put_in(season / "runs.csv", "none,through the gate,", "none,Tansy says through,")
    put_in(season / "boats.csv", "37 g" if "37 g" in (season / "boats.csv").read_text("utf8") else ",2,\n",
           ",2,glued by Tansy S. and Lowell H\n")  # fmt: skip
    out = tmp_path / "family" / "tansy.json"
    found = answer(say, "forget", "tansy", "--out", str(out), "--erase", "--season", str(season))
    assert found["erased"] is True
    kept = json.loads(out.read_text("utf8"))
    assert kept["child"] == "Tansy S"
    assert {place["file"] for place in kept["kept"]} == {"boats.csv", "crews.csv", "runs.csv"}
    assert b"tansy" not in bytes_of(season).lower()
    assert "a pupil says through" in (season / "runs.csv").read_text("utf8")
    assert "glued by a pupil and Lowell H" in (season / "boats.csv").read_text("utf8")
    audit = (season / "forgotten.csv").read_text("utf8")
    assert audit.count("\n") == 2
    assert "one child's data written out and erased,3,3" in audit
    again = say("forget", "tansy", "--season", str(season))
    assert again.status == 2
    assert answer(say, "crew", "--season", str(season))["may_open"] is True


def test_another_childs_name_is_left_and_shown(say: Any, season: Path) -> None:
    put_in(season / "runs.csv", "none,through the gate,", "none,Wren and Wren B guess gate,")
    found = answer(say, "forget", "Wren B", "--erase", "--season", str(season))
    assert found["left_to_look_at"][0]["file"] == "runs.csv"
    assert "Wren and a pupil guess gate" in (season / "runs.csv").read_text("utf8")
    assert "Willow crew 6,Wren,W" in (season / "crews.csv").read_text("utf8")


def test_a_boats_name_is_asked_about_and_not_changed(say: Any, season: Path) -> None:
    put_in(season / "boats.csv", "Little Drum", "Dorrit")
    found = answer(say, "forget", "Dorrit E", "--erase", "--season", str(season))
    assert [(place["file"], place["column"]) for place in found["left_to_look_at"]] == [("boats.csv", "name")]
    assert "look-at-these" in {finding["code"] for finding in found["findings"]}


def test_a_season_file_forgets_to_the_last_byte(say: Any, season: Path, tmp_path: Path) -> None:
    one = tmp_path / "our.season"
    assert say("new", str(one), "--from", str(season)).status == 0
    with SeasonFile(one) as file:
        file.log(
            [
                SeasonEvent(
                    key="k1", kind="run", at=AT, who="Quillon", payload={"note": "Quill T steered", "n": 3}
                ),
                SeasonEvent(key="k2", kind="run", at=AT, who="scorer", payload={"note": "fine"}),
            ]
        )
        old = (season / "crews.csv").read_bytes()
        file.write(
            {"crews.csv": old + b"Rush crew 4,Quilla,Z\n"}
        )  # an older page with the name stays in a gap
        file.write({"crews.csv": old})
    assert b"Quill,T" in bytes_of(one)
    found = answer(say, "forget", "Quill T", "--erase", "--season", str(one))
    assert found["erased"] is True
    raw = bytes_of(one)
    assert b"Quill,T" not in raw
    assert b"Quill T" not in raw
    contents = read_contents(one)
    assert not contents.is_damaged
    assert contents.lost == ()
    assert [event.key for event in contents.events] == ["k1", "k2"]
    assert contents.events[0].payload == {"note": "a pupil steered", "n": 3}
    assert contents.events[0].who == "Quillon"  # another name that begins alike
    assert b"one child's data erased" in contents.files["forgotten.csv"]
    with (
        SeasonFile(one) as file,
        pytest.raises(Exception, match="stays as it is"),
        file._writing() as connection,
    ):
        connection.exec_driver_sql("UPDATE event SET who = 'x'")  # the guard is back


def test_what_is_out_of_reach_is_said_each_time(say: Any, season: Path) -> None:
    for words in ((), ("--erase",)):
        said = say("forget", "Wren W", *words, "--season", str(season))
        for reach in ("paper", "what `keep` wrote to a stick", "phones"):
            assert reach in said.out


def test_copies_that_keep_wrote_are_named(say: Any, season: Path, tmp_path: Path) -> None:
    one = tmp_path / "our.season"
    assert say("new", str(one), "--from", str(season)).status == 0
    assert say("keep", "--season", str(one)).status == 0
    (copy,) = (tmp_path / "kept").iterdir()
    found = answer(say, "forget", "Wren B", "--erase", "--season", str(one))
    assert found["old_copies"] == [str(copy)]
    assert b"Wren,B" in copy.read_bytes()  # it is there, and we say so


def test_while_another_program_reads_it_says_that_old_pages_remain(
    say: Any, season: Path, tmp_path: Path
) -> None:
    one = tmp_path / "our.season"
    assert say("new", str(one), "--from", str(season)).status == 0
    with SeasonFile(one) as other:
        held = other._engine.connect()
        held.exec_driver_sql("SELECT count(*) FROM file").fetchone()
        said = say("forget", "Wren B", "--erase", "--season", str(one))
        held.close()
    assert said.status == 1
    assert "another program" in said.err


@pytest.mark.parametrize(
    "words, says",
    [
        (("Nobody",), "nobody of this name"),
        ((), "CHILD: it is missing"),
        (("Wren", "--crew", "Willow crew 7"), 'Did you mean "Willow crew'),
    ],
)
def test_a_slip_is_one_sentence(say: Any, season: Path, words: tuple[str, ...], says: str) -> None:
    said = say("forget", *words, "--season", str(season))
    assert said.status == 2
    assert says.casefold() in said.err.casefold()


def test_the_export_may_not_lie_inside_the_season(say: Any, season: Path) -> None:
    said = say("forget", "Wren B", "--out", str(season / "wren.json"), "--season", str(season))
    assert said.status == 2
    assert "inside the season" in said.err


def test_a_season_without_a_roster_keeps_nothing_by_name(say: Any, season: Path) -> None:
    (season / "crews.csv").unlink()
    said = say("forget", "Wren B", "--season", str(season))
    assert said.status == 2
    assert "no crews.csv" in said.err


def test_the_file_stays_one_that_sqlite_finds_sound(say: Any, season: Path, tmp_path: Path) -> None:
    one = tmp_path / "our.season"
    say("new", str(one), "--from", str(season))
    answer(say, "forget", "Wren B", "--erase", "--season", str(one))
    connection = sqlite3.connect(one)
    try:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    finally:
        connection.close()
