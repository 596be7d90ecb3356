"""course, limits, hold, permit: what they answer, and one sentence for each thing that is wrong."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Say = Callable[..., Any]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration season with two boats only, so that runs are few."""
    import shutil

    from skimwright import app

    folder = Path(
        shutil.copytree(Path(app.__file__).parent / "demo_season", tmp_path_factory.mktemp("s") / "season")
    )
    rows = (folder / "boats.csv").read_text("utf8").splitlines()
    (folder / "boats.csv").write_text(
        "\n".join([rows[0], *(r for r in rows if r[:2] in ("07", "01"))]) + "\n", "utf8"
    )
    (folder / "runs.csv").unlink()
    return folder


@pytest.fixture(scope="module")
def planned(small: Path) -> dict:
    """One plan, made once."""
    import contextlib
    import io

    from skimwright import app

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        status = app.run(
            [
                "course",
                "--season",
                str(small),
                "--headings-deg",
                "75:110:5",
                "--out",
                str(small / "plan"),
                "--json",
            ]
        )
    assert status == 0
    return json.loads(out.getvalue())


def test_course_has_the_keys_others_rely_on(planned: dict) -> None:
    assert {"headings", "reach_m", "posts", "rule_of_thumb"} <= set(planned)
    assert {"heading_deg", "clear_m", "islet", "bank", "people"} <= set(planned["headings"][0])


def test_course_gives_the_printed_clear_metres(planned: dict) -> None:
    printed = {75: 61.4, 80: 62.0, 85: 62.1, 90: 62.0, 95: 91.6, 100: 80.3, 105: 67.7, 110: 56.3}
    found = {round(h["heading_deg"]): h["clear_m"] for h in planned["headings"]}
    assert found == {heading: pytest.approx(clear, abs=0.05) for heading, clear in printed.items()}
    assert planned["best_heading_deg"] == 95
    assert planned["area_m2"] == pytest.approx(5783, abs=0.5)


def test_no_log_means_no_computed_reach(planned: dict) -> None:
    assert planned["computed_reach_shown"] is False
    assert planned["keep_clear"]["computed_reach_m"] is None
    assert planned["logged"]["stray_limit"] == 1.0


def test_people_on_the_south_bank_are_stopped(planned: dict) -> None:
    codes = {finding["code"]: finding["severity"] for finding in planned["findings"]}
    assert codes["people-inside"] == "stop"
    assert planned["people"][0]["inside"] > 0.5


def test_every_post_is_found_again_by_its_tapes(planned: dict) -> None:
    """Circles crossed by plain trigonometry, apart from the code: 0.01 m."""
    pegs = {"P1": (0, 0), "P2": (0, -30), "P3": (-20, 12), "P4": (44, -58), "P5": (80, -38), "P6": (-14, -22)}
    pegs |= {"P7": (124, -26), "P8": (118, 16), "P9": (24, 72), "P10": (70, 72)}
    assert planned["posts"]
    for post in planned["posts"]:
        (a, ra), (b, rb) = post["tapes_m"].items()
        (ax, ay), (bx, by) = pegs[a], pegs[b]
        base = math.hypot(bx - ax, by - ay)
        at_a = math.acos((ra**2 + base**2 - rb**2) / (2 * ra * base))  # the law of cosines
        turn = math.atan2(by - ay, bx - ax) + (at_a if post["side"] == "left" else -at_a)
        found = (ax + ra * math.cos(turn), ay + ra * math.sin(turn))
        assert found == pytest.approx(post["at_m"], abs=0.01)
        assert post["good_to_m"] <= 0.3


def test_the_plan_is_written_in_black_and_names_both_lines(planned: dict, small: Path) -> None:
    assert [Path(file).name for file in planned["files"]] == [
        "course.html",
        "posts.html",
        "course-map.svg",
        "plan-to-sign.pdf",
        "pond.geojson",
    ]
    drawn = (small / "plan" / "course-map.svg").read_text("utf8")
    colours = set(re.findall(r"#[0-9A-F]{6}", drawn))
    assert colours <= {"#1A1A1A", "#FFFFFF", "#6B6B6B", "#D9D9D9"}
    page = (small / "plan" / "course.html").read_text("utf8")
    for words in ("people line", "computed reach", "borrowed", "safety officer", "3/n"):
        assert words in page


def test_the_map_written_can_be_read_again(planned: dict, small: Path, say: Say) -> None:
    said = say(
        "course",
        str(small / "plan" / "pond.geojson"),
        "--season",
        str(small),
        "--headings-deg",
        "95",
        "--json",
    )
    again = json.loads(said.out)
    assert again["for_planning_only"] is True
    assert again["area_m2"] == pytest.approx(planned["area_m2"], abs=0.1)
    assert again["headings"][0]["clear_m"] == pytest.approx(91.6, abs=0.05)
    assert "planning-only" in {finding["code"] for finding in again["findings"]}


def test_the_same_seed_gives_the_same_answer(small: Path, say: Say) -> None:
    words = ("course", "--season", str(small), "--headings-deg", "95", "--json")
    assert say(*words).out == say(*words).out


def test_a_logged_stray_moves_the_people_line(small: Path, say: Say, planned: dict) -> None:
    log = small / "runs.csv"
    rows = (
        ["boat,time,device,distance_m,drift_m,ending"]
        + ["07,,,44,0.5,stopped short"] * 12
        + ["07,,,88 m,,hooked"]
    )
    log.write_text("\n".join(rows) + "\n", "utf8")
    try:
        found = json.loads(say("course", "--season", str(small), "--headings-deg", "95", "--json").out)
    finally:
        log.unlink()
    assert found["longest_m"] == 88.0 > planned["longest_m"]
    assert found["keep_clear"]["area_m2"] > planned["keep_clear"]["area_m2"]
    assert found["computed_reach_shown"] is True
    assert found["logged"]["strays"] == 1


def test_a_doubtful_far_run_is_not_passed_over(small: Path, say: Say) -> None:
    log = small / "runs.csv"
    rows = (
        ["boat,time,device,distance_m,drift_m,ending"]
        + ["07,,,44,0.5,stopped short"] * 12
        + ["07,,,158,,hooked"]
    )
    log.write_text("\n".join(rows) + "\n", "utf8")
    try:
        found = json.loads(say("course", "--season", str(small), "--headings-deg", "95", "--json").out)
    finally:
        log.unlink()
    doubtful = next(finding for finding in found["findings"] if finding["code"] == "doubtful-distance")
    assert doubtful["severity"] == "stop"
    assert "farther out" in doubtful["why"]


@pytest.mark.parametrize(
    "words, said",
    [
        (("--start-m", "0,-30"), "start lies on land"),
        (("--start-m", "70,11"), "start lies on land"),
        (("--start-m", "4"), "not a place on the pond"),
        (("--headings-deg", "east"), "not a list of headings"),
        (("--headings-deg", "400"), "not a list of headings"),
        (("--lanes", "7"), "1 to 6"),
        (("nowhere.toml",), "no such file"),
    ],
)
def test_a_course_that_cannot_be_gets_one_sentence(
    small: Path, say: Say, words: tuple[str, ...], said: str
) -> None:
    answer = say("course", *words, "--season", str(small))
    assert answer.status == 2
    assert said in answer.err.casefold() or said in answer.err
    assert answer.err.count("\n") == 1
    assert answer.out == ""


TAPES = """
[pegs]
P1 = [0, 0]
P2 = [{peg}, 0]

[[tapes]]
P1_m = 10
P2_m = 14.142
side = "{side}"

[[tapes]]
P1_m = 20
P2_m = {tape}
P3_m = {third}
side = "left"

[[tapes]]
P1_m = 12
P2_m = 9
side = "left"
"""


@pytest.mark.parametrize(
    "old, new, said",
    [
        ("[97, 30], [83, 37]", "[83, 37], [97, 30]", "crosses itself"),
        ("P2 = [0, -30]", "P2 = [0]", "not a place"),
        ("longitude_deg = 1.0", "longitude_deg = 400", "longitude_deg"),
        (
            "outline_m = [\n  [0, 0]",
            "walked_deg = [[1.0, 52.0], [1.0, 52.001], [1.001, 52.0]]\noutline_m = [\n [0, 0]",
            "more than once",
        ),
        ("keep_off_m = 10", "keep_off_m = -1", "keep_off_m"),
        ("closed_from = 2027-03-01", 'closed_from = "March"', "not a date"),
    ],
)
def test_a_pond_that_cannot_be_gets_one_sentence(
    season: Path, say: Say, old: str, new: str, said: str
) -> None:
    file = season / "pond.toml"
    text = file.read_text("utf8")
    assert old in text
    file.write_text(text.replace(old, new), "utf8")
    answer = say("course", "--season", str(season))
    assert answer.status == 2
    assert said in answer.err.casefold() or said in answer.err
    assert "pond.toml" in answer.err
    assert answer.err.count("\n") == 1


@pytest.mark.parametrize(
    "changes, said",
    [
        ({"peg": "5"}, "too close"),
        ({"side": "port"}, "not a side"),
        ({"tape": "300"}, "do not meet"),
        ({"third": "9"}, "no peg of this name"),
    ],
)
def test_tapes_that_cannot_be_get_one_sentence(
    small: Path, say: Say, tmp_path: Path, changes: dict, said: str
) -> None:
    file = tmp_path / "taped.toml"
    text = TAPES.format(**{"peg": "30", "side": "left", "tape": "15", "third": "9", **changes})
    file.write_text(text if "third" in changes else text.replace("P3_m = 9\n", ""), "utf8")
    answer = say("course", str(file), "--season", str(small))
    assert answer.status == 2
    assert said in answer.err.casefold() or said in answer.err
    assert answer.err.count("\n") == 1


# ------------------------------------------------------------------------------------------------ limits


def test_limits_never_pass_the_sites_own(small: Path, say: Say) -> None:
    found = json.loads(say("limits", "--season", str(small), "--json").out)
    assert found["wind_gust_limit_m_s"] <= 6.5
    assert found["wind_mean_limit_m_s"] <= 4.0
    assert found["wind_gust_any_direction_m_s"] <= found["wind_gust_limit_m_s"]
    least = min(boat["gust_m_s"] for boat in found["boats"])
    assert found["boats"][0]["gust_m_s"] == least


def test_a_gust_over_the_limit_stops(small: Path, say: Say) -> None:
    found = json.loads(
        say("limits", "--wind-m-s", "4", "--gust-m-s", "8", "--season", str(small), "--json").out
    )
    assert found["word"] == "stop"


def test_heat_is_felt_with_its_humidity(small: Path, say: Say) -> None:
    found = json.loads(say("limits", "--humidity-percent", "50", "--season", str(small), "--json").out)
    heat = next(line for line in found["lines"] if line["what"] == "heat")
    assert "17 C" in heat["now"] or "16 C" in heat["now"]


def test_the_wind_is_said_both_ways(small: Path, say: Say) -> None:
    said = say("limits", "--season", str(small))
    assert "FROM 230, so it blows towards 050" in said.out


def test_a_gust_typed_as_the_mean_is_asked_about(season: Path, say: Say, small: Path) -> None:
    file = season / "season.toml"
    file.write_text(file.read_text("utf8").replace("wind_mean_m_s = 2.5", "wind_mean_m_s = 4.2"), "utf8")
    (season / "boats.csv").write_text((small / "boats.csv").read_text("utf8"), "utf8")
    assert "Was the gust written for the mean?" in say("limits", "--season", str(season)).out


@pytest.mark.parametrize(
    "old, new, said",
    [
        ("gust_m_s = 6.5", 'gust_m_s = ""', "empty"),
        ("gust_m_s = 6.5", "", "missing"),
        ("mean_m_s = 4.0", "mean_m_s = 7", "Was the gust written for the mean?"),
        ('officer = "safety officer"', "", "missing"),
        ("stop_below_c = 8", "stop_below_c = 80", "out of range"),
    ],
)
def test_an_empty_limit_keeps_the_event_shut(season: Path, say: Say, old: str, new: str, said: str) -> None:
    file = season / "limits.toml"
    text = file.read_text("utf8")
    assert old in text
    file.write_text(text.replace(old, new), "utf8")
    for words in (("limits",), ("hold", "open", "--who", "safety officer")):
        answer = say(*words, "--season", str(season))
        assert answer.status == 2
        assert said in answer.err.casefold() or said in answer.err
        assert "event page stays shut" in answer.err
        assert answer.err.count("\n") == 1
    assert not (season / "holds.csv").exists()


def test_no_limits_at_all_keep_the_event_shut(season: Path, say: Say) -> None:
    (season / "limits.toml").unlink()
    assert say("limits", "--season", str(season)).status == 2
    assert "cannot be opened" in say("hold", "open", "--who", "safety officer", "--season", str(season)).err


# -------------------------------------------------------------------------------------------------- hold


def told(say: Say, season: Path, clock: str, *words: str) -> dict:
    answer = say("hold", *words, "--at", f"2027-05-22T{clock}+01:00", "--season", str(season), "--json")
    assert answer.status == 0, answer.err
    return json.loads(answer.out)


def test_the_demonstrations_thunder_plays_out(season: Path, say: Say) -> None:
    assert told(say, season, "08:00:00")["word"] == "hold"
    told(say, season, "08:30:00", "open", "--who", "safety officer")
    assert told(say, season, "09:00:00")["word"] == "go"
    told(say, season, "14:31:00", "thunder", "--who", "safety officer")
    told(say, season, "14:36:00", "thunder", "--who", "marshal")
    assert told(say, season, "15:05:59")["word"] == "hold"
    last = told(say, season, "15:06:00")
    assert last["word"] == "go"
    assert [event["what"] for event in last["events"]] == ["open", "thunder", "thunder"]


def test_two_holds_both_must_clear(season: Path, say: Say) -> None:
    told(say, season, "08:30:00", "open", "--who", "safety officer")
    told(say, season, "09:00:00", "hold", "--who", "boat crew", "--why", "line, fouled")
    told(say, season, "09:01:00", "hold", "--who", "marshal")
    assert told(say, season, "09:02:00", "clear", "--who", "boat crew")["word"] == "hold"
    assert told(say, season, "09:03:00", "clear", "--who", "marshal")["word"] == "go"


@pytest.mark.parametrize(
    "words, said",
    [
        (("pause", "--who", "marshal"), "no such word"),
        (("hold",), "nobody is named"),
        (("clear", "--who", "marshal"), "has none"),
        (("hold", "--who", "marshal", "--at", "noon"), "not a moment"),
        (("hold", "--who", "marshal", "--at", "2027-05-22T14:31"), "difference from UTC"),
    ],
)
def test_a_hold_that_says_nothing_gets_one_sentence(
    season: Path, say: Say, words: tuple[str, ...], said: str
) -> None:
    answer = say("hold", *words, "--season", str(season))
    assert answer.status == 2
    assert said in answer.err.casefold() or said in answer.err
    assert not (season / "holds.csv").exists()


def test_a_log_with_a_hole_lets_nothing_run(season: Path, say: Say) -> None:
    (season / "holds.csv").write_text("at,who,what,why\nnoon,marshal,open,\n", "utf8")
    answer = say("hold", "--season", str(season))
    assert answer.status == 2
    assert "holds.csv, row 2" in answer.err


# ------------------------------------------------------------------------------------------------ permit

NEEDED = ("authority having jurisdiction", "water owner", "insurer", "school", "maker's permitted use")


def permits(
    season: Path, *, leave_out: str = "", until: str = "2027-06-30", device: str = "Lantern 1"
) -> None:
    rows = [
        f'[[permits]]\ndevice = "{device}"\nof = "{of}"\nperson = "by role"\nticked_by = "safety officer"\n'
        f"given = 2027-04-01\nuntil = {until}\n"
        for of in NEEDED
        if of != leave_out
    ]
    (season / "permits.toml").write_text("\n".join(rows), "utf8")


def opened(season: Path, say: Say, *words: str) -> dict[str, bool]:
    found = json.loads(say("permit", "--season", str(season), "--json", *words).out)
    return {each["device"]: each["open"] for each in found["devices"]}


def test_motors_and_gas_are_shut_until_every_permission_is_in(season: Path, say: Say) -> None:
    found = opened(season, say)
    assert [name for name, is_open in found.items() if is_open] == ["Tug", "Whirr 5", "Whirr 7"]
    permits(season)
    assert opened(season, say)["Lantern 1"] is True
    assert opened(season, say)["Lantern 2"] is False  # each device its own


@pytest.mark.parametrize("leave_out", NEEDED)
def test_one_missing_permission_shuts_it(season: Path, say: Say, leave_out: str) -> None:
    permits(season, leave_out=leave_out)
    assert opened(season, say)["Lantern 1"] is False
    assert f"{leave_out}: missing" in say("permit", "--device", "Lantern 1", "--season", str(season)).out


def test_an_expired_permission_shuts_it_again(season: Path, say: Say) -> None:
    permits(season, until="2027-05-21")
    assert opened(season, say)["Lantern 1"] is False
    assert opened(season, say, "--day", "2027-05-21")["Lantern 1"] is True
    assert opened(season, say, "--day", "2027-03-31")["Lantern 1"] is False
    assert "expired" in say("permit", "--device", "Lantern 1", "--season", str(season)).out


@pytest.mark.parametrize(
    "old, new, status",
    [
        ('ticked_by = "safety officer"', 'ticked_by = ""', "not ticked"),
        ("until = 2027-06-30\n", "", "no date"),
    ],
)
def test_a_permission_without_tick_or_date_is_none(
    season: Path, say: Say, old: str, new: str, status: str
) -> None:
    permits(season)
    file = season / "permits.toml"
    file.write_text(file.read_text("utf8").replace(old, new, 1), "utf8")
    assert opened(season, say)["Lantern 1"] is False
    assert status in say("permit", "--device", "Lantern 1", "--season", str(season)).out


def test_a_later_word_counts(season: Path, say: Say) -> None:
    permits(season)
    file = season / "permits.toml"
    taken_back = '\n[[permits]]\ndevice = "Lantern 1"\nof = "insurer"\nperson = "by role"\n'
    file.write_text(file.read_text("utf8") + taken_back, "utf8")
    assert opened(season, say)["Lantern 1"] is False


def test_a_device_not_listed_gets_one_sentence(season: Path, say: Say) -> None:
    permits(season, device="Lantern 9")
    answer = say("permit", "--season", str(season))
    assert answer.status == 2
    assert "permits.toml" in answer.err
    assert "Lantern 9" in answer.err
    (season / "permits.toml").unlink()
    assert "no device of this name" in say("permit", "--device", "Rocket", "--season", str(season)).err


def test_the_sheet_says_what_it_is_not(season: Path, say: Say, tmp_path: Path) -> None:
    say("permit", "--device", "Lantern 1", "--out", str(tmp_path), "--season", str(season))
    page = (tmp_path / "permission-lantern-1.html").read_text("utf8")
    for words in (
        "stays shut",
        "not written for boats",
        "Borrowed minimum",
        "allows nothing itself",
        "60 seconds",
    ):
        assert words in page
    for of in NEEDED:
        assert of.replace("'", "&#x27;") in page
