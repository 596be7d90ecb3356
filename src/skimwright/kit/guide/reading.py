"""How hard a text is to read, as a school grade."""

from __future__ import annotations

import re
from collections.abc import Iterable

VOWELS = "aeiouy"
WORD = re.compile(r"[A-Za-z][A-Za-z'’]*")
# Words that the rule below gets wrong and that this kit's pages use.
KNOWN = {
    "inner": 2,
    "boat": 1,
    "people": 2,
    "being": 2,
    "area": 3,
    "idea": 3,
    "minutes": 2,
    "degrees": 2,
    "mm": 1,
}


def flesch_kincaid(*, words: int, syllables: int, sentences: int) -> float:
    """School grade (United States) of a text.

    Returns
    -------
    float
        0.39 words/sentences + 11.8 syllables/words - 15.59. [grade]

    Raises
    ------
    ZeroDivisionError
        No word or no sentence.

    Source
        Kincaid, Fishburne, Rogers and Chissom 1975, Derivation of new readability formulas, US Navy.
    Checked
        tests/unit/kit/test_guide_reading.py

    Examples
    --------
    >>> round(flesch_kincaid(words=13, syllables=24, sentences=1), 2)
    11.26
    """
    return 0.39 * words / sentences + 11.8 * syllables / words - 15.59


def reading_grade(sentences: Iterable[str]) -> float:
    """Grade of English sentences; numbers and signs are not counted as words.

    Raises
    ------
    ZeroDivisionError
        There is not one word.

    Examples
    --------
    >>> round(reading_grade(["Stand each rib on its line."]), 2)
    -1.45
    """
    text = [piece for sentence in sentences for piece in re.split(r"[.!?:]+(?:\s|$)", sentence)]
    kept = [WORD.findall(piece) for piece in text]
    kept = [words for words in kept if words]
    every = [word for words in kept for word in words]
    return flesch_kincaid(words=len(every), syllables=sum(map(syllables, every)), sentences=len(kept))


def syllables(word: str) -> int:
    """Sounds in an English word: groups of vowels, without a silent e at the end.

    Examples
    --------
    >>> [syllables(word) for word in ("deck", "sponson", "table", "glue", "measure")]
    [1, 2, 2, 1, 2]
    """
    plain = word.lower().replace("’", "'").removesuffix("'s")
    if plain in KNOWN:
        return KNOWN[plain]
    count = len(re.findall(f"[{VOWELS}]+", plain))
    if re.search(
        r"[^aeiouyl]es?$|[^aeiouydt]ed$|[aeiou]les?$|[aeiouy]+[^aeiouy]+ue$", plain
    ) and not re.search(r"([sxz]|ch|sh|[cg])es$", plain):
        count -= 1
    return max(count, 1)
