"""The course: bad starts refused in a sentence, only the director plans, nothing shown that was not worked out."""

from __future__ import annotations

import pytest
from tests.web.conftest import AtPond, send

from skimwright.web import House
from skimwright.web.work import Bench, Work


@pytest.fixture(autouse=True)
def _no_long_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        Bench,
        "begin",
        lambda self, what, do, *, owner, back="": Work(id="x", what=what, owner=owner, back=back),
    )


@pytest.mark.parametrize(
    "typed", [{"heading_deg": "361"}, {"heading_deg": "north"}, {"lanes": "9"}, {"start_east": "12.5.2"}]
)
def test_a_course_that_cannot_be_is_refused_and_stays_typed(at_pond: AtPond, typed: dict[str, str]) -> None:
    page = send(at_pond("director"), "/water/course", **typed)
    assert page.status_code == 422
    assert all(f'value="{text}"' in page.text for text in typed.values())


def test_a_good_question_begins_the_work(at_pond: AtPond) -> None:
    assert send(at_pond("director"), "/water/course", heading_deg="95").headers["location"] == "/doing/x"
    assert send(at_pond("crew"), "/water/course", heading_deg="95").status_code == 403


def test_what_is_not_worked_out_is_not_shown(at_pond: AtPond) -> None:
    crew = at_pond("crew")
    assert crew.get("/water/course").status_code == 200
    for page in ("posts", "plan"):
        assert (
            crew.get(f"/water/course/{page}", follow_redirects=False).headers["location"] == "/water/course"
        )
    assert crew.get("/water/limits", follow_redirects=False).status_code == 303
    assert "Rush" in crew.get("/water/gate").text


def test_without_limits_there_is_no_card(at_pond: AtPond, house: House) -> None:
    (house.path / "limits.toml").unlink()
    page = send(at_pond("director"), "/water/limits")
    assert page.status_code == 404
    assert "limits.toml" in page.text
