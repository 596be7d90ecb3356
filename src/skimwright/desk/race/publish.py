"""Results for everybody: boat numbers and boat names, nothing else; what was corrected is said."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright.base import Finding
from skimwright.base.page import Block, Heading, Notice, Page, Table, Text
from skimwright.desk.boats.boat_list import surname_in
from skimwright.desk.people.crews import Crews
from skimwright.desk.race.points import DayPoints
from skimwright.regatta import Event, Outcome, clock, replay

CORRECTED = "corrected"
FORMULA = ("=", "+", "-", "@")  # how a spreadsheet's formula may begin


@dataclass(frozen=True, kw_only=True)
class Correction:
    """One boat's result that was changed after it counted."""

    heat: int
    group: str
    boat: int
    was: Outcome | None
    now: Outcome | None  # None: not in the heat any more
    who: str
    when: float | None  # [s]
    reason: str


@dataclass(frozen=True, kw_only=True)
class Published:
    """What may be shown to anybody, and what only organisers see."""

    season: str
    points: DayPoints
    names: Mapping[int, str]  # blank while a name is asked about
    corrections: tuple[Correction, ...]
    findings: tuple[Finding, ...]

    def corrected_in(self, group: str, boat: int) -> bool:
        """Whether a result of this boat in this group was corrected."""
        return any((c.group, c.boat) == (group, boat) for c in self.corrections)


def public_names(
    names: Mapping[int, str], crews: Crews, *, fine: Sequence[int] = ()
) -> tuple[dict[int, str], tuple[Finding, ...]]:
    """Boat names that may be shown; one that may hold a surname is left blank and asked about.

    Parameters
    ----------
    names : mapping
        By boat number.
    crews : Crews
        Their first names are known ones.
    fine : sequence of int
        Boats whose names a person has looked at.
    """
    known = {child.first_name for child in crews.children}
    shown, asks = {}, []
    for boat, name in names.items():
        word = None if boat in fine else surname_in(name, known=known)
        shown[boat] = "" if word else name
        if word:
            asks.append(
                Finding(
                    code="surname-in-name", severity="warning",
                    what=f"The name of boat {boat:02d} may hold a surname, so only its number is shown.",
                    why="Everybody can read this; a child's surname must not be there.",
                    do=f"Give the boat another name, or say --fine {boat} if it is none.",
                )
            )  # fmt: skip
    return shown, tuple(asks)


def publish(
    points: DayPoints, events: Sequence[Event], names: Mapping[int, str], crews: Crews, *, season: str,
    fine: Sequence[int] = (),
) -> Published:  # fmt: skip
    """Everything that may be shown of a day.

    Parameters
    ----------
    points : DayPoints
    events : sequence of Event
        The log, in its order.
    names : mapping
        Boat names by number.
    crews : Crews
    season : str
        Its name.
    fine : sequence of int
        Boats whose names a person has looked at.
    """
    shown, asks = public_names(names, crews, fine=fine)
    return Published(
        season=season, points=points, names=shown, corrections=corrections(events),
        findings=(*asks, *points.findings),
    )  # fmt: skip


def corrections(events: Sequence[Event]) -> tuple[Correction, ...]:
    """Every result that was changed after it had counted, in the order in which it was; none is left out."""
    found: list[Correction] = []
    for n, event in enumerate(events):
        if event.kind not in ("correction", "decision") or event.heat is None:
            continue
        before = replay(events[:n]).heats.get(event.heat)
        if before is None or not before.counts:
            continue  # nothing stood yet: a decision between two reports corrects nothing
        after = replay(events[: n + 1]).heats[event.heat]
        for boat in sorted({*before.outcomes, *after.outcomes}):
            was, now = before.outcomes.get(boat), after.outcomes.get(boat)
            if was is None or now is None or not was.same_as(now):
                found.append(
                    Correction(
                        heat=event.heat, group=after.group, boat=boat, was=was, now=now, who=event.who,
                        when=event.when, reason=event.reason,
                    )
                )  # fmt: skip
    return tuple(found)


# as lists


def points_rows(made: Published) -> list[dict[str, str]]:
    """A row for each boat of each group."""
    return [
        {
            "group": one.group, "place": f"{row.place}{'=' * row.is_shared}", "boat": f"{row.boat:02d}",
            "name": made.names.get(row.boat, ""), "points": f"{row.points:g}", "races": str(one.standings.rounds),
            "tie_broken_by": row.tie_broken_by,
            "corrected": CORRECTED if made.corrected_in(one.group, row.boat) else "",
        }
        for one in made.points.groups
        for row in one.standings.rows
    ]  # fmt: skip


def heat_rows(made: Published) -> list[dict[str, str]]:
    """A row for each boat of each heat that counts."""
    last = {(c.heat, c.boat): c for c in made.corrections}
    rows = []
    for heat in made.points.day.heats.values():
        if not heat.counts or all(one.group != heat.group for one in made.points.groups):
            continue
        for boat, outcome in sorted(heat.outcomes.items(), key=lambda item: (item[1].place or 999, item[0])):
            correction = last.get((heat.number, boat))
            was = correction.was if correction else None
            rows.append(
                {
                    "heat": str(heat.number), "group": heat.group, "boat": f"{boat:02d}",
                    "name": made.names.get(boat, ""), "result": outcome.words(),
                    "corrected": CORRECTED if correction else "", "was": was.words() if was else "",
                    "corrected_at": "" if correction is None or correction.when is None else clock(correction.when),
                }
            )  # fmt: skip
    return rows


def correction_rows(made: Published) -> list[dict[str, str]]:
    """For organisers: who changed what, when and why."""
    return [
        {
            "heat": str(c.heat), "group": c.group, "boat": f"{c.boat:02d}",
            "was": c.was.words() if c.was else "not in this heat", "now": c.now.words() if c.now else "taken out",
            "at": "" if c.when is None else clock(c.when), "who": c.who, "reason": c.reason,
        }
        for c in made.corrections
    ]  # fmt: skip


def csv_text(rows: Sequence[Mapping[str, str]], columns: Sequence[str]) -> str:
    """A list any spreadsheet opens; a cell that would be taken for a formula gets a blank before it."""
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\n")
    writer.writeheader()
    for row in rows:
        writer.writerow(
            {
                name: f" {text}" if text.startswith(("=", "+", "-", "@")) else text
                for name, text in row.items()
            }
        )
    return out.getvalue()


POINT_COLUMNS = ("group", "place", "boat", "name", "points", "races", "tie_broken_by", "corrected")
HEAT_COLUMNS = ("heat", "group", "boat", "name", "result", "corrected", "was", "corrected_at")
CORRECTION_COLUMNS = ("heat", "group", "boat", "was", "now", "at", "who", "reason")


def published_data(made: Published) -> dict[str, Any]:
    """The same as plain data: public, without reasons and without people."""
    return {
        "season": made.season,
        "points_table": made.points.table.name,
        "table": points_rows(made),
        "heats": heat_rows(made),
        "corrected": len({(c.heat, c.boat) for c in made.corrections}),
    }


def results_page(made: Published, *, made_at: str) -> Page:
    """One page for everybody."""
    waiting = [number for number, heat in made.points.day.heats.items() if heat.waits_for]
    blocks: list[Block] = []
    if waiting:
        numbers = ", ".join(map(str, waiting))
        blocks.append(Notice(state="care", text=f"Not counted yet: heat {numbers}."))
    for one in made.points.groups:
        rows = one.standings.rows
        races = one.standings.rounds
        blocks.append(Heading(text=one.group or "Points"))
        blocks.append(
            Table(
                head=("place", "boat", "name", "points", "remarks"),
                rows=tuple(
                    (
                        f"{row.place}{'=' * row.is_shared}", f"{row.boat:02d}", made.names.get(row.boat, ""),
                        f"{row.points:g}",
                        "; ".join(
                            part
                            for part in (
                                row.tie_broken_by, CORRECTED if made.corrected_in(one.group, row.boat) else "",
                            )
                            if part
                        ),
                    )
                    for row in rows
                ),
                caption=f"{made.points.table.name} points after {races} {'race' if races == 1 else 'races'}",
                numbers=(0, 3),
            )
        )  # fmt: skip
    if made.corrections:
        blocks.append(Heading(text="Corrected"))
        blocks.append(
            Table(
                head=("heat", "boat", "was", "is now", "at"),
                rows=tuple(
                    (
                        str(c.heat), f"{c.boat:02d} {made.names.get(c.boat, '')}".strip(),
                        c.was.words() if c.was else "not in this heat", c.now.words() if c.now else "taken out",
                        "" if c.when is None else clock(c.when),
                    )
                    for c in made.corrections
                ),
            )
        )  # fmt: skip
    blocks.append(
        Text(text="Boats by number and name. A result that was corrected shows what it was.", small=True)
    )
    return Page(title="Results", over=made.season, blocks=tuple(blocks), foot=f"As of {made_at}.")
