"""The scales: two readings to mass, balance and feet; slips asked about; the book changed only on purpose."""

from __future__ import annotations

import pytest
from tests.web.conftest import AtPond, send

from skimwright.web import House

TWO = {"front_g": "161", "rear_g": "108", "front_mm": "200", "rear_mm": "560"}
BOAT = "/scales/boats/12"


def cells(house: House, number: int = 12) -> dict[str, str]:
    rows = house.rows("boats.csv")
    return dict(next(r.cells for r in rows.rows if r.cells["boat"] == f"{number:02d}"))


def test_two_readings_give_mass_and_balance_and_write_nothing(at_pond: AtPond, house: House) -> None:
    """200 + 360 * 108 / 269 = 344.5 mm (moments about the front support)."""
    before = cells(house)
    page = send(at_pond("scales"), BOAT, **TWO)
    assert page.status_code == 200
    assert "269 g" in page.text
    assert "344.5 mm" in page.text
    assert "Take these into" in page.text
    assert cells(house) == before


def test_what_was_weighed_goes_into_the_book_with_a_line_in_the_diary(at_pond: AtPond, house: House) -> None:
    was = cells(house)
    phone = at_pond("scales")
    assert send(phone, f"{BOAT}/take", mass_g="271.0", balance_x_mm="343.9").status_code == 303
    now = cells(house)
    assert (now["mass_g"], now["balance_x_mm"]) == ("271.0", "343.9")
    line = [row.cells for row in house.rows("diary.csv").rows if row.cells["thing"] == "boat 12 mass_g"][-1]
    assert (line["before"], line["after"], line["reason"]) == (was["mass_g"], "271.0", "weighed")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"front_g": "161"}, "two scales need four numbers"),
        (TWO | {"front_g": "0"}, "shows nought"),
        (TWO | {"single_g": "281"}, "Weigh again"),
        ({"single_g": "13.5"}, "oz"),
        ({"port_g": "100", "starboard_g": "169", "sides_apart_mm": "160"}, "device off centre"),
        ({"dry_g": "269", "wet_g": "260"}, "Which weighing was which"),
        (TWO | {"rear_mm": "900"}, "outside the boat"),
        (TWO | {"front_g": "150", "rear_g": "119", "ballast_mm": "900"}, "outside the boat"),
        ({}, "Nothing was weighed"),
        ({"single_g": "269", "twist_s": "0.1"}, "Too quick a twist"),
        ({"front_g": "12.5.2"}, "12.5.2"),
    ],
)
def test_a_slip_is_asked_about_and_never_taken(
    at_pond: AtPond, house: House, typed: dict[str, str], says: str
) -> None:
    page = send(at_pond("scales"), BOAT, **typed)
    assert says in page.text
    assert "Take these into" not in page.text
    assert all(f'value="{text}"' in page.text for text in typed.values())


def test_a_weight_that_raises_a_question_is_not_written_by_hand_either(at_pond: AtPond, house: House) -> None:
    before = cells(house)
    assert send(at_pond("scales"), f"{BOAT}/take", mass_g="13.5").status_code == 422
    assert cells(house) == before
