"""Asking for a guide: what is refused, what is only said."""

from __future__ import annotations

import copy
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from skimwright import desk
from skimwright.base import InputError

WORDS = Path(desk.__file__).parents[1] / "kit" / "words" / "en.toml"


@pytest.fixture(scope="module")
def english() -> dict:
    return tomllib.loads(WORDS.read_text("utf8"))


def test_a_guide_that_reads_too_hard_is_said_not_hidden(kits, english) -> None:
    hard = copy.deepcopy(english)
    hard["say"]["dry"] = (
        "Investigate preliminary dimensional compatibility, establishing satisfactory correspondence."
    )
    hard["say"]["fix_adult"] = hard["say"]["dry"]
    made = desk.make_guide(kits["fold-62"], desk.GuideAsk(group="Cress"), languages={"en": hard})
    assert made.reading_grade > 3
    (finding,) = made.findings
    assert finding.code == "reading-level"
    assert f"grade {made.reading_grade:.1f}; the setting for Cress is 3" in finding.what


def test_a_half_translated_guide_is_printed_and_its_gaps_are_listed(kits, english) -> None:
    half = copy.deepcopy(english)
    del half["check"]["gap"], half["cover"]["tools"]
    made = desk.make_guide(
        kits["fold-62"], desk.GuideAsk(language="nl"), languages={"en": english, "nl": half}
    )
    (finding,) = made.findings
    assert finding.code == "words-missing"
    assert "check.gap" in finding.what
    assert "cover.tools" in finding.what


def test_parts_without_a_joint_are_named(kits, english) -> None:
    kit = kits["fold-62"]
    loose = replace(kit, joints=tuple(joint for joint in kit.joints if joint.part_a != "FIN-2"))
    made = desk.make_guide(loose, desk.GuideAsk(), languages={"en": english})
    assert [finding.code for finding in made.findings] == ["no-joint"]
    assert "FIN-2" in made.findings[0].what


def test_the_steps_as_data_hold_every_part_in_outside_units(kits, english) -> None:
    made = desk.make_guide(kits["fold-62"], desk.GuideAsk(), languages={"en": english})
    steps = desk.step_data(made)
    assert sum(len(step["parts"]) for step in steps) == 23
    assert sum(len(step["joints"]) for step in steps) == 56
    assert sum(step["glue_g"] for step in steps) == pytest.approx(18, abs=0.05)
    assert steps[0]["marks"][1] == {
        "part": "RIB-2",
        "from_bow_mm": 277.5,
    }  # its middle is at 280, the board 5 mm
    assert made.findings == ()


@pytest.mark.parametrize("field, word", [("group", "Oak"), ("paper", "a3"), ("language", "xx")])
def test_a_word_we_do_not_have_is_refused_with_those_we_have(kits, english, field: str, word: str) -> None:
    with pytest.raises(InputError, match=f'got "{word}"; allowed: '):
        desk.make_guide(kits["fold-62"], replace(desk.GuideAsk(), **{field: word}), languages={"en": english})
