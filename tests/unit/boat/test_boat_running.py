"""What the run model sees, against the drawing's own numbers."""

import numpy as np
import pytest

from skimwright.boat import running_form

MM = 1e-3


def test_fold_62_runs_on_the_plates_of_its_drawing(fold):
    form = running_form(fold())
    plates = {plate.name: plate for plate in form.plates}
    assert list(plates) == ["pad-left", "pad-right", "ramp-left", "ramp-right", "floor", "bow"]
    pad = 70 * np.tan(np.radians(4))
    expected = {
        "pad-right": ((210, 107.5, pad), (280, 107.5, 0), 65),
        "ramp-left": ((50, -107.5, 34), (210, -107.5, pad), 65),
        "floor": ((50, 0, 34), (620, 0, 0), 160),
        "bow": ((0, 0, 67), (50, 0, 34), 160),
    }
    for name, (front, rear, beam) in expected.items():
        assert plates[name].front == pytest.approx(np.array(front) * MM)
        assert plates[name].rear == pytest.approx(np.array(rear) * MM)
        assert plates[name].beam == pytest.approx(beam * MM)
    # demo.md 5.2 prints the floor's angle and the ramp's.
    assert angle(plates["floor"]) == pytest.approx(3.41, abs=0.005)
    assert angle(plates["ramp-left"]) == pytest.approx(10.3, abs=0.05)
    assert angle(plates["pad-left"]) == pytest.approx(4, abs=1e-9)


def angle(plate):
    run, _, rise = plate.rear - plate.front
    return np.degrees(np.arctan2(-rise, run))


@pytest.mark.parametrize("number", [50, 62, 74])
def test_the_tunnel_narrows_from_34_to_20_parts(fold, number):
    form = running_form(fold(number))
    tunnel, d = form.tunnel, fold(number).design
    assert np.all(np.diff(tunnel.stations) > 0)
    assert tunnel.stations[[0, -1]] == pytest.approx([d.pod_front, d.length])
    exit_height = np.interp(d.pod_rear, tunnel.stations, tunnel.roof)
    assert exit_height / tunnel.roof[0] == pytest.approx(0.60, abs=0.005)  # demo.md 5.2, printed
    assert tunnel.width == pytest.approx(d.hull_width - 0.01)
    assert np.all(tunnel.wall <= tunnel.roof)
    assert tunnel.roof[-1] == pytest.approx(0, abs=1e-12)


def test_walls_hang_down_beside_the_sponsons_only(fold):
    tunnel = running_form(fold()).tunnel
    hung = tunnel.wall < tunnel.roof - 1e-9
    assert tunnel.stations[hung].max() == pytest.approx(0.28)
    assert tunnel.wall[np.isclose(tunnel.stations, 0.28, atol=1e-6)] == pytest.approx(0, abs=1e-12)
    assert tunnel.wall[np.isclose(tunnel.stations, 0.21)] == pytest.approx(70e-3 * np.tan(np.radians(4)))
    aft = tunnel.stations > 0.2801 - 1e-9
    assert tunnel.wall[aft] == pytest.approx(tunnel.roof[aft])


def test_fins_count_only_where_they_stand_in_water_or_air(fold):
    form = running_form(fold())
    floor = 34 - 34 / 570 * 525
    slope = np.arctan(34 / 570)
    assert form.blade.area == pytest.approx(37.5 * 32 * MM**2)
    assert form.blade.span == pytest.approx(32 * MM)
    assert form.blade.root == pytest.approx(floor * MM)
    assert form.blade.tip == pytest.approx((floor - 32 * np.cos(slope)) * MM)
    assert form.blade.tip < form.blade.centre[2] < form.blade.root
    # Trapezium 45 over 30, 32 high: its middle is (45 + 2 * 30) / (3 * 75) of the height below the root.
    assert form.blade.centre[2] == pytest.approx((floor - 32 * 105 / 225) * MM, abs=0.1 * MM)
    assert form.air_fin.root == pytest.approx(72 * MM)
    assert form.air_fin.tip == pytest.approx(139 * MM)
    assert form.air_fin.area == pytest.approx((4725 - 3 * (90 + (90 - 3 * 45 / 70)) / 2) * MM**2)
    assert form.air_fin.chord * form.air_fin.span == pytest.approx(form.air_fin.area)


def test_deck_silhouettes_and_feet(fold):
    form = running_form(fold())
    assert form.deck.area == pytest.approx(132200 * MM**2)
    assert (form.deck.beam, form.deck.length, form.deck.height) == pytest.approx((0.28, 0.62, 0.072))
    assert form.frontal_area == pytest.approx(280 * 72 * MM**2)
    # Side view: the wall (32284 mm2, demo.md 5.2) and the deck's edge over it.
    assert form.side_area == pytest.approx((32284 + 620 * 5) * MM**2, rel=1e-4)
    assert 0.25 < form.side_centre[0] < 0.4
    assert (form.pad_contact, form.stern_contact) == pytest.approx((0.255, 0.605))
    assert form.pad_spread == pytest.approx(0.215)


def test_two_feet_share_the_weight_as_capability_e5_says(fold):
    """Fold 62 at 345.5 mm: pads 74 % [computed there from the same two feet]."""
    form = running_form(fold())
    share = (form.stern_contact - 0.3455) / (form.stern_contact - form.pad_contact)
    assert share == pytest.approx(0.74, abs=0.005)


def test_a_raised_transom_opens_the_view_from_ahead(fold):
    form = running_form(fold(design={"floor_rear_mm": 10}))
    assert form.frontal_area == pytest.approx((160 * 62 + 2 * (60 * 72 + 5 * 10)) * MM**2)


def test_a_box_of_own_parts_has_its_bottom_for_a_plate(box):
    form = running_form(box)
    assert [plate.name for plate in form.plates] == ["BOTTOM"]
    assert form.plates[0].front == pytest.approx([0, 0, 0])
    assert form.plates[0].rear == pytest.approx([0.4, 0, 0])
    assert form.plates[0].beam == pytest.approx(0.2)
    assert form.tunnel is None
    assert form.deck.area == pytest.approx(0.08)
    assert (form.length, form.beam, form.deck_height) == pytest.approx((0.4, 0.2, 0.06))
