"""The reading level against the printed example, and against dictionaries' own syllables."""

from __future__ import annotations

import pytest

from skimwright.kit.guide import flesch_kincaid, reading_grade
from skimwright.kit.guide.reading import syllables


def test_the_formula_gives_its_published_example() -> None:
    # Kincaid et al. 1975, US Navy: 13 words, 24 syllables, 1 sentence; printed 11.3.
    assert flesch_kincaid(words=13, syllables=24, sentences=1) == pytest.approx(11.26, abs=0.005)


@pytest.mark.parametrize(
    "word, count",
    [
        *(("deck", 1), ("glue", 1), ("edge", 1), ("edges", 2), ("dashed", 1), ("pointed", 2), ("table", 2)),
        *(("cradle", 2), ("picture", 2), ("measure", 2), ("sponson", 2), ("little", 2), ("whole", 1)),
        *(("degrees", 2), ("minutes", 2), ("inspection", 3), ("ruler", 2), ("tape", 1), ("boat", 1)),
    ],
)
def test_syllables_are_those_a_dictionary_divides_a_word_into(word: str, count: int) -> None:
    assert syllables(word) == count


def test_longer_sentences_and_longer_words_raise_the_grade() -> None:
    short = reading_grade(["Stand the rib up. Press it down."])
    assert reading_grade(["Stand the rib up and press it down."]) > short
    assert reading_grade(["Position the rib vertically. Apply considerable pressure."]) > short + 5


def test_numbers_are_not_words() -> None:
    assert reading_grade(["It must be 160 mm."]) == reading_grade(["It must be mm."])
