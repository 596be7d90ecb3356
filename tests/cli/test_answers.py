"""The verbs' answers: their keys, their numbers, their one line."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

import skimwright.cli.frame as frame
from skimwright import app
from skimwright.cli.progress import Progress
from skimwright.cli.verb import Answer, Ask, Verb


def answer(say: Any, *words: str) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == 0, said.err
    assert said.err == ""
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def test_shape_gives_the_weighing_table_of_the_kit(say: Any, season: Path) -> None:
    found = answer(say, "shape", str(season / "kits" / "fold-62.toml"))
    assert {"parts", "board_mass_g", "balance_mm", "inertia_kg_m2", "area_m2", "findings"} <= set(found)
    assert all(set(part) >= {"part", "qty", "area_mm2", "mass_g", "centroid_mm"} for part in found["parts"])
    # capability A1: 23 parts, board 177.2 g, balance 296.4 mm from the bow, each within 0.2 %
    assert sum(part["qty"] for part in found["parts"]) == 23
    assert found["board_mass_g"] == pytest.approx(177.2, rel=0.002)
    assert found["balance_mm"][0] == pytest.approx(296.4, rel=0.002)
    assert found["area_m2"] == pytest.approx(0.3937, abs=0.00005)


@pytest.mark.parametrize("kit, mass", [("Fold 50", 113.3), ("Fold 74", 255.3)])  # capability A5, within 0.2 %
def test_shape_knows_a_kit_of_the_season_by_name(say: Any, season: Path, kit: str, mass: float) -> None:
    found = answer(say, "shape", kit.lower(), "--season", str(season))
    assert found["kit"] == kit
    assert found["board_mass_g"] == pytest.approx(mass, rel=0.002)


def test_a_season_may_be_named_by_the_environment(
    say: Any, season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("SKIMWRIGHT_SEASON", str(season))
    monkeypatch.chdir(tmp_path)
    assert answer(say, "shape", "Fold 62")["kit"] == "Fold 62"


def test_float_gives_every_promised_key(say: Any, season: Path) -> None:
    found = answer(say, "float", "--boat", "7", "--season", str(season))
    promised = {
        *("floats", "draft_bow_mm", "draft_stern_mm", "trim_deg", "heel_deg", "displaced_cm3"),
        *("gm_transverse_mm", "righting", "feet"),
    }
    assert promised <= set(found)
    assert set(found["feet"]) == {"left", "right", "stern"}
    assert sum(found["feet"].values()) == pytest.approx(1, abs=2e-4)
    assert found["mass_g"] == 307.0


def test_the_three_feet_of_fold_62_carry_what_moments_say(say: Any, season: Path) -> None:
    kit = str(season / "kits" / "fold-62.toml")
    found = answer(say, "float", kit, "--mass-g", "269", "--balance-mm", "345.5,0,59")
    # moments about the feet at 255 and 605 mm: stern (345.5 - 255) / 350 = 0.2586; capability E5 prints 26 %
    assert found["feet"]["stern"] == pytest.approx((345.5 - 255) / 350, abs=1e-4)
    assert found["feet"]["left"] == pytest.approx(found["feet"]["right"], abs=1e-9)


def test_a_mass_may_be_given_in_ounces(say: Any, season: Path) -> None:
    kit = str(season / "kits" / "fold-62.toml")
    grams = answer(say, "float", kit, "--mass-g", "283.49523125")
    ounces = answer(say, "float", kit, "--mass-g", "10oz")
    assert grams == ounces


def test_a_boat_too_heavy_to_float_says_by_how_much(say: Any, season: Path) -> None:
    kit = str(season / "kits" / "fold-62.toml")
    found = answer(say, "float", kit, "--mass-g", "19000")
    assert found["floats"] is False
    assert found["excess_mass_g"] > 0
    assert found["trim_deg"] is None
    assert "sinks" in say("float", kit, "--mass-g", "19000").out


def test_thrust_measures_a_recording_and_writes_a_device_that_reads_back(say: Any, tmp_path: Path) -> None:
    stand = tmp_path / "stand.csv"
    stand.write_text("time_s,force_n\n0,0\n0.1,12\n0.25,6\n0.6,5\n0.7,0\n", "utf8")
    out = tmp_path / "devices" / "ours.toml"
    found = answer(say, "thrust", str(stand), "--loaded-g", "26", "--spent-g", "14", "--write", str(out))
    assert {"total_impulse_n_s", "burn_time_s", "average_thrust_n", "peak_thrust_n", "letter_class"} <= set(
        found
    )
    # trapezoids by hand: 0.6 + 1.35 + 1.925 + 0.25
    assert found["total_impulse_n_s"] == pytest.approx(4.125, rel=1e-9)
    assert found["letter_class"] == "B"
    assert found["files"] == [str(out)]
    assert 'kind = "curve"' in out.read_text("utf8")


def test_cite_names_each_source_with_its_status(say: Any, season: Path) -> None:
    found = answer(say, "cite", "--boat", "7", "--season", str(season))
    assert found["sources"]
    for source in found["sources"]:
        assert {"key", "where", "status"} <= set(source)
        assert source["status"] in {"seen", "second-hand", "derived", "memory"}
    assert any(source["key"] == "Savitsky1964" for source in found["sources"])


def test_cite_follows_the_device(say: Any, season: Path) -> None:
    towline = {s["use"] for s in answer(say, "cite", "--boat", "1", "--season", str(season))["sources"]}
    propeller = {s["key"] for s in answer(say, "cite", "--boat", "7", "--season", str(season))["sources"]}
    assert not any("Whirr" in use for use in towline)
    assert "Deters2014" in propeller


def test_every_self_check_holds(say: Any) -> None:
    found = answer(say, "selfcheck")
    assert found["failed"] == 0, [check for check in found["checks"] if not check["holds"]]
    assert found["passed"] >= 15
    assert found["seconds"] < 60


def test_a_self_check_that_fails_says_what_not_to_believe(say: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    from skimwright.physics import water

    monkeypatch.setattr(water, "density", lambda *, temperature: 1025.0)
    said = say("selfcheck", "--json")
    found = json.loads(said.out)
    assert said.status == 1
    assert found["failed"] >= 1
    assert "floating" in found["affected"]
    assert "Do not believe" in say("selfcheck").out


@pytest.mark.parametrize("words", [["shape", "Fold 62"], ["float", "--boat", "7"], ["cite"], ["selfcheck"]])
def test_plain_is_one_line(say: Any, season: Path, words: list[str]) -> None:
    said = say(*words, "--plain", "--season", str(season))
    assert said.status == 0, said.err
    assert said.out.count("\n") == 1


# the frame


@pytest.fixture
def verb_that(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Puts one more verb on the list: ``trial``, which does what it is told."""

    def make(deed: Any) -> None:
        verb = Verb(name="trial", does="a trial", example="trial", answer=deed)
        monkeypatch.setattr(frame, "all_verbs", lambda: {"trial": verb})

    return make


def test_ctrl_c_stops_with_one_sentence(say: Any, verb_that: Any) -> None:
    def stop(ask: Ask) -> Answer:
        raise KeyboardInterrupt

    verb_that(stop)
    said = say("trial")
    assert said.status == 130
    assert said.err == "Stopped. Nothing half done was kept.\n"


def test_a_fault_of_ours_is_one_sentence_with_a_number_and_a_kept_trace(
    say: Any, verb_that: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fall(ask: Ask) -> Answer:
        raise ZeroDivisionError("x")

    monkeypatch.setattr(frame.tempfile, "gettempdir", lambda: str(tmp_path))
    verb_that(fall)
    said = say("trial")
    assert said.status == 1
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err
    log = next(tmp_path.iterdir())
    assert str(log) in said.err
    assert "ZeroDivisionError" in log.read_text("utf8")
    with pytest.raises(ZeroDivisionError):
        app.run(["trial", "--debug"])


def test_json_never_holds_a_number_that_is_none(say: Any, verb_that: Any) -> None:
    verb_that(lambda ask: Answer(data={"x": math.nan}, text="", plain=""))
    assert say("trial", "--json").status == 1


def test_options_and_things_may_come_in_any_order(say: Any, season: Path) -> None:
    first = say("shape", "--plain", "Fold 62", "--season", str(season))
    last = say("shape", "--season", str(season), "Fold 62", "--plain")
    assert first == last
    assert first.status == 0


def test_no_words_at_all_show_the_front_page(say: Any) -> None:
    assert "VERB" in say().out


def test_version_is_one_line(say: Any) -> None:
    assert say("--version").out.startswith("skimwright 0.")


class Screen:
    """Keeps what is written."""

    def __init__(self) -> None:
        self.text = ""

    def write(self, text: str) -> int:
        self.text += text
        return len(text)

    def flush(self) -> None: ...


def test_progress_is_silent_for_a_second_then_says_each_tenth_once(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [0.0]
    monkeypatch.setattr("skimwright.cli.progress.time.monotonic", lambda: now[0])
    screen = Screen()
    progress = Progress(screen)  # type: ignore[arg-type]
    progress.update(1, 100, "runs")
    assert screen.text == ""
    now[0] = 2.0
    for done in range(10, 101, 5):
        progress.update(done, 100, "runs")
    assert screen.text.splitlines() == [f"runs: {done} of 100" for done in range(10, 101, 10)]


def test_progress_without_a_screen_says_nothing() -> None:
    Progress(None).update(1, 2, "runs")
