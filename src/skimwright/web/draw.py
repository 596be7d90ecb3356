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

MEASURES = {  # in the words of the build card
    "mass_g": "mass, ready to run, g",
    "balance_x_mm": "balance point from the bow, mm",
    "balance_y_mm": "balance point to starboard, mm",
    "balance_z_mm": "balance point above the pads, mm",
    "pad_left_err_deg": "left pad's angle error, nose-up, deg",
    "pad_right_err_deg": "right pad's angle error, nose-up, deg",
    "pad_left_toe_deg": "left pad's toe, front to starboard, deg",
    "pad_right_toe_deg": "right pad's toe, front to starboard, deg",
    "pad_left_cant_deg": "left pad's cant, outer edge high, deg",
    "pad_right_cant_deg": "right pad's cant, outer edge high, deg",
    "fin_yaw_deg": "blade's angle (the water fin), trailing edge to starboard, deg",
    "floor_twist_deg": "twist of the floor, deg",
    "device_offset_y_mm": "device off the centre line, to starboard, mm",
    "deck_length_mm": "deck length, mm",
    "water_gain_g_per_run": "water soaked up in a run, g",
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
            "sentence": sentence,
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


def sentence(text: str) -> str:
    """What begins a line begins with a capital; a file's name stays as it is."""
    first = text.split(" ", 1)[0]
    return text if "." in first or "_" in first else text[:1].upper() + text[1:]


def points(value: float) -> str:
    """Points as they are said: 700, or 262.5."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
