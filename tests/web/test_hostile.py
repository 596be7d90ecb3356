"""What somebody at the pond could try, and what happens when the season under the pages goes bad."""

from __future__ import annotations

import asyncio
import base64
import shutil
import time

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import DEMO, AtPond, send, token

from skimwright.base import InputError
from skimwright.web import COOKIE, House, workbench
from skimwright.web.draw import Draw
from skimwright.web.places.race_jobs import sheet_lines
from skimwright.web.places.see import Shown

LONG = "9" * 5000  # more figures than Python turns into a number


@pytest.mark.parametrize("path", [f"/boats/{LONG}", f"/race/finish?heat={LONG}", "/made/x/%00", "/join/%00"])
def test_an_address_that_is_none_is_refused_and_nothing_breaks(at_pond: AtPond, path: str) -> None:
    for job in ("visitor", "finish-a"):
        assert at_pond(job).get(path).status_code in (403, 404, 414)


def test_a_cookie_of_brackets_without_end_is_no_sentence(at_pond: AtPond) -> None:
    phone = at_pond()
    phone.cookies.set("said", base64.urlsafe_b64encode(b"[" * 20_000).decode())
    assert phone.get("/enter").status_code == 200


@pytest.mark.parametrize("sign", ["\x00", "\x1b", "\x85", "\u202e", "\u2066"])
def test_signs_that_nobody_sees_reach_no_list(at_pond: AtPond, house: House, sign: str) -> None:
    before = house.stamp()
    pit = at_pond("pit")
    answer = send(pit, "/hold", reason="other", words=f"a{sign}b")
    assert answer.status_code == 422
    assert "cannot be written" in answer.text
    assert house.stamp() == before


def test_words_that_a_spreadsheet_would_work_out_get_a_blank_before_them(
    at_pond: AtPond, house: House
) -> None:
    words = '=HYPERLINK("http://else.example")'
    send(at_pond("pit"), "/hold", reason="other", words=words)
    assert '" =HYPERLINK' in (house.path / "holds.csv").read_text("utf8")
    grid = house.files.grid(house.path / "holds.csv")
    assert words in grid[-1]  # and no reader here sees the blank


def test_a_line_of_blanks_is_answered_at_once() -> None:
    began = time.process_time()
    with pytest.raises(InputError):
        sheet_lines("9 " + " " * 60_000 + "!")
    with pytest.raises(InputError):
        sheet_lines("9 " + "1 " * 140 + "!")
    assert time.process_time() - began < 5.0  # it was hours


@pytest.mark.parametrize(
    "back", ["/x\r\nX-Evil: 1", "/💧", "/\t/else.example", "//else.example", "/\\else.example"]
)
def test_the_way_back_leads_nowhere_else(at_pond: AtPond, back: str) -> None:
    pit = at_pond("pit")
    fields = {"token": token(pit), "reason": "water", "back": back}
    plain = pit.post("/hold", data=fields, follow_redirects=False)
    part = pit.post("/hold", data=fields, headers={"HX-Request": "true"}, follow_redirects=False)
    assert plain.headers["Location"] == part.headers["HX-Redirect"] == "/hold"


def test_a_page_of_one_phone_is_never_kept_for_another(at_pond: AtPond) -> None:
    answer = at_pond("crew").get("/static/none.js")
    assert answer.status_code == 404
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_fault_of_ours_is_one_sentence_with_every_header(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(House, "season", lambda self: 1 / 0)
    site = TestClient(
        workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 5), raise_server_exceptions=False
    )
    answer = site.get("/office")
    assert answer.status_code == 500
    assert "Go on with paper" in answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["Cache-Control"] == "no-store"
    assert "default-src" in answer.headers["Content-Security-Policy"]


def test_a_full_disk_is_said_in_a_sentence(
    desk_browser: TestClient, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*given: object, **more: object) -> None:
        raise OSError(28, "No space left on device")

    key = token(desk_browser)
    monkeypatch.setattr("os.fsync", full)
    monkeypatch.setattr("tempfile.mkdtemp", full)
    for path, fields in (
        ("/hold", {"reason": "water"}), ("/office/phones", {"job": "crew"}), ("/classroom/sheets", {"group": "all"}),
    ):  # fmt: skip
        answer = desk_browser.post(path, data={"token": key} | fields)
        assert answer.status_code == 503, path
        assert "no space left" in answer.text
        assert str(house.path) not in answer.text  # no place on this computer


# who is at the computer itself


def test_what_is_passed_on_from_elsewhere_is_not_the_desk(house: House) -> None:
    for name in ("X-Forwarded-For", "Forwarded", "Via", "X-Real-IP"):
        passed = TestClient(
            workbench(house),
            base_url="http://127.0.0.1",
            client=("127.0.0.1", 5),
            headers={name: "192.0.2.9"},
        )
        assert passed.get("/office").status_code == 403, name


def test_the_ticket_of_the_desk_is_good_only_there(desk_browser: TestClient, at_pond: AtPond) -> None:
    assert desk_browser.get("/office").status_code == 200
    phone = at_pond()
    phone.cookies.set(COOKIE, desk_browser.cookies[COOKIE])
    assert phone.get("/office").status_code == 403


def test_a_form_that_comes_by_a_safe_line_from_the_same_name_is_ours(at_pond: AtPond) -> None:
    pit = at_pond("pit")
    fields = {"token": token(pit), "reason": "water"}
    for origin, status in (("https://192.0.2.7", 303), ("https://192.0.2.8", 403), ("null", 403)):
        answer = pit.post("/hold", data=fields, headers={"Origin": origin}, follow_redirects=False)
        assert answer.status_code == status, origin


# a season that goes bad while it is open


def spoil(house: House, file: str) -> None:
    (house.path / file).write_text('Mina Example,"x\n1,2,3\n', "utf8")


def spoil_cell(house: House, file: str, column: str) -> None:
    path = house.path / file
    head, row, *rest = path.read_text("utf8").splitlines()
    cells = row.split(",")
    cells[head.split(",").index(column)] = "Mina Example"
    path.write_text("\n".join([head, ",".join(cells), *rest]) + "\n", "utf8")


def make_anew(house: House) -> None:
    house.seen = None


@pytest.mark.parametrize(
    "file", ["results.csv", "entries.csv", "holds.csv", "day.toml", "season.toml", "pond.toml"]
)
def test_spectators_keep_the_last_good_table(at_pond: AtPond, house: House, file: str) -> None:
    phone = at_pond()
    good = phone.get("/see").text
    spoil(house, file)
    make_anew(house)
    for path in ("/see", "/calls"):
        answer = phone.get(path)
        assert answer.status_code == 200, path
        assert "cannot be read" in answer.text
        assert "Mina" not in answer.text
    assert good[good.index("<table") : good.index("</table>")] in phone.get("/see").text
    assert "<strong>Go<" not in phone.get("/calls").text


def test_spectators_keep_it_when_the_season_is_gone_and_see_it_again_when_it_is_back(
    at_pond: AtPond, house: House
) -> None:
    phone = at_pond()
    assert "cannot be read" not in phone.get("/see").text
    away = house.path.with_name("away")
    shutil.move(house.path, away)
    make_anew(house)
    assert "cannot be read" in phone.get("/see").text
    shutil.move(away, house.path)
    make_anew(house)
    assert "cannot be read" not in phone.get("/see").text


@pytest.mark.parametrize(
    ("file", "column"), [("boats.csv", "kit"), ("boats.csv", "mass_g"), ("entries.csv", "boat")]
)
def test_what_a_spoilt_cell_says_is_for_the_organiser_alone(
    at_pond: AtPond, house: House, file: str, column: str
) -> None:
    spoil_cell(house, file, column)
    path = "/" if file == "boats.csv" else "/see"
    for job in ("visitor", "pit", "crew"):
        answer = at_pond(job).get(path if job == "visitor" else "/water" if job == "crew" else "/race/pit")
        assert "Mina" not in answer.text
        if job == "visitor":
            assert f"{file}, row 2, {column}" in answer.text
    organiser = at_pond("organiser").get("/" if file == "boats.csv" else "/race").text
    assert "Mina Example" in organiser


def test_every_page_says_the_sentence_of_a_spoilt_list(desk_browser: TestClient, house: House) -> None:
    spoil(house, "boats.csv")
    for path in ("/", "/board", "/scales", "/water", "/office", "/classroom", "/boats/7", "/scales/boats/7"):
        answer = desk_browser.get(path)
        assert answer.status_code in (200, 422), path
        assert answer.status_code == 200 or "boats.csv, row 2" in answer.text


def test_a_season_that_is_gone_is_said_without_its_place(desk_browser: TestClient, house: House) -> None:
    shutil.move(house.path, house.path.with_name("away"))
    answer = desk_browser.get("/")
    assert answer.status_code == 404
    assert "no season there" in answer.text
    assert str(house.path.parent) not in answer.text


def test_news_of_a_season_that_was_never_good_ends_no_line(house: House) -> None:
    async def listen() -> str:
        lines = Shown(house, Draw()).listen("192.0.2.9")
        await anext(lines)
        house.hub.tell("race")
        message = await asyncio.wait_for(anext(lines), 20)
        await lines.aclose()  # type: ignore[attr-defined]
        return message.decode() if isinstance(message, bytes) else message

    spoil(house, "results.csv")
    assert asyncio.run(listen()).startswith(": cannot be read")
    shutil.copy(DEMO / "results.csv", house.path / "results.csv")
    assert asyncio.run(listen()).startswith("event: page")
