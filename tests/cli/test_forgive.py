"""`forgive` as a kit's designer meets it."""

from __future__ import annotations

import json

import pytest

from skimwright.run import forgiving


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """Few drawings and builders: what is tested is the answer, not the search."""
    for name, value in (
        ("FIRST", 4),
        ("NEAR", 2),
        ("FIRST_BUILDERS", 40),
        ("NEAR_BUILDERS", 40),
        ("NEW_BUILDERS", 60),
    ):
        monkeypatch.setattr(forgiving, name, value)


def test_it_tells_the_numbers_what_they_are_worth_and_on_whom(say, season) -> None:
    said = say("forgive", "Fold 50", "--quick", "--json", "--season", str(season))
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert set(found["numbers"]) == {"pad_angle_deg", "blade_depth_mm", "floor_front_mm", "balance_mm"}
    assert found["cards"] == 6
    low, high = found["gain_interval"]
    assert found["better"] == (low > 0)
    assert low <= high
    if not found["better"]:
        assert all(n["drawn"] == n["try"] for n in found["numbers"].values())
    again = json.loads(say("forgive", "fold 50", "--quick", "--json", "--season", str(season)).out)
    assert again == found
    shown = say("forgive", "Fold 50", "--quick", "--season", str(season)).out
    assert "no builder has built it" in shown


@pytest.mark.parametrize("words", [(), ("Fold 63",)])
def test_bad_input_gets_one_sentence(say, season, words) -> None:
    said = say("forgive", *words, "--season", str(season))
    assert said.status == 2
    assert len(said.err.strip().splitlines()) == 1
