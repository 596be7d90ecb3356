"""Eight values at a time do what plain numbers do."""

import math

import numpy as np
import pytest
from numba import njit

from skimwright.run.lanes import (
    WIDTH,
    arctan,
    as_rows,
    exp2,
    fabs,
    floor,
    gather,
    law,
    least,
    load,
    log2,
    most,
    pick,
    power,
    sine,
    smooth,
    sqrt,
    store,
    within,
)


@law
def every_operation(x, y):
    return (
        x + y, x - y, x * y, x / y, -x,
        x + 2.5, 2.5 - x, 3 * x, 1 / y, x * 2,
        pick(x > y, 1.0, 0.0), pick(x >= y, 1.0, 0.0), pick(x < y, 1.0, 0.0), pick(x <= y, 1.0, 0.0),
        pick(x > 0.5, x, y), pick(x < 0.5, 2.0, y), pick((x > y) & (x > 0.0), x, -1.0),
        pick((x > y) | (x > 0.0), -1.0, y),
        sqrt(fabs(x)), fabs(x), floor(x), floor(-x),
        most(x, y), least(x, y), most(x, 0.0), least(0.0, y), within(x, -1.0, 1.5), smooth(x, -1.0, 2.0),
    )  # fmt: skip


def in_plain_math(x, y):
    t = min(max((x + 1) / 3, 0), 1)
    return (
        x + y, x - y, x * y, x / y, -x,
        x + 2.5, 2.5 - x, 3 * x, 1 / y, x * 2,
        float(x > y), float(x >= y), float(x < y), float(x <= y),
        x if x > 0.5 else y, 2.0 if x < 0.5 else y, x if x > y and x > 0 else -1.0,
        -1.0 if x > y or x > 0 else y,
        math.sqrt(abs(x)), abs(x), math.floor(x), math.floor(-x),
        max(x, y), min(x, y), max(x, 0), min(0, y), min(max(x, -1), 1.5), t * t * (3 - 2 * t),
    )  # fmt: skip


@njit(error_model="numpy", cache=True)
def on_lanes(pairs, out):
    for row, value in enumerate(every_operation(load(pairs, 0), load(pairs, 1))):
        store(out, row, value)


@njit(error_model="numpy", cache=True)
def on_floats(x, y):
    return every_operation(x, y)


def test_every_operation_on_eight_lanes_is_plain_math_on_each():
    rng = np.random.default_rng(1)
    for _ in range(40):
        pairs = rng.choice([-3.25, -1.0, -0.4, 0.25, 0.5, 1.0, 1.5, 2.75, 40.0], size=(2, WIDTH))
        pairs[0] += np.where(rng.random(WIDTH) < 0.5, rng.normal(size=WIDTH), 0.0)
        expected = np.array([in_plain_math(x, y) for x, y in pairs.T]).T
        out = np.full(expected.shape, np.nan)
        on_lanes(pairs, out)
        np.testing.assert_allclose(out, expected, rtol=4e-16 * 4, atol=1e-16)


@pytest.mark.parametrize("x, y", [(0.3, -1.2), (2.0, 2.0), (-4.5, 0.7), (1.0, 3.0)])
def test_the_same_operations_on_plain_floats_are_plain_math(x, y):
    np.testing.assert_allclose(on_floats(x, y), in_plain_math(x, y), rtol=1e-15, atol=1e-16)


@njit(error_model="numpy", cache=True)
def functions_on_lanes(table, out):
    x = load(table, 0)
    store(out, 0, sine(x))
    store(out, 1, arctan(x))
    positive = fabs(x) + 1e-3
    store(out, 2, log2(positive))
    store(out, 3, exp2(x))
    store(out, 4, power(positive, 1.1))
    store(out, 5, power(positive, -2.5))


@njit(error_model="numpy", cache=True)
def functions_on_floats(xs, out):
    for i in range(len(xs)):
        x = xs[i]
        positive = fabs(x) + 1e-3
        out[0, i], out[1, i], out[2, i] = sine(x), arctan(x), log2(positive)
        out[3, i], out[4, i], out[5, i] = exp2(x), power(positive, 1.1), power(positive, -2.5)


def filled(xs):
    out = np.full((6, len(xs)), np.nan)
    functions_on_floats(xs, out)
    return out


def test_functions_are_the_same_for_floats_and_for_lanes():
    xs = np.random.default_rng(2).normal(scale=20.0, size=(25, WIDTH))
    for block in xs:
        out = np.full((6, WIDTH), np.nan)
        functions_on_lanes(block[None, :].copy(), out)
        np.testing.assert_allclose(out, filled(block), rtol=1e-14, atol=1e-15)


# What the docstrings promise, each over the whole range a run can ask for.
SWEEP = np.concatenate([np.linspace(-60.0, 60.0, 400_001), np.geomspace(1e-9, 1.0, 20_001)])
POSITIVE = np.abs(SWEEP) + 1e-3


@pytest.fixture(scope="module")
def swept():
    return filled(SWEEP)


def test_sine_is_within_1e_7_of_the_sine(swept):
    assert np.abs(swept[0] - np.sin(SWEEP)).max() < 1e-7


def test_sine_keeps_its_digits_near_zero(swept):
    small = np.abs(SWEEP) < 0.2
    off = np.abs(swept[0] - np.sin(SWEEP))[small]
    assert (off <= 1e-9 * np.abs(SWEEP[small]) + 1e-18).all()


def test_arctan_is_within_4e_8_of_the_arctangent(swept):
    assert np.abs(swept[1] - np.arctan(SWEEP)).max() < 4e-8


def test_log2_is_within_1e_8_of_the_logarithm(swept):
    assert np.abs(swept[2] - np.log2(POSITIVE)).max() < 1e-8


def test_exp2_is_within_1e_8_of_itself(swept):
    assert np.abs(swept[3] / np.exp2(SWEEP) - 1.0).max() < 1e-8


@pytest.mark.parametrize("row, exponent", [(4, 1.1), (5, -2.5)])
def test_a_power_is_within_3e_8_of_itself(swept, row, exponent):
    assert np.abs(swept[row] / POSITIVE**exponent - 1.0).max() < 3e-8


def test_powers_hold_from_the_smallest_to_the_largest_number_met():
    xs = np.geomspace(1e-12, 1e12, 5001)
    out = filled(xs)
    np.testing.assert_allclose(out[2], np.log2(xs + 1e-3), atol=1e-8)
    np.testing.assert_allclose(out[4], (xs + 1e-3) ** 1.1, rtol=1e-8)


@njit(error_model="numpy", cache=True)
def looked_up(table, index, out):
    store(out, 0, gather(table, load(index, 0)))
    for lane in range(WIDTH):
        out[1, lane] = gather(table, index[0, lane])


def test_gather_takes_each_lane_its_own_entry():
    table = np.arange(20.0) ** 2
    index = np.array([[0.0, 19.0, 3.0, 3.0, 7.0, 11.0, 1.0, 18.0]])
    out = np.zeros((2, WIDTH))
    looked_up(table, index, out)
    np.testing.assert_array_equal(out, [index[0] ** 2, index[0] ** 2])


@njit(error_model="numpy", cache=True)
def nothing_hidden(table, out):
    x = load(table, 0)
    store(out, 0, sqrt(x))
    store(out, 1, x / (x - x))
    store(out, 2, pick(x > 0.0, 1.0, 0.0))


def test_a_number_that_breaks_is_seen_to_break_in_its_own_lane_only():
    table = np.array([[4.0, -1.0, np.nan, 9.0, np.inf, 1.0, 0.25, 16.0]])
    out = np.zeros((3, WIDTH))
    nothing_hidden(table, out)
    np.testing.assert_array_equal(out[0], [2, np.nan, np.nan, 3, np.inf, 1, 0.5, 4])
    assert not np.isfinite(out[1]).any()
    np.testing.assert_array_equal(out[2], [1, 0, 0, 1, 1, 1, 1, 1])


@pytest.mark.parametrize("runs", [1, 7, 8, 9, 24])
def test_rows_of_lanes_hold_every_run_and_repeat_the_last(runs):
    table = np.arange(runs * 3.0).reshape(runs, 3)
    rows = as_rows(table)
    assert rows.shape == (-(-runs // WIDTH), 3, WIDTH)
    assert rows.flags.c_contiguous
    back = rows.transpose(0, 2, 1).reshape(-1, 3)
    np.testing.assert_array_equal(back[:runs], table)
    assert (back[runs:] == table[-1]).all()
