"""Any figure of a boat's forecast, unfolded into its working for one age band."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skimwright import teach
from skimwright.base.drawing import Drawing
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import BoatForecast
from skimwright.desk.lessons.lesson import band_for, title_of
from skimwright.desk.seasons.cite import WEAKEST_FIRST, Cited, sources_of_forecast
from skimwright.desk.seasons.season import Season

EVERY_NUMBER = "all"
_RUN = (
    "water", "planing pads", "skin friction", "air in the tunnel", "air", "air drag", "blade and fins",
    "crosswind", "the run", "thrust",
)  # fmt: skip
RESTS: Mapping[str, tuple[str, ...]] = {  # figure to the models it goes through, by their names in `cite`
    "mass": (),
    "balance": (),
    "float_line": ("floating", "water"),
    "feet": (),
    "top_speed": _RUN,
    "gate_time": _RUN,
    "distance": _RUN,
    "drift": _RUN,
    "gate_chance": _RUN,
    "reach": _RUN,
    "blow_over": ("air in the tunnel", "air", "air drag", "blowing over", "thrust"),
    "course": ("blade and fins", "crosswind", "the run"),
}


def figures_named(word: str) -> tuple[str, ...]:
    """The figure of that name, or every one for "all".

    Raises
    ------
    InputError
        No such figure.

    Examples
    --------
    >>> figures_named("top speed")
    ('top_speed',)
    """
    return teach.FIGURES if word.casefold() == EVERY_NUMBER else (teach.figure_named(word),)


@dataclass(frozen=True, kw_only=True)
class ExplainedNumber:
    """One figure with what it rests on, and its pages."""

    explained: teach.Explained
    sources: tuple[Cited, ...]
    pages: tuple[Drawing, ...]


def explain_numbers(
    season: Season, entry: Entry, found: BoatForecast, *, words: Mapping[str, Any], first: Mapping[str, Any],
    figure: str = EVERY_NUMBER, band: str | None = None, paper: teach.Paper = "a4", large: bool = False,
    foot: str = "",
) -> tuple[ExplainedNumber, ...]:  # fmt: skip
    """A figure's working, or that of every figure.

    Parameters
    ----------
    season : Season
    entry : Entry
        The boat.
    found : BoatForecast
        Its forecast; nothing is run again.
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    figure : str
        A name as typed, or "all".
    band : str, optional
        By the group's ages unless given.
    paper : str
        "a4" or "letter".
    large : bool
        Large print.
    foot : str
        What stands below every page.

    Raises
    ------
    InputError
        No such figure or band.
    ModelError
        Two ways to a step differ.
    """
    wanted = figures_named(figure)
    chosen = band_for(season, entry, band)
    said, title = teach.words_of(words, first), title_of(entry)
    told = teach.Told(
        title=title, question=found.question, forecast=found.forecast, effects=found.effects,
        at_rest=found.floating.at_rest, feet=found.floating.feet,
    )  # fmt: skip
    every = sources_of_forecast(found.question.device)
    made = []
    for name in wanted:
        explained = teach.explain(told, name, chosen, said)
        sources = tuple(cited for cited in every if cited.use.split(" of ")[0] in RESTS[name])
        rests = _rests(sources, said)
        pages = teach.explain_pages(
            explained, said, boat=title, season=season.name, rests=rests, paper=paper, large=large, foot=foot
        )
        made.append(ExplainedNumber(explained=explained, sources=sources, pages=pages))
    return tuple(made)


def _rests(sources: tuple[Cited, ...], said: teach.Words) -> list[str]:
    """Each source once, by how well it is known; of several uses the weakest counts."""
    known: dict[str, str] = {}
    for cited in sources:
        known[cited.key] = min(known.get(cited.key, cited.status), cited.status, key=WEAKEST_FIRST.index)
    groups = [(status, [key for key in known if known[key] == status]) for status in reversed(WEAKEST_FIRST)]
    return [f"{said.say(f'explain.status.{status}')}: {', '.join(keys)}." for status, keys in groups if keys]
