"""The picture of one step: what is there thin, what comes heavy and lifted off, glue lines dashed.

The eye walks round the table until the glue lines and the new part can be seen.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Drawing, Mark, Path
from skimwright.boat import Kit
from skimwright.kit.guide.approach import Pull
from skimwright.kit.guide.frame import EACH_JOINT, Frame, Look, lift_of
from skimwright.kit.guide.order import base_of
from skimwright.kit.guide.steps import Guide, GuideStep
from skimwright.kit.hidden_line import Body, Scene, SeenLine, View, part_body

Array = NDArray[np.float64]
THIN, HEAVY, GLUE = 0.22, 0.8, 0.7  # [mm]
DASHES = (2.6, 1.5)
VIEWS = tuple(
    (math.radians(round_about), math.radians(above))
    for above in (35, 52)
    for round_about in (55, -55, 125, -125)
)


@dataclass(frozen=True, kw_only=True, eq=False)
class StepPicture:
    """A step's drawing, with what was measured of it."""

    drawing: Drawing
    view: View
    glue_seen: float  # share of the glue lines' length that is visible, 0 to 1
    part_seen: float  # of the least visible new part's picture, 0 to 1
    joint_seen: tuple[float, ...]  # of each joint of the step, in its order
    looks: tuple[Look, ...] = ()  # every view that was tried


def step_picture(
    guide: Guide, step: GuideStep, *, width: float, height: float, said: Mapping[str, str], size: float = 4.2
) -> StepPicture:
    """A step as a drawing of a given size.

    Parameters
    ----------
    width, height : float
        Of the drawing. [mm]
    said : mapping
        Words on the picture: "bow", "title".
    size : float
        Of the letters. [mm]

    Raises
    ------
    KeyError
        A word is missing.
    """
    kit = guide.kit
    looks = _looks(guide, step)
    look = max(looks, key=lambda one: round(one.score, 9))  # the first of equals
    fixed, coming = _bodies(guide, step, look.pulls)
    frame = Frame(look, coming, width=width, height=height, letter=size)
    marks: list[Mark] = []
    for body in coming:
        marks += [
            Path(points=frame.points(ring), closed=True, line=None, fill="pale", opacity=0.55)
            for ring in look.scene.tone(body.name)
        ]
    marks += frame.lines(look.scene.seen([body.name for body in fixed]), line_width=THIN)
    marks += frame.lines(_side_marks(look, kit, step), line_width=0.6)
    marks += frame.lines(_ways(look, step, kit), line_width=0.2, dashes=(0.3, 1.3))
    marks += frame.lines(
        look.scene.seen_lines(look.glue, ["glue"] * len(look.glue)), line_width=GLUE, dashes=DASHES
    )
    marks += frame.lines(look.scene.seen([body.name for body in coming]), line_width=HEAVY)
    marks += frame.arrows(kit, step, coming)
    named = [body.name for body in coming] + [name for name in step.parts if name == base_of(kit).name]
    marks += frame.labels(kit, dict.fromkeys(named), bow=said["bow"])
    drawing = Drawing(width=width, height=height, marks=tuple(marks), title=said["title"])
    return StepPicture(
        drawing=drawing,
        view=look.view,
        glue_seen=look.glue_seen,
        part_seen=look.part_seen,
        joint_seen=look.joint_seen,
        looks=tuple(looks),
    )


def other_side(
    guide: Guide, step: GuideStep, first: StepPicture, *, width: float, height: float, title: str
) -> Drawing | None:
    """The joints that the first view hides, seen from elsewhere; None if it hides none."""
    hidden = [number for number, share in enumerate(first.joint_seen) if share < EACH_JOINT]
    if not hidden:
        return None
    look = max(first.looks, key=lambda one: min(one.joint_seen[number] for number in hidden))
    coming = _bodies(guide, step, look.pulls)[1]
    frame = Frame(look, coming, width=width, height=height, letter=0.0)
    marks: list[Mark] = []
    for body in coming:
        marks += [
            Path(points=frame.points(ring), closed=True, line=None, fill="pale", opacity=0.55)
            for ring in look.scene.tone(body.name)
        ]
    names = {body.name for body in coming}
    marks += frame.lines(
        look.scene.seen([name for name in look.scene.edges if name not in names]), line_width=0.15
    )
    marks += frame.lines(
        look.scene.seen_lines(look.glue, ["glue"] * len(look.glue)), line_width=0.5, dashes=(1.6, 1.0)
    )
    marks += frame.lines(look.scene.seen(sorted(names)), line_width=0.5)
    return Drawing(width=width, height=height, marks=tuple(marks), title=title)


def joints_shown(guide: Guide, step: GuideStep, picture: StepPicture) -> tuple[float, ...]:
    """How much of each joint is visible in the better of the step's one or two views, 0 to 1."""
    hidden = [number for number, share in enumerate(picture.joint_seen) if share < EACH_JOINT]
    if not hidden:
        return picture.joint_seen
    look = max(picture.looks, key=lambda one: min(one.joint_seen[number] for number in hidden))
    return tuple(map(max, zip(picture.joint_seen, look.joint_seen, strict=True)))


def _bodies(guide: Guide, step: GuideStep, pulls: Sequence[Pull]) -> tuple[list[Body], list[Body]]:
    kit = guide.kit
    base = base_of(kit).name
    there = [*guide.before(step.number), *(name for name in step.parts if name == base)]
    fixed = [part_body(kit.part(name)) for name in there]
    coming = [
        part_body(kit.part(name)).moved(np.array(pull) * lift_of(kit, name))
        for name, pull in zip(step.parts, pulls, strict=True)
        if name != base
    ]
    return (fixed, coming) if coming else ([], fixed)


def _looks(guide: Guide, step: GuideStep) -> list[Look]:
    """Views in their order, up to the first from which enough is seen; then with the part slid off otherwise."""
    looks: list[Look] = []
    base = base_of(guide.kit).name
    for slide in (None, *step.slides):
        pulls = tuple(
            pull if slide is None or name == base else slide
            for name, pull in zip(step.parts, step.pulls, strict=True)
        )
        fixed, coming = _bodies(guide, step, pulls)
        for round_about, above in VIEWS:
            view = View(round_about=round_about, above=above, deck_down=step.deck_down)
            looks.append(_look(step, fixed, coming, view, pulls))
            if looks[-1].score >= 3 - 1e-9:
                return looks
    return looks


def _look(
    step: GuideStep, fixed: list[Body], coming: list[Body], view: View, pulls: tuple[Pull, ...]
) -> Look:
    scene = Scene([*fixed, *coming], view)
    ends = np.array([(joint.start, joint.end) for joint in step.joints]).reshape(-1, 2, 3)
    glue = scene.on_paper(ends) + np.array([0.0, 0.0, 1e-3])  # drawn on the face, not in it
    shares = scene.seen_shares(glue)
    lengths = np.linalg.norm(glue[:, 1, :2] - glue[:, 0, :2], axis=1)
    whole = float(lengths @ shares / lengths.sum()) if len(glue) else 1.0
    parts = [scene.body_share(body.name) for body in coming] or [1.0]
    return Look(scene, view, glue, whole, min(parts), tuple(map(float, shares)), pulls)


def _side_marks(look: Look, kit: Kit, step: GuideStep) -> list[SeenLine]:
    """One line on the base's inner face at the side of the left parts, two at that of the right ones."""
    base = base_of(kit)
    if not step.deck_down or not any(part.side != "middle" for part in kit.parts):
        return []
    flat = np.array(base.outline)
    low, size = flat.min(axis=0), np.ptp(flat, axis=0)
    along, across = (0, 1) if size[0] >= size[1] else (1, 0)
    rim = flat[np.abs(flat[:, across] - low[across] - size[across] / 2) > 0.49 * size[across]]
    middle, half = rim[:, along].mean(), 0.035 * size[along]
    strokes = []
    for edge in (low[across], low[across] + size[across]):
        inward = 1.0 if edge == low[across] else -1.0
        spot = np.zeros(2)
        spot[along], spot[across] = middle, edge
        count = 1 if base.place.to_boat(np.array([[*spot, 0.0]]))[0, 1] < 0 else 2
        for number in range(count):
            depth = edge + inward * size[across] * (0.05 + 0.04 * number)
            ends = np.zeros((2, 3))
            ends[:, along], ends[:, across], ends[:, 2] = (
                [middle - half, middle + half],
                depth,
                base.thickness,
            )
            strokes.append(base.place.to_boat(ends))
    on_paper = look.scene.on_paper(np.array(strokes)) + np.array([0.0, 0.0, 1e-3])
    return look.scene.seen_lines(on_paper, ["mark"] * len(strokes))


def _ways(look: Look, step: GuideStep, kit: Kit) -> list[SeenLine]:
    """Dotted lines from the ends of the joints to where the new part hovers."""
    pulls = dict(zip(step.parts, look.pulls, strict=True))
    lines = []
    for joint in step.joints:
        mover = joint.part_a if joint.part_a in pulls and any(pulls[joint.part_a]) else joint.part_b
        if mover not in pulls:
            continue
        for end in (joint.start, joint.end):
            lines.append((end, np.array(end) + np.array(pulls[mover]) * lift_of(kit, mover)))
    if not lines:
        return []
    on_paper = look.scene.on_paper(np.array(lines)) + np.array([0.0, 0.0, 1e-3])
    return look.scene.seen_lines(on_paper, ["way"] * len(lines))
