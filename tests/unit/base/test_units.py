"""Typed quantities in SI, and SI as a person reads it."""

import math

import pytest

from skimwright.base import (
    InputError,
    Where,
    parse_quantity,
    show_angle,
    show_distance,
    show_length,
    show_mass,
)

# Exact by definition: international foot and pound of 1959, standard gravity 9.80665 m/s2, mile 1852 m.
EXACT = [
    ("12.5", "length", "mm", 0.0125),
    ("12,5", "length", "mm", 0.0125),
    (12.5, "length", "mm", 0.0125),
    (7, "length", "mm", 0.007),
    ("12.5 in", "length", "mm", 0.3175),
    ("12.5in", "length", "mm", 0.3175),
    ('12,5 "', "length", "mm", 0.3175),
    ("100 ft", "length", "m", 30.48),
    ("-3.2 cm", "length", "mm", -0.032),
    ("−3.2 cm", "length", "mm", -0.032),
    ("13.5 oz", "mass", "g", 13.5 * 0.028349523125),
    ("1 lb", "mass", "g", 0.45359237),
    ("269", "mass", "g", 0.269),
    ("180 deg", "angle", "deg", math.pi),
    ("4,0°", "angle", "deg", math.pi / 45),
    ("36 km/h", "speed", "m/s", 10.0),
    ("1 mph", "speed", "m/s", 0.44704),
    ("1 kn", "speed", "m/s", 1852 / 3600),
    ("100 gf", "force", "N", 0.980665),
    ("1 lbf", "force", "N", 4.4482216152605),
    ("2 min", "time", "s", 120.0),
    ("17", "temperature", "C", 290.15),
    ("32 F", "temperature", "C", 273.15),
    ("1e-3 m", "length", "mm", 0.001),
]


@pytest.mark.parametrize("text, kind, unit, expected", EXACT)
def test_a_quantity_comes_out_in_si(text, kind, unit, expected):
    assert parse_quantity(text, kind, default_unit=unit) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["12.5.2", "1,234.5", "", "mm", "12 5", "nan", "inf", "1e999", True, None, [12], "5 mm 3", "--5"]
)
def test_what_is_not_one_number_is_refused(text):
    with pytest.raises(InputError) as caught:
        parse_quantity(text, "length", default_unit="mm", where=Where(file="fold.toml", field="length_mm"))
    sentence = str(caught.value)
    assert sentence.startswith("fold.toml, length_mm: ")
    assert "got" in sentence
    assert sentence.endswith(".")


def test_a_unit_of_another_kind_is_named():
    with pytest.raises(InputError, match="a unit of mass where a length belongs"):
        parse_quantity("62 g", "length", default_unit="mm")


def test_an_unknown_unit_lists_the_known_ones():
    with pytest.raises(InputError, match=r"allowed: mm, cm, m, km, in, ft, yd"):
        parse_quantity("3 cubits", "length", default_unit="mm")


@pytest.mark.parametrize(
    "shown, expected",
    [
        (show_distance(30.48), "30.48 m (100 ft)"),
        (show_length(0.62), "620 mm (24.4 in)"),
        (show_length(-0.00001), "0 mm (0 in)"),
        (show_mass(0.269), "269 g (9.49 oz)"),
        (show_angle(math.radians(3.4137)), "3.41 deg"),
    ],
)
def test_a_length_is_shown_in_both_worlds(shown, expected):
    assert shown == expected
