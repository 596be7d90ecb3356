"""What differs from run to run: evenly drawn, the same for the same seed, the middle in run 0."""

import math

import numpy as np
import pytest
from scipy import stats

from skimwright.boat import AsBuilt, spread
from skimwright.pond import Conditions
from skimwright.run.spread import BUILD_WORDS, COMMON, causes, draw, ripple_height, wind_rows


@pytest.fixture(scope="module")
def all_causes(kits, devices):
    return causes(spread(AsBuilt(boat="07"), kit=kits["fold-62"]), devices["whirr-5"])


@pytest.fixture(scope="module")
def drawn(all_causes):
    return draw(all_causes, runs=500, seed=7)


def law_of(cause):
    """Share of draws below a value."""
    if cause.shape == "even":
        return stats.uniform(cause.middle - cause.wide, 2 * cause.wide).cdf
    if cause.shape == "factor":
        return stats.lognorm(cause.wide, scale=cause.middle).cdf
    return stats.norm(cause.middle, cause.wide).cdf


def test_each_cause_has_one_draw_in_each_of_five_hundred_equal_slices(all_causes, drawn):
    for cause in all_causes:
        if cause.key == "water_gain":  # never less than nothing: cut at nought
            continue
        slices = np.floor(500 * law_of(cause)(drawn[cause.key][1:]) + 1e-9).astype(int)
        # the outermost slices are held at 3.5 deviations, which lies inside them
        np.testing.assert_array_equal(np.sort(slices), np.arange(500), err_msg=cause.key)


def test_run_0_has_every_cause_at_its_middle(all_causes, drawn):
    assert {cause.key: float(drawn[cause.key][0]) for cause in all_causes} == pytest.approx(
        {cause.key: cause.middle for cause in all_causes}
    )


def test_no_two_causes_go_together(all_causes, drawn):
    table = np.array([stats.rankdata(drawn[cause.key][1:]) for cause in all_causes])
    off = np.corrcoef(table)[np.triu_indices(len(table), 1)]
    # of 990 pairs of 500 draws chance leaves about 0.045 each; the largest near 0.15
    assert np.abs(off).max() < 0.19
    assert np.sqrt(np.mean(off**2)) == pytest.approx(1 / math.sqrt(499), rel=0.15)


def test_the_same_seed_draws_the_same_and_another_does_not(all_causes, drawn):
    again, other = draw(all_causes, runs=500, seed=7), draw(all_causes, runs=500, seed=8)
    for key, values in drawn.items():
        np.testing.assert_array_equal(again[key], values)
    assert (other["start_yaw"][1:] != drawn["start_yaw"][1:]).all()


def test_every_cause_has_words_a_group_and_a_width_of_its_own(all_causes):
    assert len({cause.key for cause in all_causes}) == len(all_causes) == len(COMMON) + len(BUILD_WORDS) + 1
    for cause in all_causes:
        assert cause.wide > 0
        assert cause.words
        assert cause.group in ("build", "device", "launch", "weather", "model")


def test_what_was_measured_is_narrower_and_says_so(kits, devices):
    built = AsBuilt(boat="07", mass=0.280, blade_yaw=math.radians(1.0))
    of = {c.key: c for c in causes(spread(built, kit=kits["fold-62"]), devices["whirr-5"])}
    plain = {c.key: c for c in causes(spread(AsBuilt(boat="07"), kit=kits["fold-62"]), devices["whirr-5"])}
    for key, middle in (("mass", 0.280), ("blade_yaw", math.radians(1.0))):
        assert of[key].middle == middle
        assert of[key].wide < plain[key].wide
        assert of[key].status == "measured"
        assert "not measured" in plain[key].words
    assert of["pad_toe_left"] == plain["pad_toe_left"]


def test_the_devices_spread_is_its_own(kits, devices):
    built = spread(AsBuilt(boat="07"), kit=kits["fold-62"])
    for stem in ("lantern-2", "whirr-5"):
        push = next(c for c in causes(built, devices[stem]) if c.key == "thrust_factor")
        assert push.wide == devices[stem].impulse_spread


def test_a_boat_never_soaks_up_less_than_nothing(kits, devices):
    built = AsBuilt(boat="07", water_gain=0.0001)
    values = draw(causes(spread(built, kit=kits["fold-62"]), devices["tug"]), runs=200, seed=1)["water_gain"]
    assert values.min() == 0.0
    assert (values > 0).mean() > 0.4


def test_ripples_measured_are_used_and_ripples_guessed_grow_with_the_wind():
    assert ripple_height(Conditions(ripple=0.004)) == 0.004
    assert ripple_height(Conditions()) < ripple_height(Conditions(wind_speed=3.0))


def test_wind_reaches_the_runs_turned_scaled_and_with_waves_that_obey_their_own_law(drawn):
    rows = wind_rows(drawn, Conditions(wind_speed=4.0, wind_gust=6.0, wind_from=math.pi / 2, heading=0.3))
    expected = 4.0 * drawn["wind_factor"] * drawn["wind_low"]
    np.testing.assert_allclose(np.hypot(rows["wind_x"], rows["wind_y"]), expected, rtol=1e-12)
    np.testing.assert_allclose(rows["gust_size"], 0.5 * drawn["gust_share"])
    assert (rows["wind_y"] < 0).all()  # heading north-north-east, wind from the east: from starboard
    # Ripples of 200 mm: speed sqrt(g/k + sigma k/rho) = 0.561 m/s, deep water (Airy), and run with the wind.
    k = np.hypot(rows["ripple_x"], rows["ripple_y"])
    np.testing.assert_allclose(k, 2 * math.pi / drawn["ripple_length"], rtol=1e-12)
    assert rows["ripple_rate"][0] / k[0] == pytest.approx(0.5608, abs=5e-4)
    going = rows["ripple_x"] * rows["wind_x"] + rows["ripple_y"] * rows["wind_y"]
    assert (going > 0).mean() > 0.99
