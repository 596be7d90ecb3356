"""Drawings keep their size, pages keep their promises: no script, nothing fetched, everything escaped."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from skimwright.base.drawing import Dot, Drawing, Path, Words, line, shape
from skimwright.base.page import Columns, Heading, Link, Notice, Page, Picture, Table, Text
from skimwright.paper import html, svg

SVG = "{http://www.w3.org/2000/svg}"
SQUARE = Drawing(
    width=120,
    height=110,
    title="A <square> & a dot",
    described="100 mm wide",
    marks=(
        shape((10, 5), (110, 5), (110, 105), (10, 105), fill="pale"),
        line((0, 0), (1 / 3, 2), dashes=(1, 0.5), width=0.2),
        Dot(at=(60, 55), radius=2),
        Words(at=(10, 4), text='"100 mm" <wide>', turn=90),
    ),
)


def test_a_millimetre_on_the_drawing_is_a_millimetre_on_paper():
    root = ET.fromstring(svg(SQUARE))
    assert root.get("width") == "120mm"
    assert root.get("height") == "110mm"
    assert root.get("viewBox") == "0 0 120 110"
    corners = [tuple(map(float, p.split(","))) for p in root.find(f"{SVG}polygon").get("points").split()]
    assert corners == [(10, 5), (110, 5), (110, 105), (10, 105)]


def test_a_drawing_says_what_it_shows_to_those_who_cannot_see_it():
    root = ET.fromstring(svg(SQUARE))
    assert root.find(f"{SVG}title").text == "A <square> & a dot"
    assert root.find(f"{SVG}desc").text == "100 mm wide"
    assert root.find(f"{SVG}text").text == '"100 mm" <wide>'


@pytest.mark.parametrize("value, said", [(1 / 3, "0.3333"), (-1e-9, "0"), (100.0, "100"), (0.25, "0.25")])
def test_numbers_are_short(value, said):
    drawing = Drawing(width=value or 1, height=1, title="", marks=(Dot(at=(value, 1), radius=1),))
    assert f'cx="{said}"' in svg(drawing)


PAGE = Page(
    title="07 <Gravel>",
    over="Season & group",
    home="index.html",
    foot="Made today",
    blocks=(
        Notice(state="stop", text="Ask <first>."),
        Notice(state="care", text="Look."),
        Notice(state="ok", text="Fine."),
        Heading(text="On the water"),
        Text(text="A < B & C"),
        Table(head=("boat", "g"), rows=((Link(text="7", to="boat-07.html"), "307 g"),), numbers=(1,)),
        Columns(stacks=((Text(text="left"),), (Picture(drawing=SQUARE, caption="under it"),))),
    ),
)


def test_a_page_needs_nothing_else():
    text = html(PAGE)
    assert "<script" not in text
    assert not re.search(r'(src|href)="(https?:)?//', text)
    assert "@import" not in text
    assert "url(" not in text


def test_words_typed_by_people_are_shown_and_never_obeyed():
    text = html(PAGE)
    assert "<h1>07 &lt;Gravel&gt;</h1>" in text
    assert "Ask &lt;first&gt;." in text
    assert "A &lt; B &amp; C" in text


def test_a_notice_carries_its_state_in_a_word_and_a_shape():
    text = html(PAGE)
    for word in ("STOP", "Care", "OK"):
        assert f"<strong>{word}.</strong>" in text
    assert text.count('aria-hidden="true"') == 3


def test_a_page_speaks_a_language_fits_a_phone_and_links_home():
    text = html(PAGE)
    assert '<html lang="en">' in text
    assert 'name="viewport"' in text
    assert '<a href="index.html">' in text
    assert '<a href="boat-07.html">7</a>' in text
    assert '<td class="n">307 g</td>' in text


def test_text_on_the_page_is_dark_enough_for_the_sun():
    """Contrast from the style sheet itself (WCAG 2.x luminance; 7:1 in sunlight is common practice)."""
    from skimwright.paper.html import STYLE

    ink = re.search(r"color:(#[0-9A-F]{6})", STYLE)[1]

    def luminance(colour):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        return sum(
            w * (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4)
            for w, p in zip((0.2126, 0.7152, 0.0722), parts, strict=True)
        )

    assert (1 + 0.05) / (luminance(ink) + 0.05) > 7
    assert Path(points=()).line == "black"
