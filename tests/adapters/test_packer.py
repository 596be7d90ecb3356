"""One contract for every strip packer, real and in-memory; and a child process that misbehaves."""

import json
import time
from pathlib import Path

import numpy as np
import pytest

from skimwright.kit import (
    BoardSheet,
    Nest,
    NestItem,
    PackerFailed,
    ShelfPacker,
    StripJob,
    nest_parts,
    verify_nest,
)
from skimwright.packer import ChildPacker

A1 = BoardSheet(width=0.841, height=0.594)
FOLD = json.loads((Path(__file__).parents[2] / "bench" / "shapes" / "fold.json").read_text("utf8"))["kits"]
BOTH = pytest.mark.parametrize("packer", [ChildPacker(), ShelfPacker()], ids=["child", "shelf"])


def kit(name, boats=1):
    """The parts of an invented demonstration kit."""
    return tuple(
        NestItem(key=p["part"], outline=np.array(p["outline_mm"]) / 1000, quantity=p["quantity"] * boats)
        for p in FOLD[name]
    )


def job(items, **changes):
    asked = {"height": 0.59, "gap": 0.003, "enough": 0.837, "seconds": 5.0, "seed": 1, **changes}
    return StripJob(items=tuple(items), **asked)


def worse(tmp_path, program):
    """A packer whose child runs another program."""
    script = tmp_path / "child.py"
    script.write_text("import json, os, signal, sys, time\n" + program, "utf8")
    return ChildPacker(script=script)


@BOTH
@pytest.mark.parametrize("gap", [0.0, 0.003])
def test_a_strip_keeps_the_gap_between_parts_and_from_every_edge(packer, gap):
    items = kit("Fold 62")
    strip = packer.pack(job(items, gap=gap, enough=0.95))
    as_sheet = Nest(
        items=items,
        sheets=(BoardSheet(width=strip.width, height=0.59),),
        placements=strip.placements,
        margin=gap,
        gap=gap,
        lower_bound=1,
        proof="",
    )
    assert verify_nest(as_sheet) == []


@BOTH
def test_only_allowed_turns_are_used(packer):
    items = [
        NestItem(key="a", outline=np.array([[0, 0], [0.3, 0], [0, 0.1]]), quantity=4, turns=(0.0, 180.0)),
        NestItem(key="b", outline=np.array([[0, 0], [0.2, 0], [0, 0.1]]), quantity=4, grain_along=True),
    ]
    assert {p.turn for p in packer.pack(job(items, enough=2.0)).placements} <= {0.0, 180.0}


@BOTH
def test_progress_hears_shorter_and_shorter_strips(packer):
    heard = []
    strip = packer.pack(job(kit("Fold 62")), progress=heard.append)
    assert heard == sorted(heard, reverse=True)
    assert heard[-1] == strip.width


def test_enough_ends_the_packing_early():
    strip = ChildPacker().pack(job(kit("Fold 62"), seconds=60.0))
    assert strip.width <= 0.837
    assert strip.seconds < 30


def test_same_seed_same_strip():
    first, second = (ChildPacker().pack(job(kit("Fold 62"), seed=7)) for _ in range(2))
    assert first.placements == second.placements


def test_fold_62_lies_on_one_a1_sheet():
    nest = nest_parts(kit("Fold 62"), [A1], packer=ChildPacker())
    assert verify_nest(nest) == []
    assert len(nest.sheets) == 1
    assert nest.use[0] == pytest.approx(0.788, abs=0.0005)


@pytest.mark.parametrize("name, least", [("Fold 50", 4), ("Fold 62", 6)])
def test_six_boats_reach_the_least_number_of_sheets(name, least):
    nest = nest_parts(kit(name, 6), [A1], packer=ChildPacker())
    assert verify_nest(nest) == []
    assert len(nest.sheets) == nest.lower_bound == least


@pytest.mark.parametrize(
    "corners",
    [
        [[0, 0], [0.9, 0], [0.9, 0.9], [0, 0.9]],
        [[0, 0], [0.1, 0.1], [0.1, 0], [0, 0.1]],
        [[0, 0], [0.1, 0.1], [0.2, 0.2]],
        [[0, 0], [0.1, float("nan")], [0.2, 0]],
    ],
    ids=["too large", "crossing", "no area", "no number"],
)
def test_an_input_that_crashes_the_library_is_one_error_here(corners):
    with pytest.raises(PackerFailed, match="early end"):
        ChildPacker().pack(job([NestItem(key="odd", outline=np.array(corners))]))


@pytest.mark.parametrize(
    "program", ["os.kill(os.getpid(), signal.SIGSEGV)", "os.abort()", "sys.exit(1)", "1/0"]
)
def test_a_child_that_dies_is_one_error_here(tmp_path, program):
    with pytest.raises(PackerFailed, match="early end"):
        worse(tmp_path, program).pack(job(kit("Fold 62")))


def test_a_child_that_dies_after_an_answer_still_gave_it(tmp_path):
    packer = worse(tmp_path, "print(json.dumps({'width': 900, 'placed': []}), flush=True); os.abort()")
    assert packer.pack(job(kit("Fold 62"))).width == pytest.approx(0.9)


@pytest.mark.parametrize(
    "program", ["print('no json', flush=True); time.sleep(60)", "print('{}', flush=True); time.sleep(60)"]
)
def test_a_child_that_talks_nonsense_is_one_error_here(tmp_path, program):
    with pytest.raises(PackerFailed, match="words that make no sense"):
        worse(tmp_path, program).pack(job(kit("Fold 62")))


def test_a_child_that_hangs_is_ended_in_time(tmp_path):
    started = time.monotonic()
    with pytest.raises(PackerFailed, match="time allowed"):
        worse(tmp_path, "time.sleep(60)").pack(job(kit("Fold 62"), seconds=0.2))
    assert time.monotonic() - started < 10


def test_stop_ends_the_child_and_leaves_no_process(tmp_path):
    note = tmp_path / "pid"
    packer = worse(tmp_path, f"open({str(note)!r}, 'w').write(str(os.getpid())); time.sleep(60)")
    with pytest.raises(PackerFailed, match="stop"):
        packer.pack(job(kit("Fold 62"), seconds=60.0), stop=lambda: note.exists() and note.read_text() != "")
    assert not Path("/proc", note.read_text()).exists()


def test_a_nest_survives_a_child_that_always_dies(tmp_path):
    nest = nest_parts(kit("Fold 62", 3), [A1], packer=worse(tmp_path, "os.abort()"))
    assert verify_nest(nest) == []
    assert "packing library failed" in nest.proof
