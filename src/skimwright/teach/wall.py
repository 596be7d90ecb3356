"""The wall of a building lesson: which crew is at which step, and who needs an adult next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from skimwright.base import Finding
from skimwright.base.drawing import Dot, Drawing, Mark, Words, line, shape
from skimwright.base.lettering import text_width
from skimwright.kit import guide
from skimwright.teach.worksheet import Words as Catalogue

Said = Literal["done", "ticked", "help"]  # by the crew, by an adult, by the crew
State = Literal["done", "waits", "help", "now", "to come"]
SAID: tuple[Said, ...] = ("done", "ticked", "help")
WIDE, HIGH = 420.0, 297.0  # A3, read from 5 m [mm]


@dataclass(frozen=True, kw_only=True)
class WallStep:
    """A column."""

    number: int
    show_me: bool  # an adult looks before the next step
    adult: bool = False  # an adult does part of it


@dataclass(frozen=True, kw_only=True)
class StepMark:
    """What was said of a crew's step, and when."""

    crew: str  # as on the wall
    step: int
    said: Said
    minute: float  # of the lesson


@dataclass(frozen=True, kw_only=True)
class WallRow:
    """One crew."""

    crew: str
    cells: tuple[State, ...]
    at: int | None  # number of the step it is at; None: all done
    waits_since: float | None  # minute; None: it does not wait for an adult

    @property
    def done(self) -> int:
        """Steps done."""
        return self.cells.count("done")


@dataclass(frozen=True, kw_only=True)
class Turn:
    """A crew that needs an adult."""

    crew: str
    step: int
    why: Literal["help", "show", "adult step"]
    waits: float | None  # minutes so far; None: it does not wait yet


@dataclass(frozen=True, kw_only=True)
class Wall:
    """The whole of it."""

    steps: tuple[WallStep, ...]
    rows: tuple[WallRow, ...]
    turns: tuple[Turn, ...]  # who needs an adult, the next one first
    findings: tuple[Finding, ...] = ()


def wall_steps(build: guide.Guide) -> tuple[WallStep, ...]:
    """The columns of a kit's wall, from its build guide."""
    by_adult = guide.adult_glues(build.group)
    return tuple(
        WallStep(number=s.number, show_me=s.show_me, adult=by_adult and bool(s.joints)) for s in build.steps
    )


def lesson_wall(
    crews: Sequence[str], steps: Sequence[WallStep], marks: Iterable[StepMark] = (), *, minute: float = 0.0
) -> Wall:
    """Where every crew stands.

    A step that an adult must look at is done when it is ticked, not when the crew says so.  First come those who
    asked for help, then those who wait for a tick, each in the order they began to wait; then those whose step an
    adult does, the crew furthest behind first.

    Parameters
    ----------
    crews : sequence of str
        As they stand on the wall.
    steps : sequence of WallStep
    marks : iterable of StepMark
        In any order.
    minute : float
        Of the lesson, now. [min]

    Examples
    --------
    >>> steps = [WallStep(number=1, show_me=True), WallStep(number=2, show_me=False)]
    >>> wall = lesson_wall(["07"], steps, [StepMark(crew="07", step=1, said="done", minute=4)], minute=9)
    >>> wall.rows[0].cells, wall.turns[0].waits
    (('waits', 'to come'), 5)
    """
    said: dict[tuple[str, int], dict[Said, float]] = {}
    findings: list[Finding] = []
    numbers = {step.number for step in steps}
    for mark in sorted(marks, key=lambda m: m.minute):
        if mark.crew not in crews or mark.step not in numbers:
            findings.append(_stray(mark))
            continue
        each = said.setdefault((mark.crew, mark.step), {})
        each.setdefault(mark.said, mark.minute)
        if mark.said in ("done", "ticked"):
            each.pop("help", None)
    rows = tuple(_row(crew, steps, said, findings) for crew in crews)
    return Wall(
        steps=tuple(steps), rows=rows, turns=_turns(rows, steps, minute=minute), findings=tuple(findings)
    )


def _row(
    crew: str, steps: Sequence[WallStep], said: Mapping[tuple[str, int], Mapping[Said, float]],
    findings: list[Finding],
) -> WallRow:  # fmt: skip
    cells: list[State] = []
    at: int | None = None
    since: float | None = None
    for step in steps:
        each = said.get((crew, step.number), {})
        is_done = "ticked" in each or ("done" in each and not step.show_me)
        if at is not None:
            if each:
                findings.append(_out_of_order(crew, step.number, at))
            cells.append("done" if is_done else "to come")
        elif is_done:
            cells.append("done")
        else:
            at = step.number
            state: State = "help" if "help" in each else "waits" if "done" in each else "now"
            since = each.get("help", each.get("done")) if state != "now" else None
            cells.append(state)
    return WallRow(crew=crew, cells=tuple(cells), at=at, waits_since=since)


def _turns(rows: Sequence[WallRow], steps: Sequence[WallStep], *, minute: float) -> tuple[Turn, ...]:
    by_number = {step.number: step for step in steps}
    found: list[tuple[tuple[int, float], Turn]] = []
    for row in rows:
        if row.at is None:
            continue
        state = row.cells[[step.number for step in steps].index(row.at)]
        if row.waits_since is not None:
            waits = minute - row.waits_since
            first, why = (0, "help") if state == "help" else (1, "show")
            turn = Turn(crew=row.crew, step=row.at, why=why, waits=waits)  # type: ignore[arg-type]
            found.append(((first, row.waits_since), turn))
        elif by_number[row.at].adult:
            found.append(
                ((2, float(row.done)), Turn(crew=row.crew, step=row.at, why="adult step", waits=None))
            )
    return tuple(turn for _, turn in sorted(found, key=lambda pair: pair[0]))


def _stray(mark: StepMark) -> Finding:
    return Finding(
        code="wall-stray", severity="warning", where=f"{mark.crew}, step {mark.step}",
        what=f"No crew {mark.crew} or no step {mark.step} stands on this wall.", do="Correct the mark.",
    )  # fmt: skip


def _out_of_order(crew: str, step: int, at: int) -> Finding:
    return Finding(
        code="wall-order", severity="warning", where=crew,
        what=f"Step {step} is marked before step {at} is done.", why="Was it dry and squared?",
        do=f"Look at step {at} first.",
    )  # fmt: skip


def wall_page(wall: Wall, words: Catalogue, *, title: str, foot: str = "") -> Drawing:
    """The wall on A3, to be read from 5 m: blank boxes to mark, those known filled in; a ring means SHOW ME.

    Parameters
    ----------
    wall : Wall
    words : Words
    title : str
        Of the chart.
    foot : str
        What stands below.
    """
    left, top = 12.0, 38.0
    names = 92.0
    wide = (WIDE - 2 * left - names) / max(1, len(wall.steps))
    tall = min(26.0, (HIGH - top - 34.0) / max(1, len(wall.rows)))
    marks: list[Mark] = [Words(at=(left, 20.0), text=title, size=13.0, bold=True)]
    for place, step in enumerate(wall.steps):
        x = left + names + (place + 0.5) * wide
        marks.append(
            Words(
                at=(x, top - 4.0),
                text=str(step.number),
                size=min(12.0, wide * 0.6),
                anchor="middle",
                bold=True,
            )
        )
    for number, row in enumerate(wall.rows):
        y = top + number * tall
        size = min(12.0, tall * 0.55)
        size *= min(1.0, (names - 4.0) / text_width(row.crew, size=size, bold=True))
        marks.append(Words(at=(left, y + 0.66 * tall), text=row.crew, size=size, bold=True))
        for place, (step, state) in enumerate(zip(wall.steps, row.cells, strict=True)):
            marks += _cell(left + names + place * wide, y, wide, tall, step, state)
    base = top + len(wall.rows) * tall + 9.0
    marks.append(Words(at=(left, base), text=words.say("wall.legend"), size=6.0))
    if wall.turns:
        turns = ", ".join(f"{turn.crew.split()[0]} ({turn.step})" for turn in wall.turns[:6])
        marks.append(
            Words(at=(left, base + 9.0), text=words.say("wall.next", list=turns), size=7.0, bold=True)
        )
    if foot:
        marks.append(Words(at=(left, HIGH - 6.0), text=foot, size=3.2))
    return Drawing(width=WIDE, height=HIGH, marks=tuple(marks), title=title)


def _cell(x: float, y: float, wide: float, tall: float, step: WallStep, state: State) -> list[Mark]:
    inset = 1.2
    corners = ((x + inset, y + inset), (x + wide - inset, y + inset), (x + wide - inset, y + tall - inset),
               (x + inset, y + tall - inset))  # fmt: skip
    middle = (x + wide / 2, y + tall / 2)
    ring = 0.32 * min(wide, tall)
    marks: list[Mark] = [shape(*corners, fill="grey" if state == "done" else "white", width=0.5)]
    if step.show_me:
        marks.append(
            Dot(at=middle, radius=ring, line="black", fill=None if state != "done" else "white", width=1.0)
        )
    if state in ("waits", "help"):
        sign = "!" if state == "waits" else "?"
        marks.append(
            Words(at=(middle[0], middle[1] + 0.35 * 12), text=sign, size=12.0, anchor="middle", bold=True)
        )
    if state == "now":
        reach, (mx, my) = 0.16 * min(wide, tall), middle
        marks.append(line((mx - reach, my - reach), (mx + reach, my), (mx - reach, my + reach), width=1.2))
    return marks


def rota_page(
    rota: Sequence[Sequence[str]], jobs: Sequence[str], words: Catalogue, *, crew: str, foot: str = ""
) -> Drawing:
    """Who does which job in which lesson, on A5 for the crew's bag; a crew of one is told that it needs none.

    Parameters
    ----------
    rota : rows of names
        A row a lesson, its names in the order of the jobs; empty for a crew of one.
    jobs : keys of jobs
        "glues", "holds", "checks", "writes".
    words : Words
    crew : str
        How the crew is called.
    foot : str
        What stands below.
    """
    width, height, left = 210.0, 148.0, 12.0
    marks: list[Mark] = [Words(at=(left, 18.0), text=words.say("wall.rota", crew=crew), size=7.0, bold=True)]
    if not rota:
        marks.append(Words(at=(left, 32.0), text=words.say("wall.rota_none"), size=5.0))
    wide = (width - 2 * left - 22.0) / max(1, len(jobs))
    rows = [[words.say("wall.lesson"), *(words.say(f"wall.job.{job}") for job in jobs)]] if rota else []
    rows += [[str(number), *names] for number, names in enumerate(rota, start=1)]
    for place, cells in enumerate(rows):
        y = 32.0 + place * 13.0
        for column, cell in enumerate(cells):
            x = left if not column else left + 22.0 + (column - 1) * wide
            size = min(5.0, 5.0 * (wide - 2.0) / max(1.0, text_width(cell, size=5.0, bold=True)))
            marks.append(Words(at=(x, y), text=cell, size=size, bold=not place))
        marks.append(line((left, y + 3.5), (width - left, y + 3.5), width=0.4 if not place else 0.2))
    if foot:
        marks.append(Words(at=(left, height - 7.0), text=foot, size=3.0))
    return Drawing(width=width, height=height, marks=tuple(marks), title=words.say("wall.rota", crew=crew))
