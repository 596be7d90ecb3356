"""Papers of the day as PDF, read back with another library: sizes, figures in millimetres, and a bad copier."""

from __future__ import annotations

import io

import numpy as np
import pdfplumber
import pytest
from PIL import Image, ImageFilter

from papers import a_day, every_paper
from skimwright.base.drawing import Drawing
from skimwright.desk.race.day_papers import FIGURES, lane_sign
from skimwright.paper import pdf
from skimwright.paper.svg import INKS

MM = 72 / 25.4  # points
LEAST_CONTRAST = 7.0  # WCAG 2.2, success criterion 1.4.6, for words


def read(drawings: list[Drawing]) -> pdfplumber.PDF:
    return pdfplumber.open(io.BytesIO(pdf(drawings, title="Papers")))


def picture(page: pdfplumber.page.Page, dpi: int) -> Image.Image:
    return page.to_image(resolution=dpi).original.convert("L")


@pytest.mark.parametrize(
    ("paper", "sheet", "board", "half"),
    [
        ("a4", (210.0, 297.0), (297.0, 420.0), (297.0, 210.0)),
        ("letter", (215.9, 279.4), (279.4, 431.8), (279.4, 215.9)),
    ],
)
def test_pages_are_the_sizes_a_printer_knows(paper, sheet, board, half):
    papers = every_paper(a_day(), paper)
    sizes = {"board": board, "strips": board, "run-log": half}
    for name, drawings in papers.items():
        with read(drawings[:2]) as book:
            for page in book.pages:
                wanted = sizes.get(name, sheet)
                assert (page.width / MM, page.height / MM) == pytest.approx(wanted, abs=0.01), name


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_word_read_back_is_inside_its_page(paper):
    for name, drawings in every_paper(a_day(), paper).items():
        with read(drawings) as book:
            for page in book.pages:
                assert page.chars, name
                assert min(char["x0"] for char in page.chars) > 3 * MM
                assert max(char["x1"] for char in page.chars) < page.width - 2 * MM
                assert all(
                    3 * MM < char["matrix"][5] < page.height - 3 * MM for char in page.chars
                )  # base lines


def test_words_come_back_as_they_were_written():
    day = a_day()
    with read(every_paper(day, "a4")["heats"]) as book:
        text = book.pages[0].extract_text()
    for said in (
        "Rush, round 1",
        "Planned 10:15",
        "Nine Yards",
        "Copper Spoon",
        "WHAT COUNTS",
        "FINISH A",
        "FINISH B",
    ):
        assert said in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_figures_on_the_call_board_measure_forty_millimetres_in_ink(paper):
    dpi = 100
    with read(every_paper(a_day(), paper)["board"]) as book:
        (page,) = book.pages
        image = np.asarray(picture(page, dpi)) < 128
        figures = [char for char in page.chars if char["size"] > 50 * MM and char["text"].isdigit()]
        assert len(figures) == 3 + 2 * 17
        scale = dpi / 72
        for char in figures:
            left, right = char["x0"] * scale, char["x1"] * scale
            base = page.height - char["matrix"][5]
            inset = int(0.1 * char["size"] * scale)  # beside the dividing lines
            inked = image[:, int(left) + inset : int(right) - inset].any(axis=1)
            middle = int((base - 20 * MM) * scale)
            top = middle - int(np.argmin(inked[middle::-1])) + 1
            bottom = middle + int(np.argmin(inked[middle:]))
            tall = (bottom - top) / dpi * 25.4
            assert FIGURES - 0.4 <= tall <= FIGURES + 2.0, char["text"]


def test_the_ink_stands_out_from_the_paper():
    """Contrast as WCAG 2.2 defines it; every mark of these papers is in the one ink."""

    def light(colour: str) -> float:
        parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
        r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    contrast = (light(INKS["white"]) + 0.05) / (light(INKS["black"]) + 0.05)
    assert contrast == pytest.approx(17.4, abs=0.05)
    assert contrast > LEAST_CONTRAST


# a bad copier


def copied(image: Image.Image, times: int) -> Image.Image:
    """Each copy blurs by a quarter millimetre, darkens, and throws the greys away."""
    for _ in range(times):
        image = image.filter(ImageFilter.GaussianBlur(1.5)).point(lambda v: 0 if v < 150 else 255)
    return image


def signs(size: float, dpi: int) -> list[np.ndarray]:
    """Each lane's sign without its numeral, as a picture."""
    pages = [
        Drawing(width=30, height=30, marks=tuple(lane_sign(lane, 15, 15, size=size)[:-1]), title="sign")
        for lane in range(1, 7)
    ]
    with read(pages) as book:
        return [np.asarray(copied(picture(page, dpi), 0), dtype=float) for page in book.pages]


@pytest.mark.parametrize("size", [14.0, 6.4], ids=["on the sheet", "on the slip"])
def test_lane_signs_are_told_apart_after_three_bad_copies_without_their_numerals(size):
    clean = signs(size, 150)
    for lane, sign in enumerate(clean):
        bad = np.asarray(copied(Image.fromarray(sign.astype("uint8")), 3), dtype=float)
        likeness = [np.corrcoef(bad.ravel(), other.ravel())[0, 1] for other in clean]
        order = np.argsort(likeness)[::-1]
        assert order[0] == lane
        assert likeness[order[0]] - likeness[order[1]] > 0.1


def test_fills_of_the_signs_differ_in_grey():
    """Share of ink inside the outline, patch left out: white, ruled three ways, crossed, solid."""
    shares = []
    for lane in range(1, 7):
        marks = lane_sign(lane, 15, 15, size=20)
        inside = Drawing(width=30, height=30, marks=tuple(marks[:-2]), title="")
        whole = Drawing(width=30, height=30, marks=(), title="")
        with read([inside, whole]) as book:
            ink = np.asarray(picture(book.pages[0], 200)) < 128
        shares.append(ink[108:128, 108:128].mean())  # the middle, where only the fill is
    white, *ruled, crossed, solid = shares
    assert white == 0
    assert all(0.1 < share < 0.35 for share in ruled)
    assert crossed > max(ruled) + 0.05
    assert solid == 1
