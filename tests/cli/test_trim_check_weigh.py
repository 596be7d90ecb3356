"""What to change, what to mend, what the scales say: from the command line."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from skimwright import app

SEASON = Path(__file__).parents[2] / "src" / "skimwright" / "demo_season"


def ask(capsys, *argv):
    status = app.run([*argv, "--season", str(SEASON), "--json"])
    out = capsys.readouterr()
    assert status == 0, out.err
    return json.loads(out.out)


def refused(capsys, *argv):
    status = app.run([*argv, "--season", str(SEASON)])
    out = capsys.readouterr()
    assert status == 2
    assert len(out.err.strip().splitlines()) == 1
    return out.err


@pytest.mark.parametrize(
    "boat, cure",
    [
        (3, "print"),
        (7, "glue"),
        (11, "blade"),
        (13, "device"),
        (14, "left pad"),
        (16, "twist"),
        (18, "bow"),
        (22, "seal"),
    ],
)
def test_the_first_change_cures_the_planted_fault(capsys, boat, cure):
    """The faults are the demonstration's own (invented): a fixture, not outside evidence."""
    data = ask(capsys, "trim", "--boat", str(boat), "--quick")
    assert cure in data["changes"][0]["what"].casefold()
    assert set(data["changes"][0]) >= {
        "what",
        "mass_g",
        "x_mm",
        "y_mm",
        "gain",
        "side_effects",
        "before",
        "after",
    }


def test_cannot_tell_is_said_just_when_the_interval_covers_nought(capsys):
    for boat in (11, 18):
        verdict = ask(capsys, "trim", "--boat", str(boat))["mass_verdict"]
        low, high = verdict["interval"]
        assert (verdict["says"] == "cannot tell") == (low <= 0.0 <= high)


def test_ballast_never_takes_a_boat_over_its_class(capsys):
    """Willow boats may weigh 450 g in the demonstration season (invented)."""
    data = ask(capsys, "trim", "--boat", "19", "--quick")
    assert all((change["mass_g"] or 0) + 408 <= 450 for change in data["changes"])


def test_same_seed_same_advice(capsys):
    one = ask(capsys, "trim", "--boat", "11", "--quick", "--seed", "4")
    assert ask(capsys, "trim", "--boat", "11", "--quick", "--seed", "4") == one


@pytest.mark.parametrize("boat, verdict", [(3, "mend"), (13, "mend"), (15, "pass")])
def test_the_card_says_pass_or_mend_with_reasons(capsys, boat, verdict):
    data = ask(capsys, "check", "--boat", str(boat))
    assert data["verdict"] == verdict
    assert {"what", "measured", "drawn", "allowed", "effect"} <= set(data["deviations"][0])


def test_two_scales_give_mass_and_balance_with_their_spread(capsys):
    """Statics by hand: 161 + 108 = 269 g; 200 + 360 x 108 / 269 = 344.535 mm from the bow.

    With 1 g on each scale the balance point is uncertain by 360 sqrt(161^2 + 108^2) / 269^2 = 0.96 mm (JCGM 100:2008,
    law of propagation), and half a millimetre of support adds a little.
    """
    data = ask(
        capsys,
        "weigh",
        "--boat",
        "7",
        "--front-g",
        "161",
        "--rear-g",
        "108",
        "--front-mm",
        "200",
        "--rear-mm",
        "560",
    )
    text = json.dumps(data)
    assert (
        data["mass_g"]["value"] == pytest.approx(269.0) if isinstance(data["mass_g"], dict) else "269" in text
    )
    numbers = [v for v in _numbers(data) if 344.4 < v < 344.7]
    assert numbers
    assert any(0.9 < v < 1.2 for v in _numbers(data)), "one standard uncertainty of the balance point"


def _numbers(data):
    if isinstance(data, dict):
        for value in data.values():
            yield from _numbers(value)
    elif isinstance(data, list):
        for value in data:
            yield from _numbers(value)
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield float(data)


@pytest.mark.parametrize(
    "argv",
    [
        ("trim",),
        ("trim", "--boat", "31"),
        ("check", "--boat", "20"),
        (
            "weigh",
            "--boat",
            "7",
            "--front-g",
            "0",
            "--rear-g",
            "108",
            "--front-mm",
            "200",
            "--rear-mm",
            "560",
        ),
        ("weigh", "--boat", "7", "--front-g", "161"),
        ("weigh", "--boat", "7", "--twist-s", "0.1"),
    ],
)
def test_bad_input_gets_one_sentence(capsys, argv):
    assert refused(capsys, *argv)


def test_a_ballast_place_outside_the_boat_is_refused_though_none_is_needed(capsys):
    said = refused(
        capsys, "weigh", "--boat", "12", "--single-g", "269", "--knife-mm", "345", "--ballast-mm", "900"
    )
    assert "0 to 620 mm from the bow" in said


@pytest.mark.parametrize("typed, shown", [("", None), ("Some", "some")])
def test_an_adults_help_is_as_written_or_not_recorded(capsys, tmp_path, typed, shown):
    season = with_help(tmp_path, typed)
    status = app.run(["check", "--boat", "9", "--runs", "50", "--season", str(season), "--json"])
    assert status == 0
    assert json.loads(capsys.readouterr().out)["adult_help"] == shown


def test_an_adults_help_in_other_words_is_refused_and_never_public(capsys, tmp_path):
    assert app.run(["check", "--boat", "9", "--season", str(with_help(tmp_path, "lots"))]) == 2
    assert "none, some, a lot, or blank" in capsys.readouterr().err
    season = with_help(tmp_path / "more", "a lot")
    assert app.run(["results", "--out", str(tmp_path / "public"), "--season", str(season)]) == 0
    assert not any("a lot" in file.read_text("utf8") for file in (tmp_path / "public").iterdir())


def with_help(folder, typed):
    """The demonstration season with what is written of an adult's help on boat 9."""
    season = folder / "season"
    shutil.copytree(SEASON, season)
    rows = (season / "boats.csv").read_text("utf8").splitlines()
    cells = ["adult_help", *(typed if row.startswith("09") else "" for row in rows[1:])]
    lines = [f"{row},{cell}" for row, cell in zip(rows, cells, strict=True)]
    (season / "boats.csv").write_text("\n".join(lines) + "\n", "utf8")
    return season


def test_no_figure_of_a_weigh_in_is_a_power_of_ten(capsys):
    status = app.run(
        ["weigh", "--boat", "12", "--single-g", "269", "--twist-s", "1.2", "--season", str(SEASON)]
    )
    out = capsys.readouterr().out
    assert status == 0
    assert "turning inertia" in out
    assert "e+0" not in out
