"""The limits card: what wind, thunder, heat and water mean go, watch or stop.  It reminds; the officer decides."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from skimwright.base import Finding, InputError
from skimwright.base.page import Block, Heading, Notice, Page, Table, Text
from skimwright.course import BATCH, Runner
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.seasons.fields import Fields
from skimwright.desk.seasons.season import Season
from skimwright.pond import COLD_WATER, HOT, WATER_TO_WATCH, Conditions, beaufort, gust_doubts, heat_index
from skimwright.run import forecast

USUAL_GUST = 0.6  # how far gusts rise over the mean when nobody measured them, as a share [-]
AT_BOAT = 0.8  # most of the wind at head height that reaches a boat; the run model draws 0.6 +- 0.12 [choice]
SWING = math.radians(45.0)  # the wind may turn so far before the card must be made again [choice]
LEAST_HEAD = 0.5  # of any gust is taken to blow against the boat, wherever it comes from [choice]
Word = Literal["go", "watch", "stop"]


@dataclass(frozen=True, kw_only=True)
class SiteLimits:
    """What the site allows, as its people wrote it in ``limits.toml``."""

    officer: str  # the job that decides
    wind_mean: float  # [m/s]
    wind_gust: float  # [m/s]
    heat_stop: float  # heat index at which nobody runs [K]
    water_stop: float  # colder water keeps everybody ashore [K]
    ratio: str  # children to an adult, in the site's own words


@dataclass(frozen=True, kw_only=True)
class Steadiness:
    """How much wind one boat bears."""

    label: str
    lifts_at: float  # air speed at which its pads lift off: 5 of a hundred builds [m/s]
    fastest: float  # 95 of a hundred runs are slower [m/s]

    @property
    def gust(self) -> float:
        """Gust at head height, straight against it, that takes it there; nought: it may lift off in still air. [m/s]"""
        return max(self.lifts_at - self.fastest, 0.0) / AT_BOAT


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the card."""

    what: str
    watch: str
    stop: str
    now: str
    word: Word
    rests_on: str


@dataclass(frozen=True, kw_only=True)
class LimitsCard:
    """The card for each officer."""

    season: Season
    site: SiteLimits
    boats: tuple[Steadiness, ...]  # least steady first
    mean: float  # the day's limit, as long as the wind stays within 45 deg of where it is [m/s]
    gust: float  # [m/s]
    gust_any: float  # gust limit wherever the wind turns to [m/s]
    rests_on: str
    lines: tuple[Line, ...]
    findings: tuple[Finding, ...]

    @property
    def word(self) -> Word:
        """The worst of its lines."""
        words = [line.word for line in self.lines]
        return "stop" if "stop" in words else "watch" if "watch" in words else "go"


def read_site_limits(table: Mapping[str, Any], *, file: str = "limits.toml") -> SiteLimits:
    """The site's limits from their file.

    Raises
    ------
    InputError
        A limit is empty, missing or cannot be: without it the event's page stays shut.
    """
    top = Fields(table, file=file)
    wind, heat, water, people = (top.table(key) for key in ("wind", "heat", "water", "people"))
    top.close()
    try:
        found = SiteLimits(
            officer=people.text("officer"),
            ratio=people.text("ratio"),
            wind_mean=wind.quantity("mean_m_s", "speed", "m/s", low=0.1, high=9),
            wind_gust=wind.quantity("gust_m_s", "speed", "m/s", low=0.1, high=15),
            heat_stop=heat.quantity("index_stop_c", "temperature", "C", low=25, high=45),
            water_stop=water.quantity("stop_below_c", "temperature", "C", low=0, high=25),
        )
    except InputError as error:
        raise InputError(
            what=error.what, got=error.got, allowed=error.allowed,
            do=f"{error.do} Until then the event page stays shut.", where=error.where,
        ) from error  # fmt: skip
    if found.wind_gust < found.wind_mean:
        raise InputError(
            what="a gust limit below the mean limit",
            got=f"gust {found.wind_gust:g} m/s, mean {found.wind_mean:g} m/s",
            allowed="a gust limit at least as high as the mean limit",
            do="Was the gust written for the mean? Until then the event page stays shut.",
            where=wind.where("gust_m_s"),
        )
    for fields in (wind, heat, water, people):
        fields.close()
    return found


def steadiness(
    season: Season, *, seed: int, progress: Callable[[int, int], None] | None = None
) -> tuple[Steadiness, ...]:
    """Every boat that can run, the least steady first.

    The launch line is turned into the wind: on race day the wind turns too.
    """
    day = season.conditions
    found = []
    runners = [
        Runner(label=e.label, group=e.group, question=question_about(season, e, runs=BATCH, seed=seed))
        for e in season.ready
    ]
    for number, runner in enumerate(runners, 1):
        question = replace(runner.question, conditions=replace(day, heading=day.wind_from))
        answer = forecast(question)
        found.append(
            Steadiness(
                label=runner.label, lifts_at=answer.blow_over.critical[0], fastest=answer.top_speed.p95
            )
        )
        if progress:
            progress(number, len(runners))
    return tuple(sorted(found, key=lambda boat: boat.gust))


def limits_card(
    season: Season,
    site: SiteLimits,
    boats: Sequence[Steadiness],
    *,
    without: Sequence[int] = (),
    humidity: float | None = None,
) -> LimitsCard:
    """The day's limits: those of the least steady entered boat, and never above the site's.

    Parameters
    ----------
    season, site
    boats : sequence of Steadiness
    without : boat numbers
        Left out of the count because they will not run.
    humidity : float, optional
        For the heat index; left out, the heat line gives the air's own temperature. [-]
    """
    named = {f"boat {number:02d} " for number in without}
    running = tuple(boat for boat in boats if not any(boat.label.startswith(each) for each in named))
    least = running[0] if running else None
    day = season.conditions
    gust, rests_on = site.wind_gust, "the site's own limit"
    if least is not None and least.gust / head_share(day) < site.wind_gust:
        gust, rests_on = least.gust / head_share(day), f"{least.label}, whose pads lift off first"
    mean = min(site.wind_mean, gust / (1.0 + max(day.gust_ratio, USUAL_GUST)))
    return LimitsCard(
        season=season,
        site=site,
        boats=running,
        mean=mean,
        gust=gust,
        gust_any=min([site.wind_gust, *(boat.gust for boat in running)]),
        rests_on=rests_on,
        lines=_lines(season, site, mean, gust, rests_on, humidity),
        findings=_findings(season, running),
    )


def head_share(day: Conditions) -> float:
    """Share of a gust that may blow against the boat while the wind stays within 45 deg of where it is. [-]"""
    off = abs((day.wind_from - day.heading + math.pi) % (2.0 * math.pi) - math.pi)
    return max(LEAST_HEAD, math.cos(max(off - SWING, 0.0)))


def _lines(
    season: Season, site: SiteLimits, mean: float, gust: float, rests_on: str, humidity: float | None
) -> tuple[Line, ...]:
    day = season.conditions
    has_gust = day.wind_gust is not None
    blowing = day.wind_gust if day.wind_gust is not None else day.wind_speed * (1.0 + USUAL_GUST)
    felt = day.air_temperature if humidity is None else heat_index(
        air_temperature=day.air_temperature, humidity=humidity
    )  # fmt: skip
    return (
        Line(
            what="mean wind, ten minutes", watch=f"{0.8 * mean:.1f} m/s",
            stop=f"{mean:.1f} m/s (force {beaufort(wind=mean)})",
            now=f"{day.wind_speed:.1f} m/s from {_bearing(day.wind_from)}",
            word=_word(day.wind_speed, 0.8 * mean, mean),
            rests_on=rests_on,
        ),
        Line(
            what="strongest gust of ten minutes", watch=f"{0.8 * gust:.1f} m/s", stop=f"{gust:.1f} m/s",
            now=f"{blowing:.1f} m/s" + ("" if has_gust else ", guessed from the mean"),
            word=_word(blowing, 0.8 * gust, gust), rests_on=rests_on,
        ),
        Line(
            what="thunder", watch="dark cloud", stop="any thunder: off the water, firing leads off, under cover",
            now="listen", word="go", rests_on="30 minutes after the last thunder; each one starts the clock again",
        ),
        Line(
            what="heat" if humidity is not None else "heat (humidity not measured)",
            watch=f"{HOT - 273.15:.0f} C", stop=f"{site.heat_stop - 273.15:.0f} C",
            now=f"{felt - 273.15:.0f} C felt in the shade", word=_word(felt, HOT, site.heat_stop),
            rests_on="heat index; full sun can add 8 C; the site's own authority goes before",
        ),
        Line(
            what="water", watch=f"under {WATER_TO_WATCH - 273.15:.0f} C: cold shock",
            stop=f"under {site.water_stop - 273.15:.0f} C",
            now=f"{day.water_temperature - 273.15:.0f} C"
            + (", cold: a fall in is an emergency" if day.water_temperature <= COLD_WATER else ""),
            word=_word(-day.water_temperature, -WATER_TO_WATCH, -site.water_stop),
            rests_on="the site's own limit; life jackets within 2 m of the edge",
        ),
        Line(
            what="sun", watch="UV index 3", stop="as the site says", now="read the day's UV index", word="go",
            rests_on="shade, hats, cream, water; strongest 10:00 to 16:00",
        ),
        Line(
            what="misfire", watch="", stop="disconnect, 60 s before anybody goes near", now="", word="go",
            rests_on="model rocket safety code, 2012 text, item 4",
        ),
    )  # fmt: skip


def _word(value: float, watch: float, stop: float) -> Word:
    return "stop" if value >= stop else "watch" if value >= watch else "go"


def _bearing(angle: float) -> str:
    return f"{round(math.degrees(angle)) % 360:03d}"


def _findings(season: Season, boats: Sequence[Steadiness]) -> tuple[Finding, ...]:
    found = []
    day = season.conditions
    head = day.wind_gust if day.wind_gust is not None else day.wind_speed * (1.0 + USUAL_GUST)
    weak = [boat for boat in boats if boat.gust / head_share(day) <= head]
    if weak:
        names = ", ".join(boat.label for boat in weak[:6]) + (
            f" and {len(weak) - 6} more" if len(weak) > 6 else ""
        )
        found.append(
            Finding(
                code="boats-over-their-wind",
                severity="warning",
                what=f"{names}: gusts of {head:.1f} m/s may lift the pads off.",
                why="They may flip.",
                do="Leave them ashore (--without), or move weight forward and weigh them again.",
            )
        )
    found += gust_doubts(day)
    goes = _bearing(day.wind_from + math.pi)
    found.append(
        Finding(
            code="wind-from",
            severity="note",
            what=f"The wind is written as coming FROM {_bearing(day.wind_from)}, so it blows towards {goes}.",
            why="Forecasts and people lines turn round if the two are confused.",
            do=f"Face {_bearing(day.wind_from)}: it must be in your face. If it is at your back, write {goes} instead.",
        )
    )
    return (*season.season_findings, *found)


def limits_page(card: LimitsCard, *, foot: str) -> Page:
    """One card for each officer."""
    day = card.season.conditions
    said = {"go": "ok", "watch": "care", "stop": "stop"}
    words = {
        "go": "Inside every limit now.",
        "watch": "Near a limit: watch it.",
        "stop": "Over a limit: nothing runs.",
    }
    blocks: list[Block] = [
        Notice(state=said[card.word], text=f"{words[card.word]} The {card.site.officer} decides."),  # type: ignore[arg-type]
        Table(
            head=("", "watch", "stop", "now", "rests on"),
            rows=tuple((line.what, line.watch, line.stop, line.now, line.rests_on) for line in card.lines),
        ),
        Text(
            text=f"The wind limits hold while the wind stays within 45 deg of {_bearing(day.wind_from)} and boats "
            f"start on {_bearing(day.heading)}. Wherever it turns to: gusts up to "
            f"{card.gust_any:.1f} m/s."
        ),
        Text(text=f"Children to an adult: {card.site.ratio}. Nobody in the water while boats run; two adults in the "
             "retrieval boat, in life jackets."),
        Text(text="Wind read at head height, in the open, for ten minutes. Read again every half hour and after every "
             "change of the sky. Limits are for boats; people's limits are the site's."),
        *(Notice(state="care", text=f.sentence()) for f in card.findings if f.severity != "note"),
        Heading(text="Least steady boats"),
        Table(
            head=("boat", "pads lift off at m/s of air", "runs m/s", "bears a gust of m/s"),
            rows=tuple(
                (b.label, f"{b.lifts_at:.1f}", f"{b.fastest:.1f}", f"{max(b.gust, 0.0):.1f}") for b in card.boats[:6]
            ),
            numbers=(1, 2, 3),
        ),
        Table(head=("time", "mean m/s", "gust m/s", "from", "who"), rows=tuple(("______",) * 5 for _ in range(8))),
        *(Text(text=f.sentence(), small=True) for f in card.findings if f.severity == "note"),
    ]  # fmt: skip
    return Page(
        title="Limits card",
        over=f"{card.season.name}, {card.season.site.name}",
        blocks=tuple(blocks),
        foot=foot,
    )
