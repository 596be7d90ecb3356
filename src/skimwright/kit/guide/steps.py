"""Build steps worked out from the parts and joints of a kit: what is glued when, how much, how long.

A step is data; how it is worded and printed is the business of other files.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from skimwright.boat import Joint, Kit, Part, Place
from skimwright.kit.guide.approach import Pull, free_slides, pull_of
from skimwright.kit.guide.order import base_of, batches, is_outside, sub_assembly, word_of
from skimwright.kit.hidden_line import part_body

AgeGroup = Literal["Cress", "Rush", "Reed", "Willow"]
GRADE: dict[AgeGroup, int] = {"Cress": 3, "Rush": 5, "Reed": 7, "Willow": 9}  # reading level at most [choice]
PACE: dict[AgeGroup, float] = {"Cress": 1.5, "Rush": 1.25, "Reed": 1.1, "Willow": 1.0}  # [choice]
TRY_DRY, HOLD, CHECK, SHOW = 45.0, 30.0, 45.0, 60.0  # a part, a part, a step, a stop [s] common practice
GLUE_SPEED = 0.010  # a young hand along a line [m/s] common practice
USUAL_GLUE = 0.0026  # where the kit names no glue [kg/m] common practice

TOOLS_BY_AGE: dict[
    AgeGroup, dict[str, str]
] = {  # who handles what [choice]; the school's own rule stands above it
    "Cress": {"glue gun": "adult", "knife": "adult"},
    "Rush": {"glue gun": "near", "knife": "adult"},
    "Reed": {"glue gun": "trained", "knife": "near"},
    "Willow": {"glue gun": "trained", "knife": "trained"},
}
# After these a fault can no longer be mended: an adult looks before the crew goes on.
STOPS = {"WALL": "square", "FLOOR": "level", "PAD": "pad-angle", "FIN-1": "straight"}


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Where a part stands, as a ruler finds it."""

    part: str
    from_bow: float  # to its front face [m]


@dataclass(frozen=True, kw_only=True)
class GuideStep:
    """One picture's worth of building."""

    number: int
    group: str  # the sub-assembly: "hull", "sponson-left", "sponson-right", "fins", "cradle"
    parts: tuple[str, ...]  # placed now; each part of the kit is in one step only
    places: tuple[Place, ...]  # where each of them ends up
    joints: tuple[Joint, ...] = field(repr=False)  # glued now; each joint of the kit is in one step only
    deck_down: bool  # the boat lies upside down on its deck
    turn_over: bool  # it must be turned over first
    marks: tuple[Mark, ...]  # distances from the bow to draw or check
    check: str  # "square", "level", "pad-angle", "straight", "gap", "upright", "width"
    measure: float | None  # the number to check: a width [m] or an angle [rad]
    show_me: bool  # an adult looks before the next step
    glue_length: float  # [m]
    glue_mass: float  # [kg]
    time: float  # [s]
    pulls: tuple[Pull, ...]  # the way each part comes off again, boat axes
    slides: tuple[Pull, ...] = ()  # other ways for a part that comes alone


@dataclass(frozen=True, kw_only=True)
class Angle:
    """An angle worth a card."""

    what: str  # "pad", "floor"
    angle: float  # [rad]
    length: float  # of the surface the card stands on [m]


@dataclass(frozen=True, kw_only=True)
class Guide:
    """A kit in building order."""

    kit: Kit
    group: AgeGroup
    steps: tuple[GuideStep, ...]
    angles: tuple[Angle, ...]

    @property
    def time(self) -> float:
        """[s]"""
        return sum(step.time for step in self.steps)

    @property
    def glue_mass(self) -> float:
        """[kg]"""
        return sum(step.glue_mass for step in self.steps)

    def before(self, number: int) -> tuple[str, ...]:
        """Names of the parts that are there before a step."""
        return tuple(name for step in self.steps[: number - 1] for name in step.parts)


def build_guide(kit: Kit, *, group: AgeGroup = "Rush") -> Guide:
    """The steps that turn a kit's parts into its boat.

    A joint's first part comes to its second, so the second must be there.  Within that, sub-assemblies stay
    together and parts follow their dots.  Parts on the outer side of the base wait until the boat is turned.

    Parameters
    ----------
    kit : Kit
        Parts, places and joints as drawn.
    group : str
        Age group: sets the pace.

    Raises
    ------
    InputError
        Two parts each wait for the other.

    Examples
    --------
    ``len(build_guide(fold_62).steps)`` is 16 for 23 parts.
    """
    rate = _glue_rate(kit)
    steps: list[GuideStep] = []
    placed: set[str] = set()
    for batch in batches(kit):
        step = _step(kit, batch, placed, rate=rate, pace=PACE[group])
        turned = bool(steps) and steps[-1].deck_down != step.deck_down
        steps.append(replace(step, number=len(steps) + 1, turn_over=turned))
        placed |= set(step.parts)
    return Guide(kit=kit, group=group, steps=_with_stops(steps), angles=angles_of(kit))


def adult_glues(group: AgeGroup) -> bool:
    """Whether the glue gun stays in an adult's hand."""
    return TOOLS_BY_AGE[group]["glue gun"] == "adult"


def angles_of(kit: Kit) -> tuple[Angle, ...]:
    """Pad and floor angles, from the kit's own numbers; none for own parts."""
    d = kit.design
    if d is None:
        return ()
    floor = math.atan(d.floor_slope)
    return (
        Angle(what="pad", angle=d.pad_angle, length=d.pad_length / math.cos(d.pad_angle)),
        Angle(what="floor", angle=floor, length=(d.length - d.pod_front) / math.cos(floor)),
    )


def length_of(joint: Joint) -> float:
    """[m]"""
    return math.dist(joint.start, joint.end)


def _glue_rate(kit: Kit) -> float:
    """Glue on a metre of joint: the kit's glue shared out over all its joints. [kg/m]"""
    whole = sum(map(length_of, kit.joints))
    glue = sum(added.mass for added in kit.added if "glue" in added.what.lower())
    return glue / whole if glue and whole else USUAL_GLUE


def _step(kit: Kit, batch: Sequence[Part], placed: set[str], *, rate: float, pace: float) -> GuideStep:
    names = tuple(part.name for part in batch)
    there = placed | set(names)
    joints = tuple(
        j for j in kit.joints if {j.part_a, j.part_b} <= there and not {j.part_a, j.part_b} <= placed
    )
    length = sum(map(length_of, joints))
    base = base_of(kit)
    outer_up = base.place.w[2] < 0  # of the finished boat
    outside = any(is_outside(part, base) for part in batch)
    check, measure = _check(kit, batch, there)
    coming = [part for part in batch if part.name != base.name]
    time = pace * (len(batch) * (TRY_DRY + HOLD) + length / GLUE_SPEED + CHECK)
    return GuideStep(
        number=0,
        group=sub_assembly(coming[0] if coming else batch[0]),
        parts=names,
        places=tuple(part.place for part in batch),
        joints=joints,
        deck_down=outer_up != outside,
        turn_over=False,
        marks=tuple(_marks(batch, joints, base.name)),
        check=check,
        measure=measure,
        show_me=False,
        glue_length=length,
        glue_mass=length * rate,
        time=time,
        slides=free_slides(coming[0], kit, placed | {base.name}) if len(coming) == 1 else (),
        pulls=tuple(
            (0.0, 0.0, 0.0)
            if part.name == base.name
            else pull_of(part, kit, placed | {base.name} - {part.name})
            for part in batch
        ),
    )


def _marks(batch: Sequence[Part], joints: Iterable[Joint], base: str) -> Iterable[Mark]:
    """A part glued along a line straight across the boat stands so far from the bow."""
    for part in batch:
        for joint in joints:
            across = abs(joint.start[0] - joint.end[0]) < 1e-6 and abs(joint.start[2] - joint.end[2]) < 1e-6
            if joint.part_a == part.name and joint.part_b == base and joint.kind == "butt" and across:
                yield Mark(part=part.name, from_bow=float(part_body(part).corners()[:, 0].min()))
                break


def _check(kit: Kit, batch: Sequence[Part], there: set[str]) -> tuple[str, float | None]:
    """What to look at after a step, and the number to compare."""
    last = batch[-1]
    word = word_of(last.code)
    d = kit.design
    for key in (last.code, word):
        if key in STOPS:
            check = STOPS[key]
            break
    else:
        check = {"RIB": "upright", "FIN": "upright", "CRADLE": "width", "POD": "gap"}.get(word, "gap")
    if last.code == "POD-1":
        check = "width"
    if last.code == "FLOOR-2":
        check = "gap"
    if check == "square" and not {part.name for part in kit.parts if part.code == last.code} <= there:
        check = "upright"  # across both sides it is measured when both are there
    sides = [abs(part.place.origin[1]) for part in batch if part.side != "middle"]
    measure: float | None = None
    if check == "square" and sides:
        measure = 2 * sides[0]
    elif check == "pad-angle" and d:
        measure = d.pad_angle
    elif check == "width" and word == "CRADLE":
        measure = 2 * (sides[0] - last.thickness)  # clear between the cheeks
    elif check == "width" and d:
        measure = d.pod_width
    elif check == "straight" and d:
        measure = d.blade_depth
    elif check == "level" and d:
        measure = math.atan(d.floor_slope)
    return check, measure


def _with_stops(steps: Sequence[GuideStep]) -> tuple[GuideStep, ...]:
    """Show-me stops: the checks that cannot be made good later; else the end of each sub-assembly."""
    found = {step.number for step in steps if step.check in STOPS.values()}
    if not found:
        found = {
            step.number
            for step, after in zip(steps, [*steps[1:], None], strict=True)
            if after is None or after.group != step.group
        }
    return tuple(
        replace(step, show_me=True, time=step.time + SHOW) if step.number in found else step for step in steps
    )
