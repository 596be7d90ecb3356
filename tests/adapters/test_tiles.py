"""Pages read back with libraries that had no part in making them: are millimetres millimetres?"""

from __future__ import annotations

import io
import math

import numpy as np
import pdfplumber
import pypdfium2
import pytest
import shapely
from pypdf import PdfReader

from skimwright import desk, paper
from skimwright.base.drawing import Drawing, Path, Words, shape
from skimwright.kit import ShelfPacker, blank, sheet_template, single_part_nest

POINT = 25.4 / 72  # mm
A4, LETTER = (210.0, 297.0), (215.9, 279.4)


@pytest.fixture(scope="module")
def layout(kits):
    """Fold 62 on roomy sheets, packed without the library."""
    return desk.lay_out([(kits["fold-62"], 1)], packer=ShelfPacker(), sheet=(1.0, 0.8), seconds=0.2)


@pytest.fixture(scope="module")
def sheets_pdf(layout):
    return paper.pdf([template.drawing for template in desk.templates(layout)], title="t")


@pytest.fixture(scope="module", params=["a4", "letter"])
def tiled(layout, request):
    """The first sheet's template, its pages and their PDF."""
    template = desk.templates(layout, bar=False)[0]
    pages = paper.tiles(template.drawing, paper=request.param, areas=template.areas, foot=layout.editions)
    return template, request.param, pages, paper.pdf(pages, title="t")


def rings(page):
    """Every line and shape of a page as points from its top left corner. [mm]"""
    found = []
    for kind in (page.curves, page.lines, page.rects):
        for item in kind:
            points = list(item["pts"])
            if item["path"][-1][0] == "h" or kind is page.rects:
                points.append(points[0])
            if len(points) >= 2:
                found.append(np.array(points) * POINT)
    return found


def expected(layout, number):
    """Outlines on a sheet, worked here from the placements alone: turn, move, millimetres, y down. [mm]"""
    outlines = {}
    kit = layout.kits[0][0]
    for place in layout.nest.placements:
        if place.sheet != number:
            continue
        flat = blank(kit.part(place.key), kit).outline
        c, s = math.cos(math.radians(place.turn)), math.sin(math.radians(place.turn))
        moved = [(c * x - s * y + place.x, s * x + c * y + place.y) for x, y in flat]
        high = layout.nest.sheets[number].height
        outlines[place.key] = [(1e3 * x, 1e3 * (high - y)) for x, y in moved]
    return outlines


def is_there(points, drawn, tolerance):
    """Whether some drawn ring has just these corners, in any order round."""
    want = np.array(points)
    for ring in drawn:
        if len(ring) >= len(want):
            away = np.linalg.norm(want[:, None] - ring[None, :], axis=2)
            if away.min(axis=1).max() <= tolerance and away.min(axis=0).max() <= tolerance:
                return True
    return False


def test_a_full_size_page_is_as_large_as_its_sheet_and_has_every_outline_to_a_hundredth(layout, sheets_pdf):
    with pdfplumber.open(io.BytesIO(sheets_pdf)) as document:
        assert len(document.pages) == len(layout.nest.sheets)
        for number, page in enumerate(document.pages):
            sheet = layout.nest.sheets[number]
            assert page.width * POINT == pytest.approx(sheet.width * 1e3, abs=0.01)
            assert page.height * POINT == pytest.approx(sheet.height * 1e3, abs=0.01)
            drawn = rings(page)
            outlines = expected(layout, number)
            assert outlines
            for name, points in outlines.items():
                assert is_there(points, drawn, 0.01), name
                assert not is_there(np.array(points) * 1.0003, drawn, 0.01), "a shrunk page would pass"


def test_a_second_library_reads_the_same_page_sizes_and_the_edition_on_every_page(layout, sheets_pdf):
    reader = PdfReader(io.BytesIO(sheets_pdf))
    for sheet, page in zip(layout.nest.sheets, reader.pages, strict=True):
        assert float(page.mediabox.width) * POINT == pytest.approx(sheet.width * 1e3, abs=0.01)
        assert layout.kits[0][0].edition in page.extract_text()


def test_no_letter_lies_on_a_cut_line(sheets_pdf):
    with pdfplumber.open(io.BytesIO(sheets_pdf)) as document:
        for page in document.pages:
            lines = shapely.union_all([shapely.LineString(ring) for ring in rings(page)])
            for char in page.chars:
                if char["text"].strip():
                    box = shapely.box(char["x0"], char["top"], char["x1"], char["bottom"])
                    middle = shapely.affinity.scale(shapely.transform(box, lambda p: p * POINT), 0.5, 0.5)
                    assert not middle.intersects(lines), char["text"]


# --- small pages --------------------------------------------------------------------------------------


def test_every_small_page_has_its_name_the_bar_the_check_box_and_the_edition(layout, tiled):
    _, size, pages, made = tiled
    with pdfplumber.open(io.BytesIO(made)) as document:
        assert len(document.pages) == len(pages)
        for page in document.pages:
            sides = sorted((page.width * POINT, page.height * POINT))
            assert sides == pytest.approx(sorted({"a4": A4, "letter": LETTER}[size]), abs=0.01)
            said = page.extract_text()
            for words in ("I measured", "100 mm", layout.kits[0][0].edition, "actual size"):
                assert words in said
            bars = [
                r
                for r in rings(page)
                if len(r) == 2 and abs(np.ptp(r[:, 0]) - 100) < 0.005 and np.ptp(r[:, 1]) < 1e-3
            ]
            assert len(bars) == 1
            ink = np.vstack(rings(page))
            assert ink.min() >= 10 - 0.01
            assert (ink.max(axis=0) <= np.array((page.width, page.height)) * POINT - 10 + 0.9).all()


def windows(pages):
    """Row and column of each page from its own name."""
    names = [page.title.split(", ")[-2] for page in pages]
    return [(ord(name[0]) - 65, int(name[1:]) - 1) for name in names]


def crosses(page):
    """Middles of the joining marks, from their little circles. [mm]"""
    found = []
    for item in page.curves:
        points = np.array(item["pts"]) * POINT
        size = np.ptp(points, axis=0)
        if size == pytest.approx([2.4, 2.4], abs=0.01):
            found.append((points.min(axis=0) + points.max(axis=0)) / 2)
    return np.array(found)


def test_pages_laid_cross_on_cross_give_back_every_outline(layout, tiled):
    """Only what is printed is used: names give neighbours, crosses give the offset."""
    _, _, pages, made = tiled
    places = windows(pages)
    with pdfplumber.open(io.BytesIO(made)) as document:
        marks = {place: crosses(page) for place, page in zip(places, document.pages, strict=True)}
        lines = {place: rings(page) for place, page in zip(places, document.pages, strict=True)}
    offsets, worst = lay_together(marks)
    assert set(offsets) == set(places)
    assert worst < 0.5  # capability B5: corners meet within 0.5 mm
    assert worst < 0.01  # and in fact as exactly as the file can say

    seen = shapely.STRtree(
        [shapely.LineString(ring + offsets[place]) for place in places for ring in lines[place]]
    )
    outlines = expected(layout, 0)
    shift = registration(outlines, lines, offsets)
    for name, points in outlines.items():
        ring = shapely.LinearRing(np.array(points) + shift)
        steps = shapely.line_interpolate_point(ring, np.arange(0.0, ring.length, 0.5))
        _, away = seen.query_nearest(steps, return_distance=True, all_matches=False)
        assert away.max() < 0.05, f"{name} is {away.max():.2f} mm from any line at some place"


def lay_together(marks):
    """Offsets of pages so that neighbours' crosses meet, and the worst distance left between two that should."""
    start = min(marks)
    offsets, todo, worst = {start: np.zeros(2)}, [start], 0.0
    while todo:
        here = todo.pop()
        for step in ((0, 1), (1, 0), (0, -1), (-1, 0)):
            there = (here[0] + step[0], here[1] + step[1])
            if there not in marks:
                continue
            axis = 1 if step[0] else 0
            sign = step[0] + step[1]
            far = extreme(marks[here], axis, sign)
            near = extreme(marks[there], axis, -sign)
            assert len(far) == len(near) >= 2
            moves = far - near
            worst = max(worst, float(np.ptp(moves, axis=0).max()))
            offset = offsets[here] + moves.mean(axis=0)
            if there in offsets:
                worst = max(worst, float(np.abs(offsets[there] - offset).max()))
            else:
                offsets[there] = offset
                todo.append(there)
    return offsets, worst


def extreme(points, axis, sign):
    """The crosses along one side, in order."""
    edge = (points[:, axis] * sign).max()
    side = points[points[:, axis] * sign > edge - 0.5]
    return side[np.argsort(side[:, 1 - axis])]


def registration(outlines, lines, offsets):
    """Where the sheet lies under the joined pages, from a part that is whole on one page and like no other."""
    sizes = {name: np.ptp(np.array(points), axis=0) for name, points in outlines.items()}
    for place, drawn in lines.items():
        for ring in drawn:
            like = [name for name, size in sizes.items() if np.abs(np.ptp(ring, axis=0) - size).max() < 0.005]
            if len(like) == 1 and len(ring) >= 4:
                return ring.min(axis=0) - np.array(outlines[like[0]]).min(axis=0) + offsets[place]
    raise AssertionError("no part is whole on any page")


def test_pages_without_a_line_are_left_out():
    marks = (shape((10, 10), (60, 10), (60, 60)), shape((900, 700), (950, 700), (950, 750)))
    pages = paper.tiles(Drawing(width=1000, height=800, marks=marks, title="Two corners"), paper="a4")
    assert len(pages) == 2


def test_a_drawing_without_lines_has_no_pages():
    with pytest.raises(ValueError, match="without lines"):
        paper.tiles(Drawing(width=100, height=100, marks=(), title="Nothing"), paper="a4")


@pytest.mark.parametrize("size, count", [("a4", 6), ("letter", 6)])
def test_the_deck_of_fold_62_takes_six_pages(kits, size, count):
    """Capability B5: DECK-1 62: 6 pages."""
    kit = kits["fold-62"]
    laid, sheet = single_part_nest(blank(kit.part("DECK-1"), kit))
    template = sheet_template(laid, sheet, title="DECK-1", bar=False)
    assert len(paper.tiles(template.drawing, paper=size, areas=template.areas)) == count


def test_a_small_part_alone_takes_one_page(kits):
    kit = kits["fold-62"]
    for part in ("PAD-1 left", "FIN-2", "CRADLE-1 right", "POD-1 left"):
        laid, sheet = single_part_nest(blank(kit.part(part), kit))
        template = sheet_template(laid, sheet, title=part, bar=False)
        pages = paper.tiles(template.drawing, paper="a4", areas=template.areas)
        assert len(pages) == 1
        assert part in {mark.text for mark in pages[0].marks if isinstance(mark, Words)}


def test_every_page_names_each_part_that_it_shows_enough_of(tiled):
    template, _, pages, _ = tiled
    for page, (row, column) in zip(pages, windows(pages), strict=True):
        texts = {mark.text for mark in page.marks if isinstance(mark, Words)}
        assert any(name in texts for name, _ in template.areas), (row, column)


# --- as a printer sees it -----------------------------------------------------------------------------


def test_the_bar_measures_100_mm_on_a_rasterised_page(tiled):
    """254 dots an inch are 10 a millimetre: the bar's two ends, within 0.3 mm."""
    _, _, _, made = tiled
    page = pypdfium2.PdfDocument(made)[0]
    picture = np.array(page.render(scale=254 / 72, grayscale=True).to_numpy()).squeeze()
    bottom = picture[int(picture.shape[0] - 250) :, :]  # the foot of the page
    longest = max(run_length(row < 128) for row in bottom)
    assert longest / 10 == pytest.approx(100.0, abs=0.3 + 0.4)  # the line's own width at its ends: 0.4 mm
    ticks = tick_columns(bottom)
    assert len(ticks) == 3  # the long ones: 0, 50, 100
    assert (ticks[-1] - ticks[0]) / 10 == pytest.approx(100.0, abs=0.3)


def run_length(dark):
    """Longest run of dark dots in a row."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dark.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max()) if len(edges) else 0


def tick_columns(bottom):
    """Middles of the dark columns 2.4 mm above the bar, between its ends."""
    row = max(range(len(bottom)), key=lambda r: run_length(bottom[r] < 128))
    bar = np.flatnonzero(np.convolve(bottom[row] < 128, np.ones(900), "valid") > 899)
    above = bottom[row - 24, bar[0] - 10 : bar[-1] + 910] < 128
    edges = np.flatnonzero(np.diff(np.concatenate([[0], above.astype(int), [0]])))
    return [(a + b - 1) / 2 for a, b in zip(edges[::2], edges[1::2], strict=True)]


def test_turned_words_stand_at_their_anchor_on_a_page_narrower_than_their_line():
    """Middle-anchored words turned a quarter stay where they were put, on any page."""
    words = Words(at=(50, 80), text="turned", size=5, anchor="middle", turn=-90)
    made = paper.pdf([Drawing(width=100, height=160, marks=(words,), title="t")], title="t")
    with pdfplumber.open(io.BytesIO(made)) as document:
        chars = document.pages[0].chars
    middle = (min(c["top"] for c in chars) + max(c["bottom"] for c in chars)) / 2 * POINT
    assert middle == pytest.approx(80, abs=1.5)
    assert min(c["x0"] for c in chars) * POINT == pytest.approx(50, abs=7)


def test_a_path_across_a_window_is_cut_at_it_and_nothing_is_added():
    square = Path(points=((0, 0), (300, 0), (300, 300), (0, 300)), closed=True)
    pages = paper.tiles(Drawing(width=300, height=300, marks=(square,), title="t"), paper="a4")
    total = 0.0
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Path) and mark.width == 0.3 and not mark.fill and len(mark.points) < 5:
                points = np.array(mark.points + mark.points[:1] * mark.closed)
                in_window = points[:, 1].max() < page.height - 10 - 17 + 1e-6
                total += in_window * np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    overlaps = total - 1200
    assert overlaps >= 0
    assert overlaps == pytest.approx(round(overlaps / 12) * 12, abs=0.01)
