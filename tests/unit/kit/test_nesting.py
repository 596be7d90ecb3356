"""The search, with packers that need no library: plain, crashing, lying and scripted ones."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skimwright.base import ModelError
from skimwright.kit import (
    BoardSheet,
    NestItem,
    PackerFailed,
    ShelfPacker,
    Strip,
    nest_parts,
    verify_nest,
)

A1 = BoardSheet(width=0.841, height=0.594, name="A1")
FOLD = json.loads((Path(__file__).parents[3] / "bench" / "shapes" / "fold.json").read_text("utf8"))["kits"]


def kit(name, boats=1):
    """The parts of an invented demonstration kit."""
    return [
        NestItem(key=p["part"], outline=np.array(p["outline_mm"]) / 1000, quantity=p["quantity"] * boats)
        for p in FOLD[name]
    ]


def box(key, width_mm, height_mm, quantity=1, **more):
    outline = np.array([[0, 0], [width_mm, 0], [width_mm, height_mm], [0, height_mm]], dtype=float) / 1000
    return NestItem(key=key, outline=outline, quantity=quantity, **more)


class Recorder:
    """A shelf packer that remembers what it was asked."""

    def __init__(self, seconds=0.0):
        self.jobs, self.seconds = [], seconds

    def pack(self, job, *, stop=None, progress=None):
        self.jobs.append(job)
        return replace(ShelfPacker().pack(job, stop=stop, progress=progress), seconds=self.seconds)


class Crasher:
    """A packer that never answers."""

    def pack(self, job, *, stop=None, progress=None):
        raise PackerFailed(what="The packing library gave no layout", do="Try again.")


class Liar:
    """A packer that claims a short strip by laying everything in one heap."""

    def pack(self, job, *, stop=None, progress=None):
        honest = ShelfPacker().pack(job)
        heap = tuple(replace(p, x=0.1, y=0.1, turn=0.0) for p in honest.placements)
        return Strip(width=job.enough / 2, placements=heap, seconds=0.1)


def test_a_kit_is_23_parts():
    assert [sum(item.quantity for item in kit(name)) for name in FOLD] == [23, 23, 23]


@pytest.mark.parametrize(
    "name, boats, least", [("Fold 50", 6, 4), ("Fold 62", 6, 6), ("Fold 74", 6, 8), ("Fold 74", 1, 2)]
)
def test_a_nest_holds_and_never_beats_its_bound(name, boats, least):
    nest = nest_parts(kit(name, boats), [A1], packer=ShelfPacker(), seconds=1)
    assert verify_nest(nest) == []
    assert nest.lower_bound == least
    assert len(nest.sheets) >= least
    assert sum(u * A1.area for u in nest.use) == pytest.approx(
        sum(i.shape.area * i.quantity for i in nest.items)
    )


def test_a_sheet_too_small_for_one_boat_is_told_at_once_with_two_sheets_as_the_bound():
    """Fold 62 is 0.394 m2, a 762 x 508 mm sheet 0.387 m2: one can never do; nothing is packed."""
    packer = Recorder()
    nest = nest_parts(kit("Fold 62"), [BoardSheet(width=0.762, height=0.508)], packer=packer)
    assert nest.lower_bound == len(nest.sheets) == 2
    assert packer.jobs == []
    assert "no layout can use fewer" in nest.proof


def test_the_strip_leaves_the_margin_where_the_packer_leaves_the_gap():
    """A packer keeps the gap from the strip's edge; 5 mm margin and 3 mm gap make the strip 4 mm lower."""
    packer = Recorder()
    nest_parts(kit("Fold 62"), [A1], packer=packer, seconds=1)
    assert packer.jobs[0].height == pytest.approx(0.594 - 0.004, abs=1e-5)
    assert packer.jobs[0].enough == pytest.approx(0.841 - 0.004, abs=1e-5)
    assert packer.jobs[0].gap == pytest.approx(0.003, abs=1e-5)


def test_a_gap_wider_than_the_margin_makes_the_strip_higher():
    packer = Recorder()
    nest_parts(kit("Fold 62"), [A1], packer=packer, seconds=1, margin=0.002, gap=0.003)
    assert packer.jobs[0].height == pytest.approx(0.594 + 0.002, abs=1e-5)


def test_sheets_with_the_same_parts_are_packed_once():
    packer = Recorder()
    nest_parts(
        [box("a", 400, 300, 4), box("b", 250, 250, 4), box("c", 390, 150, 12)], [A1], packer=packer, seconds=1
    )
    asked = [(job.seed, tuple((i.key, i.quantity) for i in job.items)) for job in packer.jobs]
    assert len(asked) == len(set(asked))


def test_a_crashing_packer_leaves_the_plain_layout_and_says_so():
    nest = nest_parts(kit("Fold 62", 6), [A1], packer=Crasher(), seconds=5)
    assert verify_nest(nest) == []
    assert "packing library failed" in nest.proof


def test_a_lying_packer_is_not_believed():
    nest = nest_parts(kit("Fold 62", 6), [A1], packer=Liar(), seconds=5)
    assert verify_nest(nest) == []
    assert len(nest.sheets) > nest.lower_bound


def test_stop_returns_the_best_so_far():
    packer = Recorder()
    nest = nest_parts(kit("Fold 62", 6), [A1], packer=packer, stop=lambda: True)
    assert packer.jobs == []
    assert verify_nest(nest) == []
    assert "no time to try" in nest.proof


def test_the_search_ends_when_its_seconds_are_spent():
    packer = Recorder(seconds=2.0)
    nest_parts(kit("Fold 74", 12), [A1], packer=packer, seconds=9.0)
    assert len(packer.jobs) <= 5


def test_progress_tells_bound_best_and_time():
    told = []
    nest_parts(kit("Fold 62", 6), [A1], packer=Recorder(seconds=0.5), seconds=4.0, progress=told.append)
    assert {p.lower_bound for p in told} == {6}
    assert [p.seconds for p in told] == sorted(p.seconds for p in told)
    assert any(p.length for p in told)


def test_same_seed_same_nest():
    def places(seed):
        return nest_parts(
            kit("Fold 74", 3), [A1], packer=Recorder(seconds=0.5), seconds=6, seed=seed
        ).placements

    assert places(3) == places(3)


def test_several_kits_share_sheets():
    both = [replace(i, key=f"{n}/{i.key}") for n in ("Fold 50", "Fold 74") for i in kit(n, 2)]
    nest = nest_parts(both, [A1], packer=ShelfPacker(), seconds=1)
    assert verify_nest(nest) == []
    assert len(nest.placements) == 92


def test_two_sizes_take_the_least_board():
    """One box of 290 x 190 mm: the small sheet does, though the large one is also one sheet."""
    sizes = [A1, BoardSheet(width=0.3, height=0.2, name="off-cut", on_hand=1)]
    nest = nest_parts([box("lid", 290, 190)], sizes, packer=ShelfPacker(), seconds=1)
    assert [s.name for s in nest.sheets] == ["off-cut"]
    assert verify_nest(nest) == []


def test_sheets_on_hand_are_not_exceeded():
    sizes = [replace(A1, on_hand=1), BoardSheet(width=0.3, height=0.2, name="off-cut")]
    nest = nest_parts([box("lid", 190, 190, 12)], sizes, packer=ShelfPacker(), seconds=1)
    assert sum(s.name == "A1" for s in nest.sheets) <= 1
    assert verify_nest(nest) == []


def test_no_layout_on_the_sheets_on_hand_is_an_error_with_advice():
    """Two triangles of 0.9 of a half sheet: the bound allows it, shelves cannot do it."""
    half = NestItem(key="wing", outline=np.array([[0, 0], [0.82, 0], [0, 0.57]]), quantity=2)
    with pytest.raises(ModelError, match="Add a sheet"):
        nest_parts([half], [replace(A1, on_hand=1)], packer=ShelfPacker(), seconds=1)


def test_grain_keeps_parts_along_the_sheet():
    strips = [box("plank", 300, 40, 9, grain_along=True), box("tile", 70, 90, 9)]
    nest = nest_parts(strips, [A1], packer=ShelfPacker(), seconds=1)
    assert verify_nest(nest) == []
    assert {p.turn for p in nest.placements if p.key == "plank"} <= {0.0, 180.0}


@settings(max_examples=15, deadline=None)
@given(
    sizes=st.lists(
        st.tuples(st.integers(5, 280), st.integers(5, 180), st.integers(1, 6)), min_size=1, max_size=8
    ),
    gap_mm=st.integers(0, 6),
    margin_mm=st.integers(0, 9),
)
def test_any_boxes_nest_without_fault(sizes, gap_mm, margin_mm):
    items = [box(f"box {i}", *size) for i, size in enumerate(sizes)]
    sheet = BoardSheet(width=0.3, height=0.2)
    nest = nest_parts(
        items, [sheet], packer=ShelfPacker(), margin=margin_mm / 1000, gap=gap_mm / 1000, seconds=1
    )
    assert verify_nest(nest) == []
    assert len(nest.sheets) >= nest.lower_bound
    assert all(0 < use <= 1 for use in nest.use)
