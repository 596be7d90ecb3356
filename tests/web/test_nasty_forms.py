"""Every form that any page shows, found by walking the links, is sent with what nobody should type."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from html.parser import HTMLParser

import pytest
from starlette.testclient import TestClient

from skimwright.web import ANYONE, House, all_doors
from skimwright.web.safe import Pace
from skimwright.web.work import Bench, Work

MOST_PAGES = 160
NASTY = [
    "", " ", "-1", "0", "1e999", "nan", "inf", "99999999999999999999", "12,5", "12.5.2", "½", "٣", "７",
    "<script>alert(1)</script>", "'; DROP TABLE event;--", "{{7*7}}", "../../etc/passwd", "%00", "\x00",
    "\r\nSet-Cookie: x=1",
    "A" * 5000, "💧" * 300, "\u202e", "none", "null", "True", "[]", "{}", "01", "07,08", "=1+1", "@sum(A1)",
]  # fmt: skip


@dataclass
class Form:
    """One form of a page."""

    action: str
    files: bool = False
    fields: dict[str, str] = field(default_factory=dict)


class Forms(HTMLParser):
    """The forms and links of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and given.get("href", "").startswith("/"):
            self.links.append(given["href"].split("#")[0])
        if tag == "form" and given.get("method", "").lower() == "post":
            self.forms.append(Form(action=given["action"], files="multipart" in given.get("enctype", "")))
        if tag in ("input", "select", "textarea", "button") and self.forms and given.get("name"):
            self.forms[-1].fields[given["name"]] = given.get("value", "")


@pytest.fixture
def forms(desk_browser: TestClient) -> list[Form]:
    """Of every page that can be walked to from the first; one page of each kind of address is enough."""
    seen, waiting, found = set(), ["/"], {}
    patterns = set()
    while waiting and len(seen) < MOST_PAGES:
        path = waiting.pop(0)
        kind = "".join(c for c in path.split("?")[0] if not c.isdigit())
        if path in seen or kind in patterns:
            continue
        seen.add(path)
        patterns.add(kind)
        answer = desk_browser.get(path, follow_redirects=True)
        assert answer.status_code < 500, path
        if "html" not in answer.headers.get("content-type", ""):
            continue
        page = Forms()
        page.feed(answer.text)
        waiting += page.links
        for form in page.forms:
            found.setdefault((form.action, tuple(sorted(form.fields))), form)
    return list(found.values())


@pytest.fixture
def idle(monkeypatch: pytest.MonkeyPatch, house: House) -> None:
    """Long work is begun but not done, and nobody is too fast: this is about what gets in."""
    house.pace = Pace(most=10**9, seconds=60.0)
    house.guesses = Pace(most=10**9, seconds=60.0)
    monkeypatch.setattr(
        Bench,
        "begin",
        lambda self, what, do, *, owner, back="", folder=None: Work(
            id="x", what=what, owner=owner, back=back
        ),
    )


def test_walking_finds_the_actions_there_are(forms: list[Form]) -> None:
    doors = [door for door in all_doors() if door.method == "POST" and not door.who >= ANYONE]
    assert len({form.action for form in forms}) >= len(doors) // 3


def test_no_form_breaks_on_what_nobody_should_type(
    desk_browser: TestClient, house: House, forms: list[Form], idle: None
) -> None:
    draw = random.Random(1906)
    for form in forms:
        names = [name for name in form.fields if name != "token"]
        for turn in range(10):
            typed = {name: draw.choice(NASTY) for name in names}
            if turn == 0:
                typed = {}
            elif turn < 4:  # one bad among good ones
                typed = {name: form.fields[name] for name in names}
                if names:
                    typed[draw.choice(names)] = draw.choice(NASTY)
            data = {"token": form.fields.get("token", "")} | typed
            answer = desk_browser.post(form.action, data=data, follow_redirects=False)
            assert answer.status_code != 429
            assert answer.status_code < 500 or answer.status_code == 503, (
                form.action,
                typed,
                answer.text[:300],
            )
            assert "<script>alert" not in answer.text
            assert "\r\nSet-Cookie" not in str(answer.headers)
    assert house.season().boats  # and the season can still be read


def test_names_of_files_sent_up_lead_nowhere(
    desk_browser: TestClient, forms: list[Form], idle: None, tmp_path
) -> None:
    before = set(tmp_path.rglob("*"))
    for form in (form for form in forms if form.files):
        files = {name: ("../../../../outside.csv", b"heat,boat\n") for name in form.fields if name != "token"}
        token = form.fields.get("token", "")
        answer = desk_browser.post(form.action, data={"token": token}, files=files, follow_redirects=False)
        assert answer.status_code < 500
    made = set(tmp_path.rglob("*")) - before
    assert not [path for path in made if "outside" in path.name]
