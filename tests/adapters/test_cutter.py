"""Cutter files read back by an XML reader and a DXF library: units, layers, coordinates."""

from __future__ import annotations

import io
import math
import re
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest

from skimwright import desk, paper
from skimwright.kit import ShelfPacker, blank

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def layout(kits):
    return desk.lay_out([(kits["fold-62"], 1)], packer=ShelfPacker(), sheet=(1.0, 0.8), seconds=0.2)


@pytest.fixture(scope="module")
def sheet(layout):
    return desk.cutter_sheets(layout)[0]


def expected(layout):
    """Outlines on the first sheet, worked here from the placements. [mm, y up]"""
    kit = layout.kits[0][0]
    outlines = {}
    for place in layout.nest.placements:
        if place.sheet == 0:
            c, s = math.cos(math.radians(place.turn)), math.sin(math.radians(place.turn))
            flat = blank(kit.part(place.key), kit).outline
            outlines[place.key] = (
                np.array([(c * x - s * y + place.x, s * x + c * y + place.y) for x, y in flat]) * 1e3
            )
    return outlines


def svg_rings(text):
    """By layer: the corners of every path, y turned up again. [mm]"""
    root = ElementTree.fromstring(text)
    wide, high = (float(re.fullmatch(r"([\d.]+)mm", root.get(side))[1]) for side in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {wide:g} {high:g}", "a unit is a millimetre"
    found = {}
    for group in root.iter(f"{SVG}g"):
        rings = []
        for path in group.iter(f"{SVG}path"):
            numbers = [float(n) for n in re.findall(r"-?\d+\.\d+", path.get("d"))]
            points = np.array(numbers).reshape(-1, 2)
            rings.append((np.column_stack([points[:, 0], high - points[:, 1]]), path.get("d").endswith("Z")))
        found[group.get("id")] = rings
    return (wide, high), found


def dxf_rings(document):
    found = {}
    for entity in document.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            points = np.array([(x, y) for x, y, *_ in entity.get_points()])
            found.setdefault(entity.dxf.layer, []).append((points, entity.closed))
        elif entity.dxftype() == "POLYLINE":
            points = np.array([(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices])
            found.setdefault(entity.dxf.layer, []).append((points, entity.is_closed))
    return found


def has(rings, points, tolerance=0.01):
    return any(
        len(ring) == len(points) and closed and np.abs(ring - points).max() <= tolerance
        for ring, closed in rings
    )


def test_an_svg_declares_millimetres_and_holds_every_outline_to_a_hundredth(layout, sheet):
    size, found = svg_rings(paper.cutter_svg(sheet))
    assert size == pytest.approx((layout.nest.sheets[0].width * 1e3, layout.nest.sheets[0].height * 1e3))
    assert list(found) == ["MARK", "SCORE", "CUT"]
    outlines = expected(layout)
    assert len(outlines) > 5
    for name, points in outlines.items():
        assert has(found["CUT"], points), name
        assert not has(found["CUT"], points * 1.0003), "another scale would pass"


def test_a_dxf_declares_millimetres_passes_its_audit_and_holds_every_outline(layout, sheet):
    document = ezdxf.read(io.StringIO(paper.cutter_dxf(sheet)))
    assert document.dxfversion == "AC1024"  # R2010
    assert document.header["$INSUNITS"] == 4  # millimetres
    assert document.header["$MEASUREMENT"] == 1
    assert not document.audit().errors
    assert {"CUT", "SCORE", "MARK"} <= {layer.dxf.name for layer in document.layers}
    found = dxf_rings(document)
    for name, points in expected(layout).items():
        assert has(found["CUT"], points), name


def test_both_forms_hold_the_same_lines(sheet):
    _, svg = svg_rings(paper.cutter_svg(sheet))
    dxf = dxf_rings(ezdxf.read(io.StringIO(paper.cutter_dxf(sheet))))
    assert {layer: len(rings) for layer, rings in svg.items()} == {
        layer: len(rings) for layer, rings in dxf.items()
    }
    for layer in svg:
        for (a, a_closed), (b, b_closed) in zip(svg[layer], dxf[layer], strict=True):
            assert a == pytest.approx(b, abs=0.001)
            assert a_closed == b_closed


def test_a_100_mm_square_on_the_pens_layer_shows_that_the_scale_was_kept(sheet):
    for found in (
        svg_rings(paper.cutter_svg(sheet))[1],
        dxf_rings(ezdxf.read(io.StringIO(paper.cutter_dxf(sheet)))),
    ):
        squares = [
            ring for ring, closed in found["MARK"]
            if closed and len(ring) == 4 and np.ptp(ring, axis=0) == pytest.approx([100, 100], abs=1e-3)
        ]  # fmt: skip
        assert len(squares) == 1


def test_every_part_and_its_edition_are_written_on_the_pens_layer(layout, sheet):
    document = ezdxf.read(io.StringIO(paper.cutter_dxf(sheet)))
    texts = {e.dxf.text for e in document.modelspace().query("TEXT") if e.dxf.layer == "MARK"}
    edition = layout.kits[0][0].edition
    assert {f"{name} {edition}" for name in expected(layout)} <= texts
    svg = ElementTree.fromstring(paper.cutter_svg(sheet))
    assert texts == {word.text for word in svg.iter(f"{SVG}text")}


def test_the_old_dxf_form_holds_the_same_lines_and_is_written_without_a_murmur(layout, sheet, caplog):
    made = paper.cutter_dxf(sheet, version="r12")
    assert not caplog.records
    document = ezdxf.read(io.StringIO(made))
    assert document.dxfversion == "AC1009"  # R12
    found = dxf_rings(document)
    for name, points in expected(layout).items():
        assert has(found["CUT"], points), name


def test_a_slanted_edge_is_marked_for_trimming_because_a_machine_cuts_square(layout, sheet):
    slanted = [line for line in sheet.lines if line.layer == "MARK" and "trims to here" in line.what]
    drawn = sum(5 * math.tan(lean) > 0.15 for name in expected(layout) for lean in layout.blanks[name].leans)
    assert len(slanted) == drawn > 5


def test_a_name_with_odd_signs_survives_both_forms(sheet):
    from dataclasses import replace

    odd = replace(sheet, name='<Möwe & "Söhne">, sheet 1 of 1')
    ElementTree.fromstring(paper.cutter_svg(odd))
    assert not ezdxf.read(io.StringIO(paper.cutter_dxf(odd))).audit().errors
