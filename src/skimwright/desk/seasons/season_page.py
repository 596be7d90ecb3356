"""All boats in one table, and the devices that wait for permission."""

from __future__ import annotations

import math
from collections.abc import Mapping

from skimwright.base.page import Block, Heading, Link, Notice, Page, Table, Text
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.boat_page import (
    NOT_A_SAFETY_CASE,
    page_name,
)
from skimwright.desk.boats.forecast_boat import BoatForecast
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.words import closed, share, sideways_span, span, turn
from skimwright.run import Forecast


def season_page(
    season: Season,
    found: Mapping[int, BoatForecast],
    *,
    answered: Mapping[int, str],
    trials: Mapping[str, tuple[str, Forecast]],
    foot: str,
    asked: tuple[Entry, ...] = (),
    more: tuple[tuple[str, Link], ...] = (),
) -> Page:
    """The table of all boats.

    Parameters
    ----------
    season : Season
        Its stopped boats are listed with their question.
    found : boat number to BoatForecast
    answered : boat number to the answer that was given for it in this walk
    trials : device name to (kit name, Forecast)
        What the closed devices would do, for the permission talk only.
    foot : str
    asked : entries
        Boats as typed whose question was answered for this walk.
    more : (what it is, link) pairs
        Other files of the same folder.
    """
    day = season.conditions
    gust = f", gusts {day.wind_gust:.1f} m/s" if day.wind_gust else ""
    blocks: list[Block] = [
        Text(
            text=f"{season.site.name}, wind {day.wind_speed:.1f} m/s{gust} from {math.degrees(day.wind_from):.0f} deg, "
            f"start heading {math.degrees(day.heading):.0f} deg. A range holds nine runs of ten. Aim: what takes out "
            "the usual drift, wind and boat together. May turn over: the worse of the runs that meet more air than "
            "their pads hold down and those that turned over in the sum. Untested, wide: no logged "
            "run is taken in here; `skimwright learn` does that."
        ),
        *_questions(season, asked, answered),
    ]
    for group in season.groups:
        entries = [entry for entry in season.boats if entry.group == group]
        if entries:
            rule = season.groups[group]
            blocks += [
                Heading(
                    text=f"{group}: gate {rule.qualifying_distance:.2f} m "
                    f"({rule.qualifying_distance / 0.3048:.0f} ft), {rule.gate_width:g} m wide"
                ),
                _table(entries, found),
            ]
    blocks += _closed(season, trials)
    if more:
        blocks += [Heading(text="The rest of the year"), Table(head=("what", "file"), rows=more)]
    blocks.append(Text(text=NOT_A_SAFETY_CASE))
    return Page(title="What each boat will do", over=season.name, blocks=tuple(blocks), foot=foot)


def _questions(season: Season, asked: tuple[Entry, ...], answered: Mapping[int, str]) -> list[Block]:
    blocks: list[Block] = [
        Notice(state="stop", text=finding.sentence())
        for entry in (*season.stopped, *asked)
        for finding in entry.findings
        if finding.severity == "stop"
    ]
    blocks += [
        Notice(
            state="care",
            text=f"Boat {number:02d} was then worked out with the answer {answer}; the file was not changed.",
        )
        for number, answer in answered.items()
    ]
    blocks += [Notice(state="care", text=finding.sentence()) for finding in season.season_findings]
    return blocks


def _table(entries: list[Entry], found: Mapping[int, BoatForecast]) -> Table:
    return Table(
        head=(
            "boat",
            "through the gate, aimed",
            "may turn over",
            "stops after",
            "drift at the gate",
            "time to the gate",
            "aim",
            "the first thing to look at",
        ),
        rows=tuple(_row(entry, found.get(entry.number)) for entry in entries),
        numbers=(1, 2, 3, 5),
    )


def _row(entry: Entry, found: BoatForecast | None) -> tuple[str | Link, ...]:
    name = Link(text=f"{entry.number:02d} {entry.name}", to=page_name(entry.number))
    if found is None:
        return (name, *["waits"] * 6, "A question about it is open: see its page.")
    result = found.forecast
    return (
        name,
        share(result.through_aimed, result.runs),
        share(max(result.blows_over, result.blow_over.beyond), result.runs),
        span(result.distance, 0, "m"),
        sideways_span(result.drift) if result.drift else "–",
        span(result.gate_time, 1, "s") if result.gate_time else "–",
        turn(found.aim) if found.aim is not None else "straight",
        f"{found.first.says} {found.first.do}",
    )


def _closed(season: Season, trials: Mapping[str, tuple[str, Forecast]]) -> list[Block]:
    shut = [device.name for device in season.devices.values() if device.needs_permission]
    if not shut:
        return []
    blocks: list[Block] = [
        Heading(text="Devices that are closed"),
        Notice(state="stop", text=closed(" / ".join(shut))),
    ]
    if trials:
        blocks.append(
            Table(
                head=("device", "on", "top speed", "stops after", "crosses 30.48 m", "may turn over"),
                rows=tuple(
                    (
                        device,
                        kit,
                        span(result.top_speed, 0, "m/s"),
                        span(result.distance, 0, "m"),
                        share(result.reaches, result.runs),
                        share(max(result.blows_over, result.blow_over.beyond), result.runs),
                    )
                    for device, (kit, result) in trials.items()
                ),
                caption="For the talk with those who give permission, not for running. Nine runs of ten.",
                numbers=(2, 3, 4, 5),
            )
        )
    return blocks
