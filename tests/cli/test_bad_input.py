"""Bad input gets one sentence: file, row, field, what was got, what is allowed; never a trace, never silence."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

GRAVEL = "07,Gravel,Rush,Rush crew 1,Fold 62,Whirr 5,307,353,-1.6,-0.3,0.4,0.7,,,,1.2,"


@dataclass(frozen=True)
class Spoilt:
    """One file of the demonstration season with one thing wrong, and words the sentence must hold."""

    file: str
    old: str
    new: str
    words: tuple[str, ...]


def boats(old: str, new: str, *words: str) -> Spoilt:
    return Spoilt("boats.csv", old, new, ("boats.csv", *words))


def gravel(old: str, new: str, *words: str) -> Spoilt:
    return boats(GRAVEL, GRAVEL.replace(old, new, 1), "row 8", *words)


def rules(old: str, new: str, *words: str) -> Spoilt:
    return Spoilt("season.toml", old, new, ("season.toml", *words))


WHOLE = "\0whole file"

CASES = {
    # boats.csv: the list itself
    "empty list": boats(WHOLE, "", "empty"),
    "heading only": boats(WHOLE, "boat,name,group,crew,kit,device\n", "no boats"),
    "column given twice": boats("boat,name,group", "boat,name,name", "row 1", "name", "twice"),
    "column missing": boats("boat,name,group,crew", "boat,name,group,crewe", "crew", "missing"),
    "column unknown": boats("water_gain_g_per_run", "water_gain_g", "water_gain_g", "water_gain_g_per_run"),
    "column in another unit": boats("mass_g", "mass_oz", "mass_oz", 'Did you mean "mass_g"?'),
    "column without a name": boats("boat,name,group", "boat,,group", "column 2"),
    "too many cells": gravel("1.2,", "1.2,,7", "18 cells", "17 cells"),
    "decimal comma splits a cell": gravel("307", "307,5", "18 cells", "decimal comma"),
    "too few cells": gravel("353,-1.6,", "353,", "16 cells"),
    "quote never closed": boats("Late Bus", '"Late Bus', "quotation"),
    "not UTF-8": boats(WHOLE, "\udcff\udcfe" + "b\0o\0a\0t\0", "UTF-8"),
    "Latin letters of an older spreadsheet": gravel("Gravel", "Gravi\udce8re", "UTF-8"),
    # boats.csv: one cell
    "number not a number": gravel("307", "heavy", "mass_g", '"heavy"'),
    "two decimal signs": gravel("307", "12.5.2", "mass_g", "12.5.2"),
    "not-a-number": gravel("307", "nan", "mass_g", "nan"),
    "infinite": gravel("353", "inf", "balance_x_mm", "inf"),
    "huge number": gravel("307", "1e999", "mass_g"),
    "scale reads nought": gravel("307", "0.0", "mass_g", "0.0 g"),
    "negative mass": gravel("307", "-307", "mass_g", "-307 g"),
    "unit of another kind": gravel("307", "307 mm", "mass_g", "307 mm"),
    "unknown unit": gravel("307", "307 stone", "mass_g", "307 stone"),
    "angle beyond sense": gravel("0.7,,,", "70,,,", "fin_yaw_deg", "70 deg", "-45 to 45 deg"),
    "negative water": gravel("1.2,", "-1.2,", "water_gain_g_per_run"),
    "boat number missing": gravel("07", "", "boat", "1 to 9999"),
    "boat number nought": gravel("07", "0", "boat", '"0"'),
    "boat number in words": gravel("07", "seven", "boat", '"seven"'),
    "boat number taken": gravel("07", "8", "number 8", "Gravel", "Nine Yards"),
    "boat without a name": gravel("Gravel", "", "no name"),
    "unknown kit": gravel("Fold 62", "Fold 26", "kit", '"Fold 26"', 'Did you mean "Fold 62"?'),
    "unknown device": gravel("Whirr 5", "Wirr 5", "device", 'Did you mean "Whirr 5"?'),
    "unknown group": gravel("Rush,", "Moss,", "group", "Cress, Rush, Reed, Willow"),
    "boat without a kit": gravel("Fold 62", "", "kit"),
    "list cut off half way": boats(
        WHOLE, "boat,name,group,crew,kit,device\n1,Button,Cress,A,Fold 50,Tug\n2,Po", "row 3", "breaks off"
    ),
    # season.toml
    "rules file empty": rules(WHOLE, "", "empty"),
    "rules cut off half way": rules(WHOLE, '[season]\nname = "Bracken', "row 2", "breaks off"),
    "line not TOML": rules("heading_deg = 95", "heading_deg: 95", "heading_deg: 95"),
    "decimal comma in TOML": rules("wind_mean_m_s = 2.5", "wind_mean_m_s = 2,5", "wind_mean_m_s = 2,5"),
    "name given twice": rules("east_m = 4\n", "east_m = 4\neast_m = 5\n", "twice"),
    "unknown name": rules("gate_width_m", "gate_with_m", "gate_with_m", "gate_width_m"),
    "unknown table": rules("[conditions]", "[weather]", "weather", "conditions"),
    "distance in feet by its name": rules(
        "qualifying_distance_m = 10", "qualifying_distance_ft = 100", "qualifying_distance_m"
    ),
    "distance in seconds": rules("qualifying_distance_m = 10", 'qualifying_distance_m = "10 s"', '"10 s"'),
    "gate wider than sense": rules("gate_width_m = 2", "gate_width_m = 200", "200 m", "0.5 to 20 m"),
    "gate closed": rules("gate_width_m = 2", "gate_width_m = 0", "gate_width_m", "0 m"),
    "heading 370": rules("heading_deg = 95", "heading_deg = 370", "heading_deg", "370 deg", "0 to 360 deg"),
    "wind from nowhere": rules("wind_from_deg = 230", 'wind_from_deg = "south-west"', "wind_from_deg"),
    "wind missing": rules("wind_mean_m_s = 2.5\n", "", "wind_mean_m_s", "missing"),
    "wind a hurricane": rules("wind_mean_m_s = 2.5", "wind_mean_m_s = 45", "45 m/s", "0 to 20 m/s"),
    "gust weaker than the mean": rules("gust_m_s = 4.2", "gust_m_s = 1", "gust 1 m/s, mean 2.5 m/s"),
    "wind not a number": rules("wind_mean_m_s = 2.5", "wind_mean_m_s = nan", "wind_mean_m_s", "nan"),
    "water hot": rules("water_temperature_c = 14", "water_temperature_c = 57", "57 C", "0 to 35 C"),
    "limit left empty": rules("mass_max_g = 450", 'mass_max_g = ""', "mass_max_g", "empty"),
    "least above most": rules("mass_max_g = 450", "mass_max_g = 450\nmass_min_g = 500", "500 g and 450 g"),
    "tries not whole": rules("[groups.Rush]", "[groups.Rush]\ntries = 2.5", "tries", "2.5", "whole number"),
    "tries yes": rules("[groups.Rush]", "[groups.Rush]\ntries = true", "tries", "true"),
    "rule names no device": rules('devices = ["Tug"]', 'devices = ["Tugg"]', '"Tugg"', 'Did you mean "Tug"?'),
    "devices not a list": rules('devices = ["Tug"]', 'devices = "Tug"', "devices", "square brackets"),
    "date in words": rules("regatta = 2027-05-22", 'regatta = "22 May"', "regatta", '"22 May"'),
    "season ends before it begins": rules(
        "last_day = 2027-06-30", "last_day = 2025-06-30", "last_day", "2025"
    ),
    "season without a name": rules(
        'name = "Brackenfold Skimming Boats"', 'name = ""', "[season] name", "empty"
    ),
    # pond.toml
    "pond points crossing": Spoilt(
        "pond.toml",
        "[10, -17], [24, -23]",
        "[24, -23], [10, -17]",
        ("pond.toml", "[water] outline_m", "crosses itself"),
    ),
    "islet of two points": Spoilt(
        "pond.toml",
        "[[islets]]",
        "[[islets]]\nname = 'x'\noutline_m = [[1, 2], [3, 4]]\n[[islets]]",
        ("pond.toml", "[[islets]] 1 outline_m", "2 places"),
    ),
    "place of three numbers": Spoilt(
        "pond.toml", "P2 = [0, -30]", "P2 = [0, -30, 1]", ("[pegs] P2", "[0, -30, 1]")
    ),
    "pond name unknown": Spoilt(
        "pond.toml", "keep_off_m", "keep_of_m", ("[[hazards]] 1 keep_off_m", "missing")
    ),
    "start on land": rules("east_m = 4", "east_m = -40", "land", "east -40 m"),
    "start on the islet": rules("east_m = 4\nnorth_m = 2", "east_m = 70\nnorth_m = 11", "land"),
    # kits and devices
    "kit with a negative length": Spoilt(
        "kits/fold-62.toml", "length_mm = 620", "length_mm = -620", ("kits/fold-62.toml", "length_mm", "-620")
    ),
    "kit name used twice": Spoilt(
        "kits/fold-50.toml", '"Fold 50"', '"Fold 62"', ("kits/", "Fold 62", "two kits")
    ),
    "device of an unknown kind": Spoilt(
        "devices/tug.toml", '"towline"', '"elastic"', ("devices/tug.toml", "elastic")
    ),
    "device in gram-force": Spoilt(
        "devices/whirr-5.toml",
        "static_thrust_n",
        "static_thrust_gf",
        ("devices/whirr-5.toml", "static_thrust_gf"),
    ),
}


def spoil(season: Path, spoilt: Spoilt) -> None:
    path = season / spoilt.file
    text = path.read_text("utf8")
    if spoilt.old == WHOLE:
        text = spoilt.new
    else:
        assert text.count(spoilt.old) >= 1, "the demonstration season no longer holds what this case spoils"
        text = text.replace(spoilt.old, spoilt.new, 1)
    path.write_bytes(text.encode("utf8", "surrogateescape"))


def is_one_sentence(err: str) -> bool:
    """One line, ended by a full stop or a question mark, nothing left unfilled, no trace."""
    line = re.sub("`[^`]*`", "``", err.rstrip("\n"))  # what stands in the file is not ours to mend
    whole = "\n" not in line and line.endswith((".", "?", "`")) and line.count('"') % 2 == 0
    return whole and not any(mark in line for mark in ("%s", "Traceback", "None", "..  ", "Error"))


@pytest.mark.parametrize("spoilt", CASES.values(), ids=CASES.keys())
def test_a_spoilt_file_gets_one_sentence_that_names_the_place(season: Path, say: Any, spoilt: Spoilt) -> None:
    spoil(season, spoilt)
    said = say("shape", "Fold 62", "--season", str(season))
    assert said.status == 2, said.err
    assert said.out == ""
    assert is_one_sentence(said.err), said.err
    missing = [word for word in spoilt.words if word not in said.err]
    assert not missing, f"{missing} not in: {said.err}"


LINES = {
    "unknown verb": (["shap", "x"], "Did you mean `shape`?"),
    "verb of no likeness": (["zzz"], "selfcheck"),
    "kit not said": (["shape"], "KIT"),
    "kit file not there": (["shape", "nowhere.toml"], "nowhere.toml"),
    "kit not in the season": (["shape", "Fold 26", "--season", "{season}"], 'Did you mean "Fold 62"?'),
    "unknown option": (["shape", "x", "--jsn"], "Did you mean --json?"),
    "word too many": (["shape", "x", "y"], '"y"'),
    "value missing": (["float", "x", "--mass-g"], "--mass-g"),
    "mass not a number": (["float", "x", "--mass-g", "heavy"], "--mass-g"),
    "mass out of range": (["float", "x", "--mass-g", "0"], "1 to 20000 g"),
    "place of two numbers": (["float", "x", "--balance-mm", "1,2"], "three numbers"),
    "boat not a number": (["float", "--boat", "seven"], "whole number"),
    "boat not in the season": (["float", "--boat", "31", "--season", "{season}"], "no boat 31"),
    "boat and kit": (["float", "Fold 62", "--boat", "7"], "both"),
    "neither boat nor kit": (["float"], "neither"),
    "boat with a mass": (["float", "--boat", "7", "--mass-g", "300"], "its own mass"),
    "season not there": (["cite", "--boat", "7", "--season", "{season}/nowhere"], "--season"),
    "recording not there": (["thrust", "nowhere.csv"], "nowhere.csv"),
    "recording not weighed right": (["thrust", "x.csv", "--loaded-g", "-3"], "--loaded-g"),
    "open question": (["float", "--boat", "20", "--season", "{season}"], "13.5 oz = 382.7 g?"),
}


@pytest.mark.parametrize("words, expected", LINES.values(), ids=LINES.keys())
def test_a_wrong_word_gets_one_sentence(season: Path, say: Any, words: list[str], expected: str) -> None:
    said = say(*(word.replace("{season}", str(season)) for word in words))
    assert said.status == 2, said.err
    assert said.out == ""
    assert is_one_sentence(said.err), said.err
    assert expected in said.err


@pytest.mark.parametrize("file", ["season.toml", "boats.csv"])
def test_a_missing_file_is_named(season: Path, say: Any, file: str) -> None:
    (season / file).unlink()
    said = say("cite", "--boat", "7", "--season", str(season))
    assert said.status == 2
    assert is_one_sentence(said.err), said.err
    assert file in said.err


@pytest.mark.parametrize("folder", ["kits", "devices"])
def test_a_folder_without_files_is_named(season: Path, say: Any, folder: str) -> None:
    for path in (season / folder).iterdir():
        path.unlink()
    said = say("cite", "--boat", "7", "--season", str(season))
    assert said.status == 2
    assert is_one_sentence(said.err), said.err
    assert f"{folder}/" in said.err


@pytest.mark.parametrize(
    "name, rows, expected",
    [
        ("grams.csv", "time_s,force_g\n0,0\n0.5,200\n1,0\n", "force_g"),
        ("words.csv", "time_s,force_n\n0,0\n0.5,lots\n1,0\n", "lots"),
        ("back.csv", "time_s,force_n\n0,0\n0.5,2\n0.4,1\n1,0\n", "row 4"),
        ("flat.csv", "time_s,force_n\n0,0\n0.5,0\n1,0\n", ""),
        ("short.csv", "time_s,force_n\n0,0\n", "short.csv"),
        ("empty.csv", "", "empty.csv"),
    ],
)
def test_a_recording_that_cannot_be_right_gets_one_sentence(
    tmp_path: Path, say: Any, name: str, rows: str, expected: str
) -> None:
    (tmp_path / name).write_text(rows, "utf8")
    said = say("thrust", str(tmp_path / name))
    assert said.status == 2, said.out
    assert is_one_sentence(said.err), said.err
    assert expected in said.err
