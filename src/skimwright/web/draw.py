"""Pages from templates; drawings and printed pages come in as they are on paper."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from skimwright import __version__, desk, paper
from skimwright.base.drawing import Drawing
from skimwright.base.page import Block
from skimwright.web.lanes import lane_sign

HERE = Path(__file__).parent
# Six doors, named for where you stand.
PLACES = (
    ("Board", "/board", "draw, sheets, guide"),
    ("Bench", "/bench", "build card, verdicts"),
    ("Scales", "/scales", "weigh, balance, trim"),
    ("Water", "/water", "trials, the course, the gate"),
    ("Race day", "/race", "calls, results, points, holds"),
    ("Office", "/office", "people, papers, records"),
)

MEASURES = {
    "mass_g": "mass, g",
    "balance_x_mm": "balance point from the bow, mm",
    "balance_y_mm": "balance point to starboard, mm",
    "balance_z_mm": "balance point above the pads, mm",
    "pad_left_err_deg": "left pad, nose-up of the drawing, deg",
    "pad_right_err_deg": "right pad, nose-up of the drawing, deg",
    "pad_left_toe_deg": "left pad, front to starboard, deg",
    "pad_right_toe_deg": "right pad, front to starboard, deg",
    "pad_left_cant_deg": "left pad, outer edge high, deg",
    "pad_right_cant_deg": "right pad, outer edge high, deg",
    "fin_yaw_deg": "water fin, trailing edge to starboard, deg",
    "floor_twist_deg": "twist of the floor, deg",
    "device_offset_y_mm": "device off the middle to starboard, mm",
    "deck_length_mm": "length of the deck, mm",
    "water_gain_g_per_run": "water taken up in a run, g",
}


class Draw:
    """Fills templates in; everything that was typed is shown as text, never as markup."""

    def __init__(self) -> None:
        self._environment = Environment(
            loader=FileSystemLoader(HERE / "templates"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._environment.globals |= {
            "places": PLACES,
            "edition": __version__,
            "sign": sign,
            "lane": lane_sign,
        }
        self._environment.filters |= {
            "picture": picture,
            "blocks": blocks,
            "boat": "{:02d}".format,
            "figure": figure,
            "signed": signed,
            "measure": measure,
            "clock": desk.clock,
            "points": points,
        }

    def page(self, template: str, context: Mapping[str, Any]) -> str:
        """A page's text."""
        return self._environment.get_template(template).render(context)


def picture(drawing: Drawing) -> Markup:
    """A drawing in the page, with its title for those who cannot see it."""
    return Markup(paper.svg(drawing))  # its words are escaped where it is made


def blocks(given: Iterable[Block]) -> Markup:
    """What is printed on paper, in a page of the browser."""
    return Markup(paper.html_blocks(given))


def sign(state: str) -> Markup:
    """Tick, triangle or bar."""
    return Markup(paper.SIGNS[state])


def figure(value: float | None, digits: int) -> str:
    """A number, or nothing where nothing was measured."""
    return "" if value is None else f"{value:.{digits}f}"


def signed(value: float | None, digits: int) -> str:
    """A number with its sign, or nothing."""
    return "" if value is None else f"{value:+.{digits}f}"


def measure(column: str) -> str:
    """``balance_x_mm`` as a person says it."""
    return MEASURES.get(column, column)


def points(value: float) -> str:
    """Points as they are said: 700, or 262.5."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
