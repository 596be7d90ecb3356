"""Earlier trims by the log, and changes nobody wrote down."""

import pytest

from skimwright.pond import Gate
from skimwright.trials import BoatKind, Result, Run, trims_of, unlogged_change

KIND = BoatKind()


def run(number, drift=0.0, **changes):
    words = {"distance": 48.0, "drift": drift} | changes
    return Run(boat=7, run=number, time="", phones=(), result=Result(**words), guess=None)


def test_each_logged_change_begins_a_trim_and_the_way_back_names_the_newest_first():
    runs = [
        run(1),
        run(2, change="none"),
        run(3, change="blade 1 deg"),
        run(4, change="20 g at the bow"),
        run(5),
    ]
    trims = trims_of(runs, gate=Gate(), kind=KIND)
    assert [[r.run for r in t.runs] for t in trims] == [[1, 2], [3], [4, 5]]
    assert trims[0].undo == ("20 g at the bow", "blade 1 deg")
    assert trims[1].undo == ("20 g at the bow",)
    assert trims[2].undo == ()
    assert [t.change for t in trims] == ["", "blade 1 deg", "20 g at the bow"]


def test_the_trim_that_ran_straight_is_foretold_to_pass_oftener():
    runs = [run(1, 0.3), run(2, -0.2), run(3, 0.1), run(4, 4.0, change="blade"), run(5, 4.5), run(6, 3.8)]
    straight, wide = trims_of(runs, gate=Gate(), kind=KIND)
    assert straight.chance > wide.chance + 0.2
    assert wide.drift[0] == pytest.approx(4.1)
    assert wide.drift[1] == pytest.approx(1.645 * 1.597 / 3**0.5, rel=0.01)  # 30.48 m x tan 3 deg = 1.597 m


def test_a_bundle_on_the_way_back_is_said_to_be_one():
    trims = trims_of([run(1), run(2, change="several"), run(3)], gate=Gate(), kind=KIND)
    assert trims[0].is_bundle
    assert not trims[1].is_bundle


def test_no_runs_no_trims():
    assert trims_of([], gate=Gate(), kind=KIND) == ()


@pytest.mark.parametrize(
    "mass, change, asked",
    [(0.281, None, True), (0.281, "none", True), (0.281, "12 g at the bow", False), (0.271, None, False),
     (0.257, None, True), (None, None, False)],
)  # fmt: skip
def test_a_mass_that_jumps_without_a_change_is_asked_about(mass, change, asked):
    found = unlogged_change([run(1, mass=0.269), run(2, mass=mass, change=change)], water_gain=0.001)
    assert (found is not None) == asked
    if found:
        assert "12 g" in found.what
        assert found.why.endswith("?")


def test_a_boat_that_soaks_up_water_is_not_asked_about_it():
    runs = [run(k, mass=0.396 + 0.009 * k) for k in range(1, 5)]
    assert unlogged_change(runs, water_gain=0.009) is None
