"""An inspector's own verdict stays with name and reason; a turned part is told; the way back to an earlier trim."""

from __future__ import annotations

import json

import pytest

FEW = ("--runs", "40")


def data(said) -> dict:
    assert said.status == 0, said.err
    return json.loads(said.out)


def check(say, season, *words):
    return say("check", "--boat", "13", *FEW, *words, "--season", str(season))


def test_an_override_is_kept_and_shown_again_with_name_and_reason(say, season) -> None:
    words = ("--override", "pass", "--by", "inspector 2", "--reason", "pod moved at the ramp")
    first = data(check(say, season, *words, "--json"))
    assert (first["verdict"], first["verdict_of_the_card"]) == ("pass", "mend")
    kept = (season / "overrides.csv").read_text("utf8")
    again = data(check(say, season, "--json"))
    assert again["verdict"] == "pass"
    assert (again["override"]["name"], again["override"]["reason"]) == (
        "inspector 2",
        "pod moved at the ramp",
    )
    assert "inspector 2 decided so in place of mend: pod moved at the ramp" in check(say, season).out
    back = ("--override", "card", "--by", "inspector 1", "--reason", "it had not")
    last = data(check(say, season, *back, "--json"))
    assert (last["verdict"], last["override"]) == ("mend", None)
    assert [o["verdict"] for o in last["overrides"]] == ["pass", "as the card says"]
    assert (season / "overrides.csv").read_text("utf8").startswith(kept)


def test_an_override_of_a_card_that_has_changed_since_is_asked_about(say, season) -> None:
    check(say, season, "--override", "pass", "--by", "inspector 2", "--reason", "pod moved")
    boats = season / "boats.csv"
    rows = boats.read_text("utf8").splitlines()
    at = next(i for i, row in enumerate(rows) if row.startswith("13,"))
    cells = rows[at].split(",")
    cells[rows[0].split(",").index("device_offset_y_mm")] = "0"
    rows[at] = ",".join(cells)
    boats.write_text("\n".join(rows) + "\n", "utf8")
    assert "override-stale" in {f["code"] for f in data(check(say, season, "--json"))["findings"]}


@pytest.mark.parametrize(
    "words", [("--override", "pass"), ("--override", "pass", "--by", "x"), ("--reason", "y"), ("--by", "x")]
)
def test_half_an_override_is_refused_and_nothing_is_written(say, season, words) -> None:
    said = check(say, season, *words)
    assert said.status == 2
    assert "--by" in said.err
    assert not (season / "overrides.csv").exists()


def test_a_spoilt_line_of_overrides_is_named(say, season) -> None:
    (season / "overrides.csv").write_text("time,boat,card,verdict,who,reason\nt,13,mend,fine,x,y\n", "utf8")
    said = check(say, season)
    assert said.status == 2
    assert "row 2" in said.err
    assert '"fine"' in said.err


def test_a_wall_turned_end_for_end_is_told_and_is_to_be_mended(say, season) -> None:
    """WALL-1 of the Fold 62 as drawn: 67 - 34 = 33 mm high 50 mm in from the front, 67 - 20.3 x 50 / 340 = 64 mm from
    the rear (the outline's own corners)."""
    right = data(check(say, season, "--ends-mm", "WALL-1=33/64", "--json"))
    turned = data(check(say, season, "--ends-mm", "WALL-1=64/33", "--json"))
    wrong = data(check(say, season, "--ends-mm", "WALL-1=50/50", "--json"))
    codes = [{f["code"] for f in each["findings"]} for each in (right, turned, wrong)]
    assert "part-turned" not in codes[0] | codes[2]
    assert "part-turned" in codes[1]
    assert turned["verdict"] == "mend"
    assert any("end for end" in reason for reason in turned["reasons"])
    assert "part-ends" in codes[2]


@pytest.mark.parametrize("part, word", [("FLOOR-1=150/150", "alike"), ("WALL-9=30/60", "no part")])
def test_a_part_that_cannot_tell_is_refused(say, season, part, word) -> None:
    said = check(say, season, "--ends-mm", part)
    assert said.status == 2
    assert word in said.err


def test_the_undo_list_goes_back_through_the_logged_changes(say, season) -> None:
    found = data(say("trim", "--boat", "11", "--back", "--json", "--season", str(season)))
    assert [t["runs"] for t in found["trims"]] == [[1, 2], [3]]
    assert found["trims"][0]["undo"] == ["blade 1 deg to port"]
    assert all(0 < t["through_gate"] < 1 for t in found["trims"])
    shown = say("trim", "--boat", "11", "--back", "--season", str(season)).out
    assert 'undo "blade 1 deg to port"' in shown
    assert "no earlier trim" in say("trim", "--boat", "12", "--back", "--season", str(season)).out


def test_a_trim_changed_but_not_logged_is_asked_about_before_anything_is_compared(say, season) -> None:
    at = ("--season", str(season))
    assert (
        say("log", "--boat", "11", "--guess", "skip", "--mass-g", "290", "--distance-m", "47", *at).status
        == 0
    )
    found = data(say("trim", "--boat", "11", "--back", "--json", *at))
    assert found["trims"] == []
    assert found["findings"][0]["code"] == "change-not-logged"
    words = ("--run", "4", "--change", "37 g at the bow", "--correct", "the coach said so")
    assert say("log", "--boat", "11", *words, *at).status == 0
    found = data(say("trim", "--boat", "11", "--back", "--json", *at))
    assert [t["change"] for t in found["trims"]] == ["", "blade 1 deg to port", "37 g at the bow"]
