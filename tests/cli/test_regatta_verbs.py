"""``lots`` and ``points``: keys, words, the demonstration day, and bad input in one sentence each."""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

SHOWN = "boat,name,group,also\n"


def answer(say: Any, *words: str, status: int = 0) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == status, said.err
    assert said.err == ""
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def written(folder: Path, name: str, text: str) -> str:
    path = folder / name
    path.write_text(text, "utf8")
    return str(path)


def entries(folder: Path, boats: int) -> str:
    return written(folder, "entries.csv", "boat\n" + "".join(f"{boat}\n" for boat in range(1, boats + 1)))


# lots


def test_lots_gives_every_promised_key(say: Any, tmp_path: Path) -> None:
    found = answer(say, "lots", entries(tmp_path, 24), "--rounds", "4", "--lanes", "6", "--seed", "7")
    assert {"rounds", "repeat_cost", "bound", "lane_balance"} <= set(found)
    assert [len(heats) for heats in found["rounds"]] == [4, 4, 4, 4]
    met: dict[tuple[int, int], int] = {}
    for heats in found["rounds"]:
        for heat in heats:
            for pair in combinations(sorted(heat), 2):
                met[pair] = met.get(pair, 0) + 1
    assert sum(m * (m - 1) // 2 for m in met.values()) == found["repeat_cost"] == found["bound"] == 48
    assert found["lane_balance"]["perfect"] is True
    assert [heat["lanes"] for heat in found["heats"]] == [heat for heats in found["rounds"] for heat in heats]


def test_the_printed_words_give_the_same_lots_again(say: Any, tmp_path: Path, monkeypatch: Any) -> None:
    entries(tmp_path, 17)
    monkeypatch.chdir(tmp_path)
    first = answer(
        say, "lots", "entries.csv", "--rounds", "3", "--seed", "1906", "--without", "4@5", "--late", "9@2"
    )
    assert answer(say, *first["redo"].split()[1:]) == first


def test_a_changed_seed_is_found_out_by_the_mark(say: Any, tmp_path: Path) -> None:
    path = entries(tmp_path, 12)
    mark = answer(say, "lots", path, "--rounds", "3", "--seed", "5")["mark"]
    assert answer(say, "lots", path, "--rounds", "3", "--seed", "5", "--mark", mark)["findings"] == []
    other = answer(say, "lots", path, "--rounds", "3", "--seed", "6", "--mark", mark, status=1)
    assert [finding["code"] for finding in other["findings"]] == ["mark-differs"]


def test_the_demonstration_groups_have_a_heat_each_and_a_lane_each_time(say: Any, season: Path) -> None:
    found = answer(
        say, "lots", str(season / "entries.csv"), "--group", "rush", "--rounds", "4", "--seed", "1906"
    )
    assert [[len(heat) for heat in heats] for heats in found["rounds"]] == [[6], [6], [6], [6]]
    assert found["lane_balance"]["most_in_one_lane"] == 1


def test_the_noon_withdrawal_changes_only_heats_to_come(say: Any, season: Path) -> None:
    words = ("lots", str(season / "entries.csv"), "--group", "Open", "--rounds", "3", "--seed", "1906")
    before, after = answer(say, *words), answer(say, *words, "--without", "24@4")
    assert after["heats"][:4] == before["heats"][:4]
    assert after["published_mark"] == before["mark"] != after["mark"]
    assert all(change["was"] is None or change["was"]["heat"] > 4 for change in after["changes"])
    assert any(change["boat"] == 24 and change["now"] is None for change in after["changes"])
    text = say(*words, "--without", "24@4").out
    assert "24 Late Bus" in text
    assert "no race" in text


def test_lots_in_words_name_boats_lanes_bound_and_seed(say: Any, season: Path) -> None:
    text = say("lots", str(season / "entries.csv"), "--group", "Open", "--rounds", "3", "--seed", "1906").out
    for words in (
        "Round 3",
        "lane 6",
        "19 Old Kettle",
        "Repeat meetings 27",
        "no draw of this shape has fewer",
        "seed 1906",
    ):
        assert words in text
    assert say("lots", str(season / "entries.csv"), "--rounds", "3", "--plain").out.count("\n") == 1


def test_a_gap_to_the_bound_is_printed(say: Any, tmp_path: Path) -> None:
    found = answer(say, "lots", entries(tmp_path, 36), "--rounds", "4")
    assert found["gap"] == found["repeat_cost"] - found["bound"] > 0
    assert "more than is proven to be needed" in say("lots", entries(tmp_path, 36), "--rounds", "4").out


def test_a_list_of_boats_of_a_season_will_do_and_says_what_it_passes_over(say: Any, season: Path) -> None:
    found = answer(say, "lots", str(season / "boats.csv"), "--rounds", "2")
    assert [finding["code"] for finding in found["findings"]] == ["columns-not-read", "groups-together"]


def test_a_boat_marked_withdrawn_is_not_drawn_and_said(say: Any, tmp_path: Path) -> None:
    path = written(tmp_path, "e.csv", "boat,withdrawn\n1,\n2,\n3,at noon\n")
    found = answer(say, "lots", path, "--rounds", "1")
    assert sorted(found["rounds"][0][0]) == [1, 2]
    assert "--without 3@HEAT" in found["findings"][0]["do"]


# points


def test_points_gives_every_promised_key(say: Any, season: Path) -> None:
    found = answer(say, "points", str(season / "results.csv"), "--entries", str(season / "entries.csv"))
    assert set(found["table"][0]) >= {"place", "boat", "points", "counted", "dropped", "tie_broken_by"}
    assert {row["group"] for row in found["table"]} == {"Cress", "Rush", "Reed", "Willow", "Open"}
    for row in found["table"]:
        assert row["points"] == pytest.approx(sum(row["counted"]))


def test_the_demonstration_day_ends_with_nothing_open(say: Any, season: Path) -> None:
    found = answer(say, "points", str(season / "results.csv"))
    assert found["held_heats"] == []
    assert found["holds"] == []
    assert found["withdrawn"] == [{"boat": 24, "from_heat": 16}]
    assert not [finding for finding in found["findings"] if finding["severity"] != "note"]


@pytest.mark.parametrize(
    "last, held, holds",
    [
        (",finish B,,finish,Reed,7,", [7], 0),
        (",rerun,", [8], 0),
        (",finish A,,finish,Open,20,", [20], 0),
    ],
    ids=["two phones differ", "a heat to be run again", "one phone flat"],
)
def test_the_day_stands_still_where_it_must(
    say: Any, season: Path, last: str, held: list[int], holds: int
) -> None:
    log = season / "results.csv"
    lines = log.read_text("utf8").splitlines()
    end = max(n for n, line in enumerate(lines) if last in line)
    log.write_text("\n".join(lines[: end + 1]) + "\n", "utf8")
    found = answer(say, "points", str(log))
    assert found["held_heats"] == held
    assert len(found["holds"]) == holds


def test_holds_typed_from_paper_stand_until_each_is_cleared(say: Any, tmp_path: Path) -> None:
    rows = [
        FULL.strip(), ",,,result,1,7,,1,", ",,,result,1,8,,2,", ",,,hold,,,,,thunder", ",,,hold,,,,,thunder again",
    ]  # fmt: skip
    path = written(tmp_path, "r.csv", "\n".join(rows) + "\n")
    assert answer(say, "points", path)["holds"] == ["thunder", "thunder again"]
    path = written(tmp_path, "r.csv", "\n".join([*rows, ",,,clear,,,,,"]) + "\n")
    assert answer(say, "points", path)["holds"] == ["thunder again"]


def test_the_published_example_comes_out_of_a_plain_list(say: Any, tmp_path: Path) -> None:
    # RYA guidance p. 105, example 2, as boats 1-4 of a fleet of fifteen: D, C, B, A
    places = {1: (3, 4, 5, 10), 2: (11, 3, 4, 5), 3: (5, 15, 3, 4), 4: (4, 5, 6, 3)}
    rows = ["heat,boat,place"]
    for heat in range(4):
        taken = {boat: places[boat][heat] for boat in places}
        others = [place for place in range(1, 16) if place not in taken.values()]
        taken.update(zip(range(5, 16), others if heat % 2 else others[::-1], strict=True))
        rows += [f"{heat + 1},{boat},{place}" for boat, place in taken.items()]
    path = written(tmp_path, "r.csv", "\n".join(rows) + "\n")
    found = answer(say, "points", path, "--table", "low-point", "--discards", "1")
    order = [row["boat"] for row in found["table"] if row["boat"] <= 4]
    assert order == [4, 3, 2, 1]
    first = next(row for row in found["table"] if row["boat"] == 4)
    assert (first["points"], first["dropped"]) == (12, [6])
    assert "last race" in first["tie_broken_by"]


def test_a_table_of_our_own_counts(say: Any, tmp_path: Path) -> None:
    log = written(tmp_path, "r.csv", "heat,boat,place\n1,7,1\n1,8,not finished\n")
    ours = written(tmp_path, "ours.toml", 'name = "ours"\npoints = [10, 9]\n[codes]\nnot_finished = 1\n')
    found = answer(say, "points", log, "--table", ours)
    assert [(row["boat"], row["points"]) for row in found["table"]] == [(7, 10), (8, 1)]


def test_points_in_words_part_the_tie(say: Any, season: Path) -> None:
    text = say(
        "points", str(season / "results.csv"), "--entries", str(season / "entries.csv"), "--group", "open"
    ).out
    assert text.startswith("Open: powerboat points after 3 races")
    assert "Plum Line" in text
    assert "ahead of" in text
    assert say("points", str(season / "results.csv"), "--plain").out.count("\n") == 1


def test_a_short_table_asks_for_the_last_places(say: Any, tmp_path: Path) -> None:
    log = written(tmp_path, "r.csv", "heat,boat,place\n" + "".join(f"1,{n},{n}\n" for n in range(1, 15)))
    found = answer(say, "points", log)
    assert "places 13 to 14" in found["findings"][0]["do"]


def test_a_season_brings_its_own_lists(say: Any, season: Path) -> None:
    lots = answer(say, "lots", "--group", "Rush", "--rounds", "4", "--seed", "1906", "--season", str(season))
    assert len(lots["heats"]) == 4
    points = answer(say, "points", "--season", str(season))
    assert points["table"][0]["name"]


def test_without_a_list_or_a_season_there_is_nothing_to_draw(
    say: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.chdir(tmp_path)
    assert_one_sentence(say("lots", "--rounds", "2"), "season here")
    assert_one_sentence(say("points"), "season here")


# bad input

HEAD = "boat,name,group\n"
LOTS = {
    "no such file": (None, [], "no such file"),
    "empty file": ("", [], "empty"),
    "heading only": (HEAD, [], "nobody is entered"),
    "no column of boats": ("number,name\n1,A\n", [], "boat: this column is missing"),
    "column misspelt": ("boat,name,gruop\n1,A,B\n2,C,B\n", [], 'Did you mean "group"?'),
    "number in words": (HEAD + "one,A,B\n", [], 'row 2, boat: not a boat number: got "one"'),
    "number nought": (HEAD + "0,A,B\n", [], '"0"'),
    "number negative": (HEAD + "-3,A,B\n", [], '"-3"'),
    "number with a decimal": (HEAD + "1.5,A,B\n", [], '"1.5"'),
    "boat entered twice": (
        HEAD + "1,A,B\n2,C,B\n1,A,B\n",
        [],
        "row 4, boat: boat 1 is entered already, in row 2",
    ),
    "one boat only": (HEAD + "1,A,B\n", [], "boats entered"),
    "too many cells": (HEAD + "1,A,B,C\n", [], "4 cells"),
    "breaks off": (HEAD + "1,A,B\n2,", [], "breaks off"),
    "group unknown": (HEAD + "1,A,Rush\n2,C,Rush\n", ["--group", "Rash"], 'Did you mean "Rush"?'),
    "group without a column": ("boat\n1\n2\n", ["--group", "Rush"], "nobody is entered in this group"),
    "rounds nought": (HEAD + "1,A,B\n2,C,B\n", ["--rounds", "0"], "--rounds"),
    "rounds in words": (HEAD + "1,A,B\n2,C,B\n", ["--rounds", "four"], '"four"'),
    "rounds huge": (HEAD + "1,A,B\n2,C,B\n", ["--rounds", "4000"], "1 to 40"),
    "one lane": (HEAD + "1,A,B\n2,C,B\n", ["--lanes", "1"], "2 to 16"),
    "seed negative": (HEAD + "1,A,B\n2,C,B\n", ["--seed=-1"], "--seed"),
    "seed in letters": (HEAD + "1,A,B\n2,C,B\n", ["--seed", "luck"], '"luck"'),
    "withdrawn boat not entered": (
        HEAD + "1,A,B\n2,C,B\n3,D,B\n",
        ["--without", "31"],
        "oat 31 is not in these lots",
    ),
    "withdrawn after no heat": (HEAD + "1,A,B\n2,C,B\n3,D,B\n", ["--without", "3@99"], "heat 99"),
    "withdrawn in words": (HEAD + "1,A,B\n2,C,B\n3,D,B\n", ["--without", "C at noon"], '"C at noon"'),
    "withdrawn twice": (HEAD + "1,A,B\n2,C,B\n3,D,B\n", ["--without", "3,3@1"], "boat 3 is named twice"),
    "all withdrawn": (HEAD + "1,A,B\n2,C,B\n3,D,B\n", ["--without", "1,2,3"], "ewer than two boats"),
    "late boat without a row": (HEAD + "1,A,B\n2,C,B\n", ["--late", "9@1"], "Write its row first"),
    "word unknown": (HEAD + "1,A,B\n2,C,B\n", ["--sead", "3"], "Did you mean --seed?"),
}


@pytest.mark.parametrize("name", LOTS)
def test_bad_entries_get_one_sentence(say: Any, tmp_path: Path, name: str) -> None:
    text, words, expected = LOTS[name]
    path = str(tmp_path / "entries.csv") if text is None else written(tmp_path, "entries.csv", text)
    rounds = [] if any(word.startswith("--rounds") for word in words) else ["--rounds", "2"]
    assert_one_sentence(say("lots", path, *rounds, *words), expected)


def test_lots_without_rounds_say_so(say: Any, tmp_path: Path) -> None:
    assert_one_sentence(say("lots", entries(tmp_path, 6)), "--rounds: it is missing")


PLAIN = "heat,boat,place\n"
FULL = "time,phone,who,event,heat,boat,old,new,reason\n"
GOOD = PLAIN + "1,7,1\n1,8,2\n"
POINTS = {
    "no such file": (None, [], "no such file"),
    "heading only": (PLAIN, [], "no results"),
    "no column of heats": ("boat,place\n7,1\n", [], "heat: this column is missing"),
    "no column of places": ("heat,boat\n1,7\n", [], "new: this column is missing"),
    "column unknown": ("heat,boat,place,colour\n1,7,1,red\n", [], "colour: unknown column"),
    "boat in words": (PLAIN + "1,Gravel,1\n", [], 'row 2, boat: not a boat number: got "Gravel"'),
    "boat missing": (PLAIN + "1,,1\n", [], "row 2, boat"),
    "heat missing": (PLAIN + ",7,1\n", [], "row 2, heat"),
    "heat nought": (PLAIN + "0,7,1\n", [], "row 2, heat"),
    "place nought": (
        PLAIN + "1,7,0\n",
        [],
        'row 2, new: neither a place nor a word for what happened: got "0"',
    ),
    "place in words": (PLAIN + "1,7,first\n", [], '"first"'),
    "place between two": (PLAIN + "1,7,1.5\n", [], '"1.5"'),
    "code unknown": (PLAIN + "1,7,DNX\n", [], '"DNX"'),
    "disqualified without a reason": (
        PLAIN + "1,7,1\n1,8,disqualified\n",
        [],
        "boat 8 is disqualified without a reason",
    ),
    "correction without a reason": (
        FULL + ",,,correction,1,7,1,2,\n",
        [],
        "row 2: a correction without a reason",
    ),
    "hold without a reason": (FULL + ",,,hold,,,,,\n", [], "a hold without a reason"),
    "event unknown": (FULL + ",,,corection,1,7,1,2,film\n", [], 'Did you mean "correction"?'),
    "time in words": (FULL + "noon,,,,1,7,,1,\n", [], 'time: not a time of day: got "noon"'),
    "time past midnight": (FULL + "25:10,,,,1,7,,1,\n", [], '"25:10"'),
    "old result unreadable": (FULL + ",,,correction,1,7,one,2,film\n", [], "row 2, old"),
    "elapsed time in words": ("heat,boat,place,seconds\n1,7,1,fast\n", [], '"fast"'),
    "elapsed time negative": ("heat,boat,place,seconds\n1,7,1,-4\n", [], '"-4"'),
    "table unknown": (GOOD, ["--table", "golf"], "powerboat, low-point, or a TOML file"),
    "table file not there": (GOOD, ["--table", "golf.toml"], "golf.toml: no such file"),
    "discards in words": (GOOD, ["--discards", "one"], "--discards"),
    "discards negative": (GOOD, ["--discards=-1"], "--discards"),
    "group not in the log": (GOOD, ["--group", "Rush"], "no heat of this group"),
    "entries not there": (GOOD, ["--entries", "nobody.csv"], "nobody.csv: no such file"),
}


@pytest.mark.parametrize("name", POINTS)
def test_bad_results_get_one_sentence(say: Any, tmp_path: Path, name: str) -> None:
    text, words, expected = POINTS[name]
    path = str(tmp_path / "results.csv") if text is None else written(tmp_path, "results.csv", text)
    assert_one_sentence(say("points", path, *words), expected)


def test_a_boat_that_is_not_entered_is_refused_by_its_row(say: Any, tmp_path: Path) -> None:
    log = written(tmp_path, "r.csv", PLAIN + "1,7,1\n1,31,2\n")
    listed = written(tmp_path, "e.csv", "boat\n7\n8\n")
    assert_one_sentence(say("points", log, "--entries", listed), "row 3, boat: boat 31 is not entered")


TABLE_FILES = {
    "worse places are worth more": ("points = [1, 2, 3]", "better place is worth less"),
    "points in words": ('points = ["ten"]', "not a number of points"),
    "points not a list": ("points = 10", "not a list of points"),
    "negative points": ("points = [10, -1]", "-1"),
    "name unknown": ("points = [10]\npiont = 3", "piont: unknown name"),
    "way of winning unknown": ('points = [10]\nwins = "all"', "most, least"),
    "rule for ties unknown": ('points = [10]\ntie_breaks = ["last-rase"]', 'Did you mean "last-race"?'),
    "code unknown": ("points = [10]\n[codes]\nDNX = 1", '"DNX"'),
    "code in words": ('points = [10]\n[codes]\nDNF = "one"', "[codes] DNF"),
    "discards too many": ("points = [10]\ndiscards = 99", "discards"),
    "fixed codes without points": ('base = "fixed"', "without points"),
}


@pytest.mark.parametrize("name", TABLE_FILES)
def test_a_bad_points_table_gets_one_sentence(say: Any, tmp_path: Path, name: str) -> None:
    text, expected = TABLE_FILES[name]
    log = written(tmp_path, "r.csv", GOOD)
    table = written(tmp_path, "ours.toml", text + "\n")
    assert_one_sentence(say("points", log, "--table", table), expected)


def assert_one_sentence(said: Any, expected: str) -> None:
    assert said.status == 2, said.out + said.err
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err
    assert expected in said.err
    assert said.err.rstrip().endswith((".", "?", "`", '"'))


def test_a_sheet_typed_twice_is_shown_side_by_side_and_kept_once(say: Any, tmp_path: Path) -> None:
    log = written(tmp_path, "r.csv", PLAIN + "1,7,1\n1,8,2\n1,7,2\n1,8,1\n")
    found = answer(say, "points", log)
    assert [(row["boat"], row["points"]) for row in found["table"]] == [(7, 400), (8, 300)]
    assert "07 1, 08 2 and the scorer: 08 1, 07 2" in found["findings"][0]["what"]
