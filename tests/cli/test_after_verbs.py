"""``certificates`` and ``results``: what goes out after the day, and what never does."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any

import pytest


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


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf8", newline="") as file:
        return list(csv.DictReader(file))


# certificates


def test_a_certificate_after_an_appeal_asks_for_a_second_issue(
    say: Any, season: Path, tmp_path: Path
) -> None:
    at = ("--boat", "7", "--season", str(season))

    def asked(*more: str) -> bool:
        found = answer(say, "certificates", *at, "--out", str(tmp_path), *more)["findings"]
        return any(f["code"] == "result-changed" for f in found)

    assert not asked()
    answer(say, "log", *at, "--guess", "skip", "--distance-m", "34", "--ending", "W", "--try", "yes")
    answer(
        say,
        "gate",
        *at,
        "--appeal",
        "1",
        "--result",
        "through the gate",
        "--by",
        "marshal",
        "--reason",
        "film",
    )
    assert asked()
    assert not asked("--issue", "2")


def test_a_class_of_certificates_is_one_file(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(say, "certificates", "--season", str(season), "--out", str(tmp_path))
    assert found["pages"] == 24
    (file,) = found["files"]
    assert Path(file).read_bytes().startswith(b"%PDF-")
    assert "Wren" not in json.dumps(found)  # names stand on paper only


@pytest.mark.parametrize(
    "words, says",
    [
        (("--boat", "99"), "no boat 99"),
        (("--group", "Rsh"), 'Did you mean "Rush"?'),
        (("--paper", "a3"), "no such paper"),
        (("--issue", "0"), "1 to 99"),
    ],
)
def test_a_slip_is_one_sentence(
    say: Any, season: Path, tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    said = say("certificates", *words, "--season", str(season), "--out", str(tmp_path))
    assert said.status == 2
    assert says.casefold() in said.err.casefold()
    assert said.err.count("\n") == 1


# results


def public(say: Any, season: Path, out: Path, *words: str) -> dict[str, Any]:
    return answer(say, "results", "--season", str(season), "--out", str(out), *words)


def test_the_lists_hold_what_the_points_verb_says(say: Any, season: Path, tmp_path: Path) -> None:
    public(say, season, tmp_path)
    told = answer(say, "points", "--season", str(season))["table"]
    listed = rows_of(tmp_path / "points.csv")
    assert [(int(r["boat"]), float(r["points"]), r["group"]) for r in listed] == [
        (r["boat"], r["points"], r["group"]) for r in told
    ]
    heats = rows_of(tmp_path / "heats.csv")
    assert len(heats) == sum(1 for row in told for race in row["races"] if race["heat"] is not None)
    assert json.loads((tmp_path / "results.json").read_text("utf8"))["heats"] == heats


def corrections_in(season: Path) -> list[dict[str, str]]:
    """As they stand in the log, without our reader."""
    return [row for row in rows_of(season / "results.csv") if row["event"] == "correction"]


def test_a_corrected_result_says_so_and_shows_what_it_was(say: Any, season: Path, tmp_path: Path) -> None:
    found = public(say, season, tmp_path, "--organisers")
    logged = corrections_in(season)
    assert found["corrected"] == len(logged) == 2
    changed = [row for row in rows_of(tmp_path / "heats.csv") if row["corrected"]]
    assert {(r["boat"], r["was"], r["result"], r["corrected_at"]) for r in changed} == {
        (row["boat"], row["old"], row["new"], row["time"][:5]) for row in logged
    }
    page = (tmp_path / "results.html").read_text("utf8")
    assert page.count("corrected</td>") == 2
    why = rows_of(tmp_path / "corrections-organisers-only.csv")
    assert {row["reason"] for row in why} == {row["reason"] for row in logged}
    for name in ("results.html", "heats.csv", "points.csv", "results.json"):
        text = (tmp_path / name).read_text("utf8")
        assert logged[0]["reason"] not in text  # reasons and people are not public
        assert logged[0]["who"] not in text


def test_a_second_correction_keeps_both(say: Any, season: Path, tmp_path: Path) -> None:
    first, *_ = corrections_in(season)
    with (season / "results.csv").open("a", encoding="utf8", newline="") as file:
        again = first | {
            "time": "15:20:00",
            "old": first["new"],
            "new": first["old"],
            "reason": "it was heat 3",
        }
        csv.DictWriter(file, first).writerow(again | ({"key": "again"} if "key" in again else {}))
    public(say, season, tmp_path, "--organisers")
    why = rows_of(tmp_path / "corrections-organisers-only.csv")
    assert [(r["was"], r["now"], r["at"]) for r in why if r["boat"] == first["boat"]] == [
        (first["old"], first["new"], first["time"][:5]),
        (first["new"], first["old"], "15:20"),
    ]


def test_nothing_of_a_child_is_public(say: Any, season: Path, tmp_path: Path) -> None:
    public(say, season, tmp_path / "out")
    names = {row["first_name"] for row in rows_of(season / "crews.csv")}
    for path in (tmp_path / "out").iterdir():
        words = set(re.findall(r"\w+", path.read_text("utf8")))
        assert not words & names, path.name
        assert "crew" not in words


def test_a_boat_name_with_a_surname_is_held_back_until_a_person_says(
    say: Any, season: Path, tmp_path: Path
) -> None:
    for name in ("boats.csv", "entries.csv"):
        put_in(season / name, "Copper Spoon", "Petra Barrowby")  # Petra is a first name of the roster alone
    found = public(say, season, tmp_path / "a")
    assert "surname-in-name" in {finding["code"] for finding in found["findings"]}
    for path in (tmp_path / "a").iterdir():
        assert "Barrowby" not in path.read_text("utf8")
    assert "Barrowby" not in json.dumps(found)
    public(say, season, tmp_path / "b", "--fine", "10")
    assert "Petra Barrowby" in (tmp_path / "b" / "results.html").read_text("utf8")


def test_a_spoilt_row_is_named_and_the_rest_is_there(say: Any, season: Path, tmp_path: Path) -> None:
    row = next(n for n, row in enumerate(rows_of(season / "results.csv"), 2) if row["event"] == "finish")
    lines = (season / "results.csv").read_text("utf8").split("\n")
    lines[row - 1] = re.sub(r"^[^,]*", "22/05/2027", lines[row - 1])  # as a spreadsheet mangles a time
    (season / "results.csv").write_text("\n".join(lines), "utf8")
    found = public(say, season, tmp_path)
    assert any(f"row {row}" in finding["where"] for finding in found["findings"])
    assert len(found["heats"]) > 100


def test_a_name_like_a_formula_stays_a_name(say: Any, season: Path, tmp_path: Path) -> None:
    for name in ("boats.csv", "entries.csv"):
        put_in(season / name, "Six Socks", "=1+2")
    public(say, season, tmp_path)
    assert any(row["name"] == " =1+2" for row in rows_of(tmp_path / "points.csv"))


# report


def starts_by_hand(season: Path) -> tuple[int, int]:
    """Heats and starts, counted from the rows alone: the boats of each heat's last report since its last re-run."""
    boats: dict[str, dict[str, str]] = {}
    for row in rows_of(season / "results.csv"):
        heat = boats.setdefault(row["heat"], {})
        if row["event"] == "rerun":
            heat.clear()
        elif row["event"] in ("finish", "result", "decision", "correction"):
            heat[row["boat"]] = row["new"]
    raced = {number: heat for number, heat in boats.items() if number and heat}
    return len(raced), sum(
        new not in ("DNS", "DNC", "not started") for heat in raced.values() for new in heat.values()
    )


def test_the_five_counts_agree_with_the_files(say: Any, season: Path, tmp_path: Path) -> None:
    """Recounted from the rows, without our readers."""
    found = answer(say, "report", "--season", str(season), "--out", str(tmp_path))
    numbers = {row["boat"] for row in rows_of(season / "boats.csv")}
    assert found["boats"] == len(numbers)
    assert found["pupils"] == len(rows_of(season / "crews.csv"))
    runs, seen = set(), set()
    for row in rows_of(season / "runs.csv"):
        same = (row["boat"], row["distance_m"], row["gate_time_s"], row["drift_m"], row["phone"])
        if row["boat"] in numbers and same not in seen:
            runs.add((row["boat"], row["run"]))
        seen.add(same)
    assert found["trial_runs"] == len(runs)
    assert (found["heats"], found["starts"]) == starts_by_hand(season)
    page = (tmp_path / "season-report.html").read_text("utf8")
    for key in ("boats", "pupils", "trial_runs", "heats", "starts"):
        assert f">{found[key]}<" in page


def test_an_empty_phase_is_not_recorded(say: Any, season: Path) -> None:
    before = {p["phase"]: p for p in answer(say, "report", "--season", str(season))["phases"]}
    assert len(before) == 15
    assert before["Trials"]["recorded"]
    assert before["Build lessons"] == {"phase": "Build lessons", "recorded": False, "says": "Not recorded."}
    for name in ("runs.csv", "results.csv", "crews.csv", "helpers.csv", "pond.toml", "limits.toml"):
        (season / name).unlink()
    found = answer(say, "report", "--season", str(season))
    after = {p["phase"]: p["says"] for p in found["phases"]}
    for phase in ("Trials", "Regatta day", "Results", "The water and its safety", "Putting away"):
        assert after[phase] == "Not recorded."
    assert (found["trial_runs"], found["heats"], found["starts"], found["pupils"]) == (0, 0, 0, 0)


def test_the_report_counts_pupils_and_names_none(say: Any, season: Path, tmp_path: Path) -> None:
    answer(say, "report", "--season", str(season), "--out", str(tmp_path / "out"))
    words = set(re.findall(r"\w+", (tmp_path / "out" / "season-report.html").read_text("utf8")))
    assert not words & {row["first_name"] for row in rows_of(season / "crews.csv")}


def test_a_child_that_was_forgotten_is_counted_without_a_name(say: Any, season: Path) -> None:
    answer(say, "forget", "Wren B", "--erase", "--season", str(season))
    last = answer(say, "report", "--season", str(season))["phases"][-1]
    assert last["says"].startswith("Data of 1 child erased when asked to.")


def test_thunder_on_the_day_stands_in_the_report(say: Any, season: Path) -> None:
    for at, what in (("08:05", "open"), ("14:31", "thunder")):
        at = f"2027-05-22T{at}:00+01:00"
        assert say("hold", what, "--who", "safety officer", "--at", at, "--season", str(season)).status == 0
    day = {p["phase"]: p["says"] for p in answer(say, "report", "--season", str(season))["phases"]}[
        "Regatta day"
    ]
    assert "Racing held: thunder 14:31." in day
