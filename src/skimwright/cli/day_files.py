"""What the verbs of a race day share: the day as it stands, who speaks, and adding to its log."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import MissingError, Where
from skimwright.cli.table import table
from skimwright.cli.verb import Ask, Option

if TYPE_CHECKING:
    from skimwright.desk import DayHeat, RaceDay, Stamp

STAMP = (
    Option(flag="--who", value="JOB", does="who says it, such as marshal; no surname is needed"),
    Option(flag="--phone", value="NAME", does="from which phone, such as finish A"),
    Option(flag="--at", value="TIME", does="when, such as 10:18 or 2027-05-22T10:18:00+01:00; now unless given"),
    Option(flag="--key", value="KEY", does="of this one act: sent again with it, it is counted once"),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class OpenDay:
    """The day of the season meant, and its log."""

    day: RaceDay
    path: Path  # of results.csv
    read: Callable[[], RaceDay]
    stamp: Stamp

    def add(self, ask: Ask, rows: tuple[dict[str, str], ...]) -> tuple[RaceDay, list[str]]:
        """Add rows to the log; the day as it is then, and the file if anything was new."""
        from skimwright import desk

        if not rows:
            return self.day, []
        return_files = [str(ask.files.add_rows(self.path, desk.RESULT_COLUMNS, rows))]
        return self.read(), return_files


def open_day(ask: Ask) -> OpenDay:
    """The day from the season's files.

    Raises
    ------
    MissingError
        The season has no ``day.toml`` or ``entries.csv``.
    """
    from skimwright import desk

    folder, files = ask.files.season_folder(ask.season_chosen), ask.files
    if not files.is_file(folder / "day.toml"):
        raise MissingError(
            what="this season has no plan of the regatta day", allowed="day.toml with its sessions",
            do="Write one; docs/season-files.md says how.", where=Where(file="day.toml"),
        )  # fmt: skip

    def maybe(name: str, read: Callable[[Path], Any]) -> Any:
        return read(folder / name) if files.is_file(folder / name) else None

    season, pond = files.table(folder / "season.toml"), maybe("pond.toml", files.table)
    moment = _moment(ask, desk.regatta_date(season), pond)

    def read() -> RaceDay:
        return desk.read_day(
            desk.DayTables(
                season=season, day=files.table(folder / "day.toml"), entries=files.rows(folder / "entries.csv"),
                results=maybe("results.csv", files.rows), holds=maybe("holds.csv", files.grid),
                pond=pond,
            ),
            now=moment, tries=_tries(season),
        )  # fmt: skip

    stamp = desk.Stamp(
        at=moment, who=ask.given["who"] or "", phone=ask.given["phone"] or "", key=ask.given["key"] or ""
    )
    return OpenDay(day=read(), path=folder / "results.csv", read=read, stamp=stamp)


def _tries(season: Mapping[str, Any]) -> dict[str, int]:
    groups = season.get("groups", {})
    return {name: group["tries"] for name, group in groups.items() if isinstance(group.get("tries"), int)}


def _moment(ask: Ask, date: datetime.date, pond: Any) -> datetime.datetime:
    """The moment meant, by the clocks at the pond; an hour and minute alone are of the regatta day."""
    from skimwright import desk

    said = ask.given["at"]
    now = desk.pond_clock(pond, desk.moment(ask.files.now(), Where(field="--at")))
    if said is None:
        return now
    if re.fullmatch(r"([01]?[0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?", said):
        time = datetime.time.fromisoformat(said.rjust(5, "0") if len(said) < 6 else said.rjust(8, "0"))
        return datetime.datetime.combine(date, time, now.tzinfo)
    return desk.pond_clock(pond, desk.moment(said, Where(field="--at")))


def board(day: RaceDay) -> str:
    """The call board in words: what is on the water, the next three heats, and when it will be over."""
    lines = [f"{day.word.upper()}  {day.says}", ""]
    shown = [*(day.heat(n) for n in day.on_water), *day.next_heats(3)]
    if shown:
        lanes = max(len(heat.lanes) for heat in shown)
        heading = ["heat", "group", "about", "state", *(f"lane {n}" for n in range(1, lanes + 1))]
        lines += [table(heading, [_board_row(day, heat) for heat in shown]), ""]
    lines += _queue(day)
    raced = sum(heat.state in ("done", "waits") for heat in day.heats)
    return "\n".join([*lines, f"{raced} of {len(day.heats)} heats raced. {day.expected.says}", *_limits(day)])


def _queue(day: RaceDay) -> list[str]:
    """The qualifying queue, while anybody waits in it."""
    from skimwright import desk

    if not day.queue.waiting:
        return []
    waiting = ", ".join(f"{day.label(crew.boat)} ({crew.left} left)" for crew in day.queue.waiting)
    ends = "" if day.queue_ends is None else f" Over by {desk.clock(day.queue_ends)} at the latest."
    return [f"Qualifying, next first: {waiting}.{ends}", ""]


def _limits(day: RaceDay) -> list[str]:
    """The last heat before each limit."""
    from skimwright import desk

    told = [
        f"{name} at {desk.clock(day.plan.limits[name])}: {'none' if number is None else f'heat {number}'}"
        for name, number in day.last_before.items()
    ]
    return [f"Last heat over before {', '.join(told)}."] if told and day.ahead else []


def _board_row(day: RaceDay, heat: DayHeat) -> list[str]:
    about = heat.expected if heat.expected is not None else None
    from skimwright import desk

    cells = [
        day.label(boat) + _mark(heat, boat) if boat is not None and boat not in heat.out else "-"
        for boat in heat.lanes
    ]
    return [str(heat.number), heat.group, "" if about is None else desk.clock(about), heat.state, *cells]


def _mark(heat: DayHeat, boat: int) -> str:
    if boat in heat.unticked:
        return " (no tick)"
    return " (unweighed)" if boat in heat.unweighed else ""


def heat_data(day: RaceDay, heat: DayHeat) -> dict[str, Any]:
    """One heat for --json."""
    from skimwright import desk

    return {
        "heat": heat.number, "group": heat.group, "round": heat.round, "lanes": list(heat.lanes),
        "state": heat.state, "waits_for": heat.waits_for, "planned": desk.clock(heat.planned),
        "expected": None if heat.expected is None else desk.clock(heat.expected),
        "out": list(heat.out), "missing": list(heat.missing), "unticked": list(heat.unticked),
        "unweighed": list(heat.unweighed), "allowed": list(heat.allowed),
        "result": {f"{boat:02d}": outcome.words() for boat, outcome in heat.outcomes.items()},
        "corrected": len(heat.corrected) > 0,
    }  # fmt: skip


def day_data(day: RaceDay, files: list[str]) -> dict[str, Any]:
    """The day for --json."""
    finish = day.expected.finish
    from skimwright import desk

    return {
        "at": day.now.isoformat(timespec="seconds"), "word": day.word, "says": day.says,
        "on_water": list(day.on_water), "ahead": list(day.ahead),
        "next": [heat_data(day, heat) for heat in day.next_heats(3)],
        "expected_finish": None if finish is None else desk.clock(finish), "expected_says": day.expected.says,
        "queue": [{"boat": c.boat, "tries_made": c.made, "tries_left": c.left} for c in day.queue.waiting],
        "queue_ends": None if day.queue_ends is None else desk.clock(day.queue_ends),
        "qualified": list(day.queue.through), "last_before": dict(day.last_before), "files": files,
        "findings": [finding.as_dict() for finding in day.findings],
    }  # fmt: skip


def news(before: RaceDay, after: RaceDay) -> tuple[Any, ...]:
    """The findings that this act brought about, and those that stop something."""
    known = {(finding.code, finding.where, finding.what) for finding in before.findings}
    return tuple(
        finding for finding in after.findings
        if (finding.code, finding.where, finding.what) not in known or finding.severity == "stop"
    )  # fmt: skip
