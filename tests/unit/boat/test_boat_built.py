"""What was measured wins; what was not keeps the class's spread."""

from dataclasses import fields

import numpy as np
import pytest

from skimwright.boat import AsBuilt, Tolerances, spread, total_mass, with_measured


def test_an_unmeasured_boat_is_as_drawn_with_the_class_spread_and_never_nought(fold):
    kit = fold()
    drawn = total_mass(kit)
    quantities = spread(AsBuilt(boat="07"), kit=kit)
    assert set(quantities) == {item.name for item in fields(AsBuilt)} - {"boat"}
    assert all(quantity.sd > 0 and not quantity.measured for quantity in quantities.values())
    assert quantities["mass"].mean == drawn.mass
    assert quantities["balance_x"].mean == drawn.centre[0]
    assert quantities["deck_length"].mean == 0.62
    assert quantities["blade_yaw"].mean == 0
    assert quantities["blade_yaw"].sd == kit.tolerances.blade_yaw
    assert quantities["pad_toe_left"].sd == kit.tolerances.pad_toe


def test_a_measured_value_wins_with_the_spread_of_its_measurement(fold):
    yaw = np.radians(2.5)
    tilt = spread(AsBuilt(boat="11", mass=0.253, blade_yaw=yaw, balance_y=0.0), kit=fold())
    assert (tilt["mass"].mean, tilt["blade_yaw"].mean) == (0.253, yaw)
    assert tilt["blade_yaw"].measured
    assert 0 < tilt["blade_yaw"].sd < fold().tolerances.blade_yaw
    assert tilt["balance_y"].measured, "nought is a measurement"
    assert not tilt["pad_angle_left"].measured


@pytest.mark.parametrize("number", [50, 62, 74])
def test_measuring_is_always_sharper_than_not_measuring(fold, number):
    names = [item.name for item in fields(AsBuilt) if item.name != "boat"]
    blind = spread(AsBuilt(boat="1"), kit=fold(number))
    seen = spread(AsBuilt(boat="1", **dict.fromkeys(names, 0.01)), kit=fold(number))
    assert all(seen[name].sd <= blind[name].sd for name in names)
    assert AsBuilt(boat="1", mass=0.3).measured == ("mass",)


def test_the_class_has_a_tolerance_for_every_quantity():
    names = {item.name.removesuffix("_left").removesuffix("_right") for item in fields(AsBuilt)} - {"boat"}
    assert names == {item.name for item in fields(Tolerances)}


def test_measured_mass_and_balance_win_and_inertia_follows(fold):
    drawn = total_mass(fold())
    gravel = with_measured(fold(), AsBuilt(boat="07", mass=0.307, balance_x=0.353, balance_y=-0.0016))
    assert gravel.mass == 0.307
    assert gravel.centre == pytest.approx([0.353, -0.0016, drawn.centre[2]])
    assert gravel.inertia == pytest.approx(drawn.inertia * 0.307 / drawn.mass)


def test_a_boat_nobody_weighed_is_the_drawing(fold):
    same = with_measured(fold(), AsBuilt(boat="07"))
    assert same.mass == total_mass(fold()).mass
    assert same.inertia == pytest.approx(total_mass(fold()).inertia)
