"""The race day through its forms: each phone does its one job, and the table follows."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, on_the_day, only_first_heats, send

from skimwright.web import House
from skimwright.web.day import race_day

HEAT = 5  # of the demonstration: Cress, boats 06 02 04 05 01 03 in lanes 1 to 6
FIRST_TO_LAST = (5, 2, 6, 1, 3, 4)


def order(*boats: int, **other: str) -> dict[str, str]:
    """A report: the boats as they came in."""
    places = {f"boat_{boat:02d}": str(place) for place, boat in enumerate(boats, 1)}
    return {"heat": str(HEAT)} | places | other


@pytest.fixture
def phones(at_pond: AtPond, house: House) -> dict[str, TestClient]:
    """Four heats are raced; heat 5 is ticked, called twice and started."""
    only_first_heats(house.path, 4)
    on_the_day(house)
    jobs = ("director", "start", "finish-a", "finish-b", "marshal", "pit", "scorer", "announcer", "visitor")
    each = {job: at_pond(job) for job in jobs}
    send(each["director"], "/hold/open")
    assert send(each["director"], "/race/call", heat="5").status_code == 422  # nobody has a tick yet
    assert send(each["pit"], "/race/pit/fit", heat="5").status_code == 303
    for _ in range(2):
        assert send(each["director"], "/race/call", heat="5").status_code == 303
    assert send(each["start"], "/race/start", heat="5").status_code == 303
    return each


def points(page: str) -> dict[str, float]:
    """Points by boat name, of the first group."""
    table = page[page.index("<table") : page.index("</table>")]
    return {
        m[1].strip(): float(m[2])
        for m in re.finditer(r'<b>\d\d</b> ([^<]*).*?<td class="n">([\d.]+)<', table)
    }


def test_two_equal_phones_bring_the_heat_into_the_public_table(phones: dict[str, TestClient]) -> None:
    before = points(phones["visitor"].get("/see").text)
    send(phones["finish-a"], "/race/finish", **order(*FIRST_TO_LAST))
    assert points(phones["visitor"].get("/see").text) == before
    assert "second finish phone" in phones["marshal"].get("/race/marshal").text
    send(phones["finish-b"], "/race/finish", **order(*FIRST_TO_LAST))
    after = points(phones["visitor"].get("/see").text)
    assert after["Marrow Jam"] == before["Marrow Jam"] + 400  # boat 05 came first: 400 points
    assert "equal, it counts" in phones["finish-a"].get("/race/finish").text


def test_phones_that_differ_wait_for_the_marshal_who_must_say_why(
    phones: dict[str, TestClient], house: House
) -> None:
    other = (2, 5, *FIRST_TO_LAST[2:])
    send(phones["finish-a"], "/race/finish", **order(*FIRST_TO_LAST))
    send(phones["finish-b"], "/race/finish", **order(*other))
    assert "the marshal decides" in phones["finish-b"].get("/race/finish").text
    page = phones["marshal"].get("/race/marshal").text
    assert page.count('class="differs"') == 2
    refused = send(phones["marshal"], f"/race/heats/{HEAT}/decide", **order(*other))
    assert refused.status_code == 422
    assert "reason" in refused.text
    assert (
        send(
            phones["marshal"], f"/race/heats/{HEAT}/decide", **order(*other), why="seen from the post"
        ).status_code
        == 303
    )
    assert race_day(house).heat(HEAT).counts
    assert race_day(house).heat(HEAT).outcomes[2].place == 1


def test_the_same_report_sent_again_counts_once(phones: dict[str, TestClient], house: House) -> None:
    for _ in range(3):
        send(phones["finish-a"], "/race/finish", **order(*FIRST_TO_LAST), key="a-1")
    assert len(race_day(house).heat(HEAT).reports) == 1


def test_a_correction_shows_old_new_who_and_why_and_the_public_table_says_corrected(
    phones: dict[str, TestClient],
) -> None:
    for phone in ("finish-a", "finish-b"):
        send(phones[phone], "/race/finish", **order(*FIRST_TO_LAST))
    no_reason = send(phones["marshal"], f"/race/heats/{HEAT}/correct", boat="4", new="not finished", why="")
    assert no_reason.status_code == 422
    assert "reason" in no_reason.text
    send(
        phones["marshal"],
        f"/race/heats/{HEAT}/correct",
        boat="4",
        new="not finished",
        why="sank before the line",
    )
    page = phones["director"].get("/race").text
    row = re.search(
        r"<td>04</td><td>6</td><td>not finished</td><td>marshal</td><td>[\d:]+</td><td>sank before the line",
        page,
    )
    assert row, page
    assert re.search(
        r"<b>04</b> Six Socks <small class=\"mark\">corrected", phones["visitor"].get("/see").text
    )


def test_a_protest_is_open_until_it_is_ruled_on(phones: dict[str, TestClient]) -> None:
    for phone in ("finish-a", "finish-b"):
        send(phones[phone], "/race/finish", **order(*FIRST_TO_LAST))
    send(phones["pit"], f"/race/heats/{HEAT}/protest", boat="3", why="started early")
    assert "started early" in phones["director"].get("/race").text
    send(phones["director"], f"/race/heats/{HEAT}/ruling", why="the starter saw nothing")
    assert "Protest about" not in phones["director"].get("/race").text


def test_no_call_and_no_start_while_anybody_holds(phones: dict[str, TestClient]) -> None:
    send(phones["finish-b"], "/hold", reason="water")
    send(phones["pit"], "/race/pit/fit", heat="6")
    refused = send(phones["director"], "/race/call", heat="6")
    assert refused.status_code == 422
    assert "boat in the water" in refused.text


def test_a_crew_that_is_missing_at_the_second_call_is_the_directors_to_decide(
    phones: dict[str, TestClient], house: House
) -> None:
    director = phones["director"]
    send(phones["pit"], "/race/pit/fit", heat="6")
    send(director, "/race/call", heat="6")
    assert send(director, "/race/missing", heat="6", boat="7", choice="not started").status_code == 422
    send(director, "/race/call", heat="6")
    assert send(director, "/race/missing", heat="6", boat="7", choice="not started").status_code == 303
    assert race_day(house).heat(6).out == (7,)


def test_a_boat_that_crashed_races_only_weighed_again_or_marked_so(
    phones: dict[str, TestClient], house: House
) -> None:
    pit = phones["pit"]
    send(pit, "/race/pit/mend", boat="8", why="crash")
    assert send(pit, "/race/pit/fit", boat="8").status_code == 422
    send(pit, "/race/pit/fit", boat="8", unweighed="yes")
    assert "unweighed" in phones["start"].get("/race/start").text
    send(pit, "/race/pit/weigh", boat="8", mass_g="412.5")
    send(pit, "/race/pit/fit", boat="8")
    assert not race_day(house).fitness[8].is_unweighed
    for bad in ("heavy", "5", "-3", "1e3", ""):
        assert send(pit, "/race/pit/weigh", boat="8", mass_g=bad).status_code == 422


def test_paper_is_typed_in_one_line_a_heat(phones: dict[str, TestClient], house: House) -> None:
    scorer = phones["scorer"]
    lines = "5 42=15/6\n6 12345x6 cut the corner"  # lanes; heat 5 has boats 06 02 04 05 01 03 in lanes 1 to 6
    assert send(scorer, "/race/paper", lines=lines).status_code == 303
    day = race_day(house)
    said = {boat: outcome.words() for boat, outcome in day.heat(5).outcomes.items()}
    assert said == {5: "1", 2: "2=", 6: "2=", 1: "4", 3: "not finished", 4: "not readable"}
    assert day.heat(6).outcomes[9].words() == "disqualified"
    send(scorer, "/race/paper", lines="6 21345x6 cut the corner")  # typed twice, and not alike
    assert "not alike" in phones["director"].get("/race").text
    assert race_day(house).heat(6).outcomes[12].place == 1  # the first is kept


@pytest.mark.parametrize(
    "lines", ["", "5", "x 12", "5 11", "5 ab", "5 1=", "5 7", "77 12", "5 12345x6", "\n" * 9]
)
def test_a_line_that_is_none_is_told_so(phones: dict[str, TestClient], house: House, lines: str) -> None:
    before = len(race_day(house).log)
    answer = send(phones["scorer"], "/race/paper", lines=f"6 123456\n{lines}" if lines.strip() else lines)
    assert answer.status_code == 422
    assert lines.strip() in answer.text  # what was typed is still there
    assert len(race_day(house).log) == before


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("/race/call", {"heat": "0"}), ("/race/call", {"heat": "999"}), ("/race/call", {"heat": "six"}),
        ("/race/call", {}), ("/race/missing", {"heat": "6", "boat": "x"}), ("/race/without", {"boat": "7"}),
        ("/race/without", {"boat": "77", "why": "gone"}), ("/race/late", {"boat": "7"}),
        ("/race/allow", {"heat": "6", "boat": "7", "why": ""}), ("/race/start", {"heat": "9"}),
        ("/race/heats/6/rerun", {"why": "again"}), ("/race/heats/6/ruling", {"why": "no"}),
        ("/race/heats/999/decide", {"why": "so"}), ("/race/heats/1/correct", {"boat": "1", "new": "", "why": "x"}),
        ("/race/heats/1/correct", {"boat": "9", "new": "2", "why": "x"}),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_sentence_and_changes_nothing(
    phones: dict[str, TestClient], house: House, path: str, fields: dict[str, str]
) -> None:
    before = len(race_day(house).log)
    answer = send(phones["director"], path, **fields)
    assert 400 <= answer.status_code < 500
    assert len(race_day(house).log) == before
    assert "Traceback" not in answer.text


def test_a_report_with_a_place_twice_asks_whether_it_is_a_tie(phones: dict[str, TestClient]) -> None:
    fields = order(*FIRST_TO_LAST) | {"boat_02": "1"}
    answer = send(phones["finish-a"], "/race/finish", **fields)
    assert answer.status_code == 422
    assert "tie" in answer.text
    assert "selected>1<" in answer.text  # what was tapped is still there


def test_every_job_has_its_page_and_says_what_to_do(phones: dict[str, TestClient]) -> None:
    for job, phone in phones.items():
        page = phone.get("/")
        assert page.status_code == 200
        assert ("HOLD" in page.text) == (job != "visitor")


def test_pages_of_the_day_name_no_crew(phones: dict[str, TestClient], house: House) -> None:
    boats = house.rows("boats.csv")
    assert boats is not None
    for job, path in (("visitor", "/see"), ("visitor", "/calls"), ("announcer", "/race/announcer")):
        text = phones[job].get(path).text
        assert not [row.cells["crew"] for row in boats.rows if row.cells["crew"] in text]


@pytest.mark.parametrize("paper", ["heats", "cards", "board", "pack"])
def test_papers_of_the_next_heats_are_printed(phones: dict[str, TestClient], paper: str) -> None:
    answer = phones["director"].get(f"/race/papers/{paper}")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_no_such_paper(phones: dict[str, TestClient]) -> None:
    assert phones["director"].get("/race/papers/hats").status_code == 404


def test_a_gap_in_the_roster_is_a_bar_on_the_directors_page(
    phones: dict[str, TestClient], house: House
) -> None:
    helpers = house.path / "helpers.csv"
    assert "People: jobs and ratios" not in phones["director"].get("/race").text
    helpers.write_text(helpers.read_text("utf8").replace("first aider,first aider,,,\n", ""), "utf8")
    page = phones["director"].get("/race").text
    assert "People: jobs and ratios" in page
    assert "first aider" in page
