"""A crew's hunch beside the forecast: what was guessed, what came, what the forecast most likely has wrong."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from skimwright.base import InputError, Where, parse_quantity
from skimwright.base.drawing import Drawing, Path, Words, line, shape
from skimwright.boat import with_measured
from skimwright.desk.trials.log_run import RunLog
from skimwright.pond import Conditions
from skimwright.run import Forecast, Question

LONGEST = 150.0  # that a crew may guess [m] [choice]
HEADWIND, SOAKED = (
    3.0,
    0.020,
)  # of the bad-weather version: straight ahead [m/s], rain in the board [kg] [choice]


def read_hunch(text: str) -> str:
    """A guessed distance as it stands in the run log, such as ``45 m``.

    Raises
    ------
    InputError
        It is no distance, or none a boat could come.
    """
    where = Where(field="hunch")
    far = parse_quantity(text, "length", default_unit="m", where=where)
    if not 0.0 <= far <= LONGEST:
        raise InputError(what="not such a distance", got=text, allowed=f"0 to {LONGEST:g} m", do="Guess again.",
                         where=where)  # fmt: skip
    return f"{far:g} m"


def hunch_of(guess: str | None) -> float | None:
    """The distance in a guess; None if it is one in words, or a skip. [m]"""
    found = re.fullmatch(r"(\d+(?:\.\d+)?) m", guess or "")
    return float(found[1]) if found else None


@dataclass(frozen=True, kw_only=True)
class Hunches:
    """What the crew of a boat has guessed so far."""

    run: int  # the next one
    locked: str | None  # its guess; None: not made yet
    flag: float | None  # distance in it, or in the last one that has a distance [m]
    pins: tuple[tuple[int, float, float], ...]  # run, distance, drift at the gate's line [m]
    said: tuple[tuple[int, float, float], ...]  # run, guessed, came [m]


def hunches(log: RunLog, boat: int) -> Hunches:
    """The guesses and ends of one boat's runs."""
    runs, waiting = log.book.of(boat), log.typed.waiting(boat)
    told = [(r.run, hunch_of(r.guess), r.result.distance) for r in runs]
    flags = [far for _, far, _ in told if far is not None]
    locked = hunch_of(waiting.guess) if waiting else None
    return Hunches(
        run=waiting.run if waiting else log.typed.last(boat) + 1,
        locked=waiting.guess if waiting else None,
        flag=locked if locked is not None else flags[-1] if flags else None,
        pins=tuple(
            (r.run, r.result.distance, r.result.drift or 0.0) for r in runs[-5:] if r.result.distance is not None
        ),
        said=tuple((run, far, came) for run, far, came in told if far is not None and came is not None),
    )  # fmt: skip


def wrong_because(forecast: Forecast) -> str:
    """The one line under a forecast: what it most likely has wrong."""
    terms = sorted(forecast.terms, key=lambda term: -max(term.distance, term.drift))
    if not terms:
        return "Most likely wrong because the model itself is untested."
    top = terms[0]
    what = "drift" if top.drift >= top.distance else "distance"
    return (
        f"Most likely wrong because of {top.words}: by itself it makes "
        f"{100 * max(top.drift, top.distance):.0f} % of the spread of {what}."
    )


def in_bad_weather(question: Question) -> Question:
    """The same boat with the wind straight ahead and rain in its board."""
    day = replace(
        question.conditions,
        wind_speed=HEADWIND,
        wind_gust=None,
        wind_from=question.conditions.heading,
        ripple=None,
    )
    mass = with_measured(question.kit, question.built).mass + SOAKED
    return replace(question, conditions=day, built=replace(question.built, mass=mass))


def wind_picture(day: Conditions) -> Drawing:
    """The launch line upwards and the wind as an arrow, so that "from" is not taken for "to"."""
    middle, long = (30.0, 34.0), 20.0
    blows = day.wind_from + math.pi - day.heading  # towards, from straight ahead clockwise
    x, y = math.sin(blows), -math.cos(blows)
    tail = (middle[0] - long * x, middle[1] - long * y)
    head = (middle[0] + 0.6 * long * x, middle[1] + 0.6 * long * y)
    left, right = ((head[0] - 7 * x + s * 4 * y, head[1] - 7 * y - s * 4 * x) for s in (1, -1))
    marks: list[Path | Words] = [
        line((middle[0], 62.0), (middle[0], 6.0), width=0.4, dashes=(2.0, 1.4)),
        shape((middle[0], 2.0), (middle[0] - 2.6, 8.0), (middle[0] + 2.6, 8.0), fill="white", width=0.5),
        Words(at=(middle[0] + 4.0, 7.0), text="the boats go this way", size=4.2),
    ]
    if day.wind_speed > 0.0:
        marks += [line(tail, head, width=2.2), shape(head, left, right, fill="black")]
    return Drawing(width=90.0, height=66.0, marks=tuple(marks), title="The wind over the course",
                   described=wind_words(day))  # fmt: skip


def wind_words(day: Conditions) -> str:
    """The wind in a sentence, from and towards."""
    if day.wind_speed <= 0.0:
        return "No wind."
    off = math.degrees(day.wind_from - day.heading) % 360.0
    sides = ("ahead", "ahead to starboard", "starboard", "behind to starboard", "behind", "behind to port", "port",
             "ahead to port")  # fmt: skip
    side = sides[round(off / 45.0) % 8]
    return (
        f"{day.wind_speed:.1f} m/s FROM {math.degrees(day.wind_from) % 360:03.0f}: it comes from {side} as the boats "
        f"go (heading {math.degrees(day.heading) % 360:03.0f})."
    )
