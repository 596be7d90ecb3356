"""Drawings printed as PDF, read back with another library; and the guide as the command writes it."""

from __future__ import annotations

import io
import itertools
import json
import math
import time
import tomllib
from pathlib import Path as FilePath

import pdfplumber
import pypdf
import pytest

from skimwright import app
from skimwright.base.drawing import Dot, Drawing, Path, Words, line, shape
from skimwright.base.page import Columns, Heading, Link, Notice, Page, Picture, Table, Text
from skimwright.kit import guide
from skimwright.paper import page_pdf, pdf

MM = 72 / 25.4  # points
KIT = str(FilePath(app.__file__).parent / "demo_season" / "kits" / "fold-62.toml")


def read(raw: bytes) -> pdfplumber.PDF:
    return pdfplumber.open(io.BytesIO(raw))


def ends(thing: dict, page) -> list[tuple[float, float]]:
    """Corners of a line or curve in mm from the page's top left corner."""
    return [(x / MM, y / MM) for x, y in thing["pts"]]


def test_a_page_is_as_large_as_its_drawing_and_lines_are_where_they_were_drawn() -> None:
    drawn = Drawing(
        width=762,
        height=508,
        marks=(
            line((10, 20), (110, 20), (110, 95.5), width=0.5),
            shape((200, 100), (420.25, 100), (300, 300.75), width=0.3, fill="pale"),
            Dot(at=(600, 400), radius=0.6),
        ),
        title="Shapes",
    )
    with read(pdf([drawn], title="T")) as book:
        page = book.pages[0]
        assert float(page.width) / MM == pytest.approx(762, abs=1e-3)
        assert float(page.height) / MM == pytest.approx(508, abs=1e-3)
        found = [
            point
            for kind in (page.lines, page.curves, page.rects)
            for thing in kind
            for point in ends(thing, page)
        ]
    for x, y in ((10, 20), (110, 20), (110, 95.5), (200, 100), (420.25, 100), (300, 300.75)):
        assert min(math.dist((x, y), point) for point in found) < 0.01, (x, y)


@pytest.mark.parametrize("anchor, share", [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_words_hang_from_their_anchor_on_the_base_line(anchor, share: float) -> None:
    drawn = Drawing(
        width=200, height=100, marks=(Words(at=(100, 50), text="HULL", size=10, anchor=anchor),), title="W"
    )
    with read(pdf([drawn], title="T")) as book:
        chars = book.pages[0].chars
    left, right = chars[0]["x0"] / MM, chars[-1]["x1"] / MM
    assert left + share * (right - left) == pytest.approx(100, abs=0.05)
    base = (book.pages[0].height - chars[0]["matrix"][5]) / MM
    assert float(base) == pytest.approx(50, abs=0.01)
    assert float(chars[0]["size"]) / MM == pytest.approx(10, abs=0.01)


def test_any_sign_a_person_may_type_is_only_a_sign() -> None:
    text = 'a "b" \\c #d $e$ *f* _g_ @h [i] <j> // k 4.0° ± é'
    with read(
        pdf([Drawing(width=250, height=30, marks=(Words(at=(5, 15), text=text),), title="S")], title='"#')
    ) as book:
        assert book.pages[0].extract_text() == text


def test_the_same_drawings_give_the_same_bytes_and_the_day_is_only_the_one_given() -> None:
    page = Drawing(width=50, height=50, marks=(Words(at=(5, 15), text="Same"),), title="S")
    once = pdf([page], title="T", timestamp=1_700_000_000)
    assert once == pdf([page], title="T", timestamp=1_700_000_000)
    assert once != pdf([page], title="T", timestamp=1_800_000_000)
    info = pypdf.PdfReader(io.BytesIO(once)).metadata
    assert info.creation_date.date().isoformat() == "2023-11-14"
    assert info.title == "T"


def test_only_the_vendored_face_is_used_and_it_is_inside_the_file() -> None:
    marks = (Words(at=(5, 15), text="Plain"), Words(at=(5, 25), text="Bold", bold=True))
    with read(pdf([Drawing(width=60, height=40, marks=marks, title="F")], title="T")) as book:
        names = {char["fontname"].split("+")[-1] for char in book.pages[0].chars}
    assert names == {"Andika", "Andika-Bold"}


def test_marks_lie_over_one_another_in_their_order() -> None:
    import pypdfium2

    square = ((5, 5), (15, 5), (15, 15), (5, 15))
    marks = (
        Path(points=square, closed=True, fill="black"),
        Path(points=square, closed=True, fill="white", line=None),
        line((5, 10), (15, 10), width=1.0),
    )
    raw = pdf([Drawing(width=20, height=20, marks=marks, title="O")], title="T")
    picture = pypdfium2.PdfDocument(raw)[0].render(scale=10).to_pil().convert("L")
    wide, high = picture.size
    assert picture.getpixel((wide * 8 // 20, high * 8 // 20)) > 250
    assert picture.getpixel((wide * 10 // 20, high * 10 // 20)) < 60


def test_a_document_without_a_page_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a page"):
        pdf([], title="T")


# ---------------------------------------------------------------- pages that flow


def bar_page(*, long: float, wide: float) -> Page:
    """A page with one straight line of a length in a picture of a width."""
    drawing = Drawing(width=wide, height=20, marks=(line((5, 10), (5 + long, 10)),), title="Bar")
    rows = (("length", "620"), ("a [link] & #all", Link(text="Gravel", to="gravel.html")))
    return Page(
        title="Boat *07*",
        over="Rush",
        foot="edition acab63",
        blocks=(
            Heading(text="Numbers"),
            Text(text="A $sentence$."),
            Notice(state="stop", text="Do not run it."),
            Table(head=("what", "mm"), rows=rows, numbers=(1,), caption="Measured"),
            Picture(drawing=drawing, caption="Under"),
            Columns(stacks=((Text(text="Left."),), (Text(text="Right.", small=True),))),
        ),
    )


def test_every_word_of_a_page_is_printed_and_its_foot_stands_below() -> None:
    with read(page_pdf([bar_page(long=100, wide=120)] * 2, title="T", paper="letter")) as book:
        assert len(book.pages) == 2
        page = book.pages[1]
        text = page.extract_text()
    assert float(page.width) / MM == pytest.approx(215.9, abs=0.01)
    for said in ("Boat *07*", "Rush", "Numbers", "A $sentence$.", "STOP. Do not run it.", "Measured", "620"):
        assert said in text
    for said in ("a [link] & #all", "Gravel", "Under", "Left.", "Right.", "edition acab63", "2 / 2"):
        assert said in text


@pytest.mark.parametrize("wide, long", [(120.0, 100.0), (364.0, 50.0)])
def test_a_picture_keeps_its_size_if_the_page_is_wide_enough(wide: float, long: float) -> None:
    with read(page_pdf([bar_page(long=100, wide=wide)], title="T")) as book:
        lengths = [math.dist(*ends(thing, None)) for thing in book.pages[0].lines if len(thing["pts"]) == 2]
    assert min(abs(length - long) for length in lengths) < 0.01  # 364 mm has to become 182 mm


def test_a_flowing_document_without_a_page_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a page"):
        page_pdf([], title="T")


# ---------------------------------------------------------------- the guide


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict, bytes]:
    out = tmp_path_factory.mktemp("guide") / "guide.pdf"
    from contextlib import redirect_stdout

    with redirect_stdout(io.StringIO()) as said:
        assert app.run(["guide", KIT, "--out", str(out), "--json"]) == 0
    return json.loads(said.getvalue()), out.read_bytes()


def test_the_answer_says_what_was_written(written) -> None:
    data, raw = written
    with read(raw) as book:
        assert len(book.pages) == data["pages"]
    assert len(data["files"]) == 1
    assert sorted(name for step in data["steps"] for name in step["parts"])[0] == "CRADLE-1 left"
    assert sum(len(step["parts"]) for step in data["steps"]) == 23
    assert data["reading_grade"] <= data["reading_limit"] == 5
    assert data["glue_g"] == pytest.approx(18, abs=0.01)


def test_the_edition_is_on_every_page_and_each_step_has_its_own(written) -> None:
    data, raw = written
    with read(raw) as book:
        texts = [page.extract_text() for page in book.pages]
    assert all(data["edition"] in text for text in texts)
    for step in data["steps"]:
        found = [text for text in texts if f"Step {step['step']} of {len(data['steps'])}" in text]
        assert len(found) == 1
        assert step["title"] in found[0]
        assert ("SHOW ME" in found[0]) is step["show_me"]
        assert all(name.split()[0] in found[0] for name in step["parts"])


def test_the_bar_is_100_mm_and_the_cards_have_their_angles(written) -> None:
    _, raw = written
    with read(raw) as book:
        page = next(page for page in book.pages if "PAD CARD" in page.extract_text())
        lines = [ends(thing, page) for kind in (page.lines, page.curves) for thing in kind]
    flat = [
        math.dist(a, b) for a, b in zip(*[[p[i] for p in lines if len(p) == 2] for i in (0, 1)], strict=True)
    ]
    assert min(abs(length - 100) for length in flat) < 0.01
    slopes = set()
    for points in lines:
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            if math.dist((x0, y0), (x1, y1)) > 150:
                slopes.add(round(math.degrees(math.atan2(abs(y1 - y0), abs(x1 - x0))), 2))
    assert {0.0, 3.41, 4.0} <= slopes


def test_the_guide_is_the_same_bytes_each_time(written, tmp_path) -> None:
    out = tmp_path / "again.pdf"
    assert app.run(["guide", KIT, "--out", str(out), "--plain"]) == 0
    assert out.read_bytes() == written[1]


def test_the_guide_of_a_kit_takes_less_than_two_seconds(kits) -> None:
    words = tomllib.loads((FilePath(app.__file__).parent / "kit" / "words" / "en.toml").read_text("utf8"))
    language = guide.GuideWords(table=words, first=words)
    began = time.process_time()
    pages = guide.guide_pages(guide.build_guide(kits["fold-74"]), language)
    raw = pdf(pages, title="Guide")
    assert time.process_time() - began < 2.0  # of a processor; 0.8 s when nothing else runs
    assert len(raw) < 400_000


def test_letter_paper_and_one_lost_part(tmp_path, capsys) -> None:
    out = tmp_path / "part.pdf"
    assert app.run(["guide", KIT, "--part", "pod-1", "--paper", "Letter", "--out", str(out), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["pages"] == 1
    with read(out.read_bytes()) as book:
        assert float(book.pages[0].width) / MM == pytest.approx(215.9, abs=0.01)
        assert "POD-1 right: two nicks" in book.pages[0].extract_text()


@pytest.mark.parametrize(
    "words, says",
    [
        (["--language", "fr"], '--language: not one of those we have: got "fr"; allowed: en.'),
        (
            ["--part", "WALL-2"],
            '--part: Fold 62 has no part of this name: got "WALL-2"; allowed: DECK-1, RIB-1',
        ),
        (["--group", "Rus"], "allowed: Cress, Rush, Reed, Willow. Did you mean Rush?"),
        (["--paper", "a5"], 'got "a5"; allowed: a4, letter.'),
        (
            ["--supervision", "four"],
            'not a ratio of adults to pupils: got "four"; allowed: two whole numbers such as 1:4.',
        ),
    ],
)
def test_a_wrong_word_is_one_sentence(words, says, tmp_path, capsys) -> None:
    assert app.run(["guide", KIT, "--out", str(tmp_path / "x.pdf"), *words]) == 2
    error = capsys.readouterr().err
    assert says in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())
