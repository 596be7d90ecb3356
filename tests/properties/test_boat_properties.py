"""True for every three-point boat that may be drawn at all."""

import copy
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import skimwright
from skimwright.base import InputError, parse_quantity
from skimwright.boat import (
    all_shells,
    board_mass,
    outer_shell,
    part_clashes,
    part_shell,
    read_kit_table,
    running_form,
    sealed_spaces,
    total_mass,
)

TABLE = tomllib.loads(
    (Path(skimwright.__file__).parent / "demo_season" / "kits" / "fold-62.toml").read_text("utf8")
)
STANDING = ("FIN-1", "FIN-2", "CRADLE-1")


@st.composite
def kits(draw):
    """Fold 62 with its numbers pulled about; drawings that contradict themselves are passed over."""
    table = copy.deepcopy(TABLE)
    table["board"]["thickness_mm"] = draw(st.floats(2, 8))
    table["scale"] = draw(st.floats(0.6, 1.6))
    table["design"]["pad_angle_deg"] = draw(st.floats(1.5, 8))
    table["design"]["floor_rear_mm"] = draw(st.floats(-4, 15))
    for key in ("beam_mm", "deck_height_mm", "pod_front_mm", "pod_rear_mm", "pod_width_mm", "pad_length_mm"):
        table["design"][key] *= draw(st.floats(0.85, 1.15))
    table["design"]["floor_front_mm"] *= draw(st.floats(0.85, 1.15))
    try:
        return read_kit_table(table, file="any.toml")
    except InputError:
        assume(False)


@settings(max_examples=40, deadline=None)
@given(kit=kits())
def test_parts_close_over_one_another_without_clashing(kit):
    assert len(kit.parts) == 23
    hull = [part for part in kit.parts if part.code not in STANDING]
    points = np.vstack([part_shell(part).vertices for part in hull])
    d = kit.design
    low = min(0.0, d.floor_rear)
    assert points.min(axis=0) == pytest.approx([0, -d.beam / 2, low], abs=0.1e-3)
    assert points.max(axis=0) == pytest.approx([d.length, d.beam / 2, d.deck_height], abs=0.1e-3)
    assert [clash for clash in part_clashes(kit.parts) if clash.depth > 0.05e-3] == []


@settings(max_examples=40, deadline=None)
@given(kit=kits())
def test_a_drawing_is_the_same_on_both_sides(kit):
    ready = total_mass(kit)
    assert ready.centre[1] == pytest.approx(0, abs=1e-12)
    assert ready.inertia[0, 1] == pytest.approx(0, abs=1e-12)
    spaces = sealed_spaces(kit)
    left, right = spaces["sponson-left"], spaces["sponson-right"]
    assert left.volume == pytest.approx(right.volume, rel=1e-9)
    assert left.centre * [1, -1, 1] == pytest.approx(right.centre, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(kit=kits())
def test_air_and_board_make_up_the_boat(kit):
    whole, board = outer_shell(kit).volume, all_shells(kit).volume
    assert 0 < board < whole
    # The same board weighed: fins and cradle stand outside, edges are slanted, so a few per cent more.
    weighed = board_mass(kit).mass / kit.board.density
    assert board < weighed < 1.15 * board


@settings(max_examples=40, deadline=None)
@given(kit=kits())
def test_the_run_model_sees_a_whole_boat(kit):
    form = running_form(kit)
    numbers = [form.frontal_area, form.side_area, form.blade.area, form.air_fin.area, form.tunnel.width]
    assert min(numbers) > 0
    assert np.all(np.diff(form.tunnel.stations) > 0)
    assert np.all(form.tunnel.wall <= form.tunnel.roof)
    for plate in form.plates:
        assert plate.rear[0] > plate.front[0]
        assert plate.front[2] > plate.rear[2] or plate.name == "floor"


@given(length=st.floats(-1e4, 1e4))
def test_millimetres_come_back_as_millimetres(length):
    assert parse_quantity(f"{length!r} mm", "length", default_unit="mm") * 1e3 == pytest.approx(
        length, rel=1e-15, abs=1e-300
    )
