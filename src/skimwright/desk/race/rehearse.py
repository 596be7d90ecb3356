"""The regatta day rehearsed: the plan, the guesses, what costs most and who would help most."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from skimwright.base import Finding
from skimwright.base.drawing import Drawing, Mark, Words, line, shape
from skimwright.base.page import Heading, Notice, Page, Picture, Table, Text
from skimwright.desk.race.day_plan import DayLots
from skimwright.desk.seasons.fields import Fields
from skimwright.regatta import Guesses, Job, Rehearsal, Stretch, WhatIf, clock, rehearse, stretches

FILE = "rehearsal.toml"
LONG_QUEUE = 60.0  # plan and means may differ by this before it is said [s]


@dataclass(frozen=True, kw_only=True)
class RehearsedDay:
    """A day rehearsed, and what it rests on."""

    made: Rehearsal
    plan: tuple[Stretch, ...]
    guesses: Guesses
    helpers: Mapping[Job, int]
    findings: tuple[Finding, ...]


def read_guesses(table: Mapping[str, Any], *, file: str = FILE) -> tuple[Guesses, dict[Job, int]]:
    """How long things take, what goes wrong, and how many hands there are.

    Raises
    ------
    InputError
        A line is missing, unknown or out of range.
    """
    top = Fields(table, file=file)
    heat, trouble, weather = top.table("heat"), top.table("trouble"), top.table("weather")
    pauses, helpers = top.table("pauses"), top.table("helpers")

    def time(fields: Fields, key: str, unit: str = "s", most: float = 3600) -> float:
        return fields.quantity(key, "time", unit, low=0, high=most)

    guesses = Guesses(
        source=top.text("source"),
        call=time(heat, "call_s"), check=time(heat, "check_a_boat_s"), arm=time(heat, "arm_a_boat_s"),
        run=time(heat, "run_s"), fetch=time(heat, "fetch_a_boat_s"), spread=heat.number("spread", low=0, high=2),
        missing=trouble.number("crew_missing", low=0, high=0.9), missing_wait=time(trouble, "crew_missing_wait_s"),
        rerun=trouble.number("raced_again", low=0, high=0.9),
        slow=trouble.number("hard_to_fetch", low=0, high=0.9), slow_fetch=time(trouble, "hard_to_fetch_s"),
        misread=trouble.number("timer_wrong", low=0, high=0.9), marshal=time(trouble, "marshal_decides_s"),
        thunder=weather.number("thunder_a_day", low=0, high=3),
        strikes=weather.number("strikes_an_hour", low=0, high=60) / 3600.0,
        all_clear=time(weather, "all_clear_minutes", "min", 120),
        least_pause=time(pauses, "least_minutes", "min", 240),
    )  # fmt: skip
    hands: dict[Job, int] = {
        "inspector": helpers.whole("inspectors", low=1, high=20),
        "armer": helpers.whole("armers", low=1, high=20),
        "timer": helpers.whole("timers", low=1, high=9),
        "boat crew": helpers.whole("boat_crews", low=1, high=9),
    }
    for fields in (top, heat, trouble, weather, pauses, helpers):
        fields.close()
    return guesses, hands


def rehearse_day(
    lots: DayLots,
    guesses: Guesses,
    helpers: Mapping[Job, int],
    *,
    days: int,
    seed: int,
    by: float | None = None,
) -> RehearsedDay:
    """Many days of the plan.

    Parameters
    ----------
    lots : DayLots
        The plan with its heats.
    guesses, helpers
        From `read_guesses`.
    days : int
    seed : int
        Same seed, same days.
    by : float, optional
        When it should be over; clear water if None. [s]

    Raises
    ------
    InputError
        A job has nobody.
    """
    table = lots.timetable
    plan = stretches(table)
    until = table.plan.clear if by is None else by
    made = rehearse(
        plan,
        guesses,
        helpers,
        by=until,
        opens=table.plan.opens,
        planned=table.slots[-1].end,
        days=days,
        seed=seed,
    )
    return RehearsedDay(
        made=made, plan=plan, guesses=guesses, helpers=dict(helpers),
        findings=(*lots.findings, _label(guesses), *_gap(made)),
    )  # fmt: skip


NO_GUESSES = Finding(
    code="no-rehearsal-file",
    severity="note",
    what="This season has no rehearsal.toml; the demonstration's was taken.",
    do="Copy it from the demonstration season and write your own times over it.",
)


def _label(guesses: Guesses) -> Finding:
    return Finding(
        code="guessed-times",
        severity="note",
        what=f"Times and mishaps: {guesses.source}.",
        why="The answer is as good as they are.",
        do="Time a few heats at a trials day, and write your own into rehearsal.toml.",
    )


def hands_for(
    guessed: Mapping[Job, int], on_roster: Mapping[Job, int] | None
) -> tuple[dict[Job, int], tuple[Finding, ...]]:
    """How many hands the rehearsal has: those of the roster, if it has somebody for each job.

    Parameters
    ----------
    guessed : mapping
        From `read_guesses`.
    on_roster : mapping, optional
        From `hands_on_roster`; None if there is no helpers.csv.
    """
    if on_roster is None:
        return dict(guessed), ()
    empty = [job for job, number in on_roster.items() if number < 1]
    if empty:
        finding = Finding(
            code="roster-not-filled", severity="warning",
            what=f"helpers.csv has nobody for part of the day as {', '.join(empty)}.",
            why="The numbers of rehearsal.toml were taken.",
            do="Look at `skimwright crew`.",
        )  # fmt: skip
        return dict(guessed), (finding,)
    same = dict(guessed) == dict(on_roster)
    finding = Finding(
        code="hands-of-roster", severity="note",
        what="The hands are those of helpers.csv, not those of rehearsal.toml.", do="Nothing, if the roster is right.",
    )  # fmt: skip
    return dict(on_roster), () if same else (finding,)


def _gap(made: Rehearsal) -> list[Finding]:
    """The plan's pace against the sum of what a heat takes."""
    late = made.steady - made.planned
    if abs(late) < LONG_QUEUE:
        return []
    return [
        Finding(
            code="plan-and-times-differ",
            severity="warning",
            what=f"If every time is its mean and nothing goes wrong, the day ends at {clock(made.steady)}; "
            f"the plan says {clock(made.planned)}.",
            do="Give the heats in day.toml the time they take, or check the times in rehearsal.toml.",
        )
    ]


# in words, and as a page


def says(day: RehearsedDay) -> str:
    """The answer in one sentence."""
    days = day.made.days
    low, high = days.on_time_range
    soon, late = days.usual
    return (
        f"Done by {clock(days.by)} on {100 * days.on_time:.0f} days of 100 ({100 * low:.0f} to {100 * high:.0f}); "
        f"on average at {clock(days.mean)}, nine days of ten between {clock(soon)} and {clock(late)}."
    )


def racing_says(day: RehearsedDay) -> str:
    """When the last heat is off the water."""
    soon, middle, late = (clock(float(v)) for v in np.quantile(day.made.racing, (0.05, 0.5, 0.95)))
    return f"Last heat off the water: usually by {middle}, nine days of ten between {soon} and {late}."


def best_helper(day: RehearsedDay) -> str:
    """Whom to ask for, or that nobody would make a difference."""
    if not day.made.helpers:
        return "There is nothing to help with."
    best = day.made.helpers[0]
    if best.gains <= best.gains_error or best.gains < 30.0:
        return "No single helper more would end the day sooner."
    people = " (two adults)" if best.what.endswith("boat crew") else ""
    return (
        f"Most valuable: {best.what}{people}, {best.gains / 60:.0f} min sooner on average, done in time on "
        f"{100 * best.on_time:.0f} days of 100."
    )


def rehearsal_page(day: RehearsedDay, *, title: str, foot: str) -> Page:
    """One page for the director."""
    state = "ok" if day.made.days.on_time >= 0.9 else "care" if day.made.days.on_time >= 0.7 else "stop"
    return Page(
        title=title,
        over="The day rehearsed",
        blocks=(
            Notice(state=state, text=says(day)),  # type: ignore[arg-type]
            Text(text=best_helper(day)),
            Picture(
                drawing=_picture(day.made),
                caption=f"{racing_says(day)} Each bar: days of a hundred on which it is in those ten minutes.",
            ),
            Heading(text="What costs most"),
            _table(day.made.costs, "without"),
            Heading(text="One more helper"),
            _table(day.made.helpers, "with"),
            Text(text=f"{len(day.made.days.finish)} days, the same luck for each line. Times and mishaps: "
                 f"{day.guesses.source}. Rows do not add up: two mishaps often share a wait.", small=True),
        ),
        foot=foot,
    )  # fmt: skip


def _table(lines: tuple[WhatIf, ...], word: str) -> Table:
    return Table(
        head=(word, "sooner, min", "done in time, of 100"),
        rows=tuple((w.what, minutes(w), f"{100 * w.on_time:.0f}") for w in lines),
        numbers=(1, 2),
    )


def minutes(what: WhatIf) -> str:
    """``8.5 ± 1.4``."""
    return f"{what.gains / 60:.1f} ± {what.gains_error / 60:.1f}"


WIDE, HIGH, FOOT, EDGE = 172.0, 46.0, 9.0, 8.0  # of the picture [mm]
BIN = 600.0  # [s]


def _picture(made: Rehearsal) -> Drawing:
    """How many days have their last heat off the water when; the last bar holds all that is later."""
    over = made.racing
    low = float(np.floor(over.min() / BIN) * BIN)
    high = float(np.ceil(np.quantile(over, 0.97) / BIN) * BIN)
    edges = np.arange(low, high + BIN + 1, BIN)
    share = np.histogram(np.minimum(over, high + BIN / 2), edges)[0] / len(over)
    across, up = (WIDE - EDGE) / (edges[-1] - low), (HIGH - 6) / float(share.max())
    marks: list[Mark] = []
    for left, part in zip(edges, share, strict=False):
        x, w, h = EDGE + (left - low) * across, BIN * across, part * up
        if part > 0:
            corners = ((x, HIGH), (x, HIGH - h), (x + w, HIGH - h), (x + w, HIGH))
            marks.append(shape(*corners, fill="orange" if left >= high else "pale"))
        if part >= 0.005:
            told = f"{100 * part:.0f}{' later' if left >= high else ''}"
            marks.append(Words(at=(x + w / 2, HIGH - h - 1), text=told, size=2.8, anchor="middle"))
    marks.append(line((EDGE, HIGH), (WIDE, HIGH)))
    for at in np.arange(math.ceil(low / 1800) * 1800, high + 1, 1800):
        x = EDGE + (at - low) * across
        marks += [
            line((x, HIGH), (x, HIGH + 1.2)),
            Words(at=(x, HIGH + 5), text=clock(at), size=3.0, anchor="middle"),
        ]
    soon, late = np.quantile(over, (0.05, 0.95))
    return Drawing(
        width=WIDE, height=HIGH + FOOT, marks=tuple(marks), title="When the last heat is off the water",
        described=f"Nine days of ten between {clock(soon)} and {clock(late)}.",
    )  # fmt: skip
