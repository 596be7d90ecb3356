"""A step in sentences, from one file of words a language."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from skimwright.base import InputError
from skimwright.boat import Kit
from skimwright.kit.guide.order import base_of, word_of
from skimwright.kit.guide.reading import reading_grade
from skimwright.kit.guide.steps import GRADE, Guide, GuideStep, adult_glues

DEGREE = math.pi / 180
HOLD_COUNT = 30


@dataclass(frozen=True, kw_only=True)
class GuideWords:
    """The words of one language; what it lacks is taken from the first language and listed."""

    table: Mapping[str, Any]
    first: Mapping[str, Any]
    gaps: list[str] = field(default_factory=list, compare=False)

    def say(self, key: str, **fields: object) -> str:
        """The sentence under "section.name", filled in."""
        text = str(self.find(key))
        try:
            return text.format(**fields)
        except (KeyError, IndexError, ValueError) as fault:
            raise InputError(
                what=f"the words of {self.find('about.language')} have a fault in {key}",
                got=text,
                allowed=", ".join(f"{{{name}}}" for name in fields) or "no braces",
                do="Copy the braces as they stand in the English file.",
            ) from fault

    def lines(self, key: str, **fields: object) -> list[str]:
        """A list of sentences, filled in."""
        return [str(line).format(**fields) for line in self.find(key)]

    def find(self, key: str) -> Any:
        """What stands under a key in this language, else in the first."""
        for table in (self.table, self.first):
            value: Any = table
            for name in _split(key):
                value = value.get(name) if isinstance(value, Mapping) else None
            if value is not None:
                return value
            if key not in self.gaps:
                self.gaps.append(key)
        raise KeyError(key)

    def has(self, key: str) -> bool:
        """Whether either language has this key."""
        try:
            self.find(key)
        except KeyError:
            self.gaps.remove(key)
            return False
        return True


def _split(key: str) -> list[str]:
    return key.split(".")


@dataclass(frozen=True, kw_only=True)
class StepWords:
    """What a step page says."""

    title: str
    lines: tuple[str, ...]
    check: str
    why: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, for the reading level."""
        return tuple(text for text in (f"{self.title}.", *self.lines, self.check, self.why) if text)


def step_words(guide: Guide, step: GuideStep, words: GuideWords) -> StepWords:
    """A step in sentences."""
    kit = guide.kit
    base = base_of(kit).name
    key = _topic(step, base, words)
    fields = {**_numbers(kit), "parts": _names(step.parts, words), "base": base}
    coming = [name for name in step.parts if name != base]
    lines = []
    if step.turn_over:
        lines.append(words.say("say.turn_down" if step.deck_down else "say.turn_up"))
    if base in step.parts:
        lines += words.lines("do.base.do", **fields)
        if any(slot.depth < kit.part(base).thickness - 1e-9 for slot in kit.part(base).slots):
            lines.append(words.say("say.groove"))
        if any(part.side != "middle" for part in kit.parts):
            lines.append(words.say("say.side_marks"))
    if coming:
        lines += _find_lines(kit, coming, words, deck_down=step.deck_down)
        if step.marks:
            listed = ", ".join(
                words.say("say.line_each", part=mark.part.split()[0], mm=_mm(mark.from_bow))
                for mark in step.marks
            )
            lines.append(words.say("say.line", list=listed))
        lines += words.lines(f"{key}.do", **fields)
        many = "_many" if len(coming) > 1 else ""
        adult = "_adult" if adult_glues(guide.group) else ""
        if step.joints:
            lines += [words.say(f"say.dry{many}"), words.say(f"say.fix{adult}{many}", count=HOLD_COUNT)]
        else:
            lines.append(words.say("say.fix_none"))
    return StepWords(
        title=words.say(f"{key}.title" if coming else "do.base.title", **fields),
        lines=tuple(lines),
        check=_check_line(step, words),
        why=_why(guide, key, words, fields),
    )


def reading_level(guide: Guide, words: GuideWords) -> float | None:
    """Grade of all step sentences together; None where the language has no formula."""
    if words.find("about.reading") != "flesch-kincaid":
        return None
    return reading_grade([line for step in guide.steps for line in step_words(guide, step, words).sentences])


def part_word(name: str) -> str:
    """The word on the template: "WALL-1" of "WALL-1 left"."""
    return name.split()[0]


def _topic(step: GuideStep, base: str, words: GuideWords) -> str:
    names = [name for name in step.parts if name != base] or list(step.parts)
    for key in (f"do.{part_word(names[0])}", f"do.{word_of(names[0])}"):
        if words.has(f"{key}.title"):
            return key
    return "do.other"


def _why(guide: Guide, key: str, words: GuideWords, fields: Mapping[str, object]) -> str:
    wanted = ["why", "more"] if GRADE[guide.group] >= 7 else ["why"]
    return " ".join(words.say(f"{key}.{name}", **fields) for name in wanted if words.has(f"{key}.{name}"))


def _find_lines(kit: Kit, names: Sequence[str], words: GuideWords, *, deck_down: bool) -> list[str]:
    codes = list(dict.fromkeys(map(part_word, names)))
    nicks = {kit.part(name).nicks for name in names}
    listed = _names(codes, words)
    sides = "say.nick_sides" if deck_down else "say.nick_sides_up"
    if nicks == {1, 2}:
        return [
            words.say("say.find_pair", parts=listed),
            words.say(sides),
        ]
    if nicks == {0}:
        return [words.say("say.find_one" if len(codes) == 1 else "say.find_many", parts=listed)]
    nick = max(nicks)
    return [
        words.say("say.find_one_nick", parts=listed, nicks=words.say(f"say.nick_{nick}")),
        words.say(f"say.nick_side_{nick}{'_many' if len(codes) > 1 else ''}"),
    ]


def _check_line(step: GuideStep, words: GuideWords) -> str:
    m = step.measure
    if step.check == "pad-angle" and m is not None:
        return words.say("check.pad-angle", deg=f"{m / DEGREE:.1f}")
    if step.check in ("square", "straight", "level", "width") and m is None:
        return words.say("check.gap" if step.check == "width" else f"check.{step.check}_plain")
    key = "width_between" if step.check == "width" and len(step.parts) > 1 else step.check
    return words.say(f"check.{key}", mm=_mm(m or 0.0))


def _numbers(kit: Kit) -> dict[str, object]:
    """Numbers that sentences may use, from the kit itself."""
    d = kit.design
    if d is None:
        return {}
    return {
        "floor_deg": f"{math.atan(d.floor_slope) / DEGREE:.1f}",
        "pad_deg": f"{d.pad_angle / DEGREE:.1f}",
        "cradle_mm": _mm(d.cradle_place - d.cradle_length / 2),
    }


def _mm(length: float) -> str:
    """To half a millimetre, as a school ruler is read."""
    return f"{round(length * 2000) / 2:g}"


def _names(names: Sequence[str], words: GuideWords) -> str:
    codes = list(dict.fromkeys(map(part_word, names)))
    if len(codes) > 2:
        same = {word_of(code) for code in codes}
        if len(same) == 1:
            return f"{codes[0]} {words.say('say.to')} {codes[-1]}"
    return (
        f" {words.say('say.and')} ".join([", ".join(codes[:-1]), codes[-1]]) if len(codes) > 1 else codes[0]
    )
