"""Every command as a form: what a place of its own does not show yet can be done here all the same."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

from starlette.responses import Response

from skimwright.base import InputError, MissingError, ModelError, Where
from skimwright.cli import Ask, Option, Progress, Verb, parse, shelved_verbs
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import Made
from skimwright.web.jobs import ORGANISERS
from skimwright.web.work import Work

doors = Doors()
# Those that make or end a whole season, or show it: at the computer itself.
NOT_HERE = {"demo", "new", "import", "export", "keep", "host", "forget", "selfcheck"}
SEASON_LISTS = {"POND", "ENTRIES", "RESULTS"}  # blank: the season's own
USUAL_NAME = {"guide": "guide.pdf", "handicap": "starts.csv", "thrust": "device.toml"}


class _Watched(Progress):
    """Progress that is shown on a page, and at which the work can be stopped."""

    def __init__(self, work: Work) -> None:
        super().__init__()
        self._work = work

    def update(self, done: float, total: float, what: str) -> None:
        """As on the command line."""
        self._work.progress(done, total, what)
        if self._work.stopped():
            raise ModelError(what="stopped", do="Begin it again.")

    def say(self, sentence: str) -> None:
        """A sentence, at once."""
        self._work.progress(0.0, 0.0, sentence)


@doors.get("/office/commands", who=ORGANISERS)
def commands(visit: Visit) -> Response:
    """All of them, a line each."""
    return visit.page("commands.html", title="Every command", shelves=_shelves())


@doors.get("/office/commands/{verb}", who=ORGANISERS)
def form(visit: Visit) -> Response:
    """One as a form."""
    verb = _verb(visit)
    return visit.page("command.html", title=f"Command: {verb.name}", verb=verb, options=_shown(verb))


@doors.post("/office/commands/{verb}", who=ORGANISERS, takes_files=True)
def run(visit: Visit) -> Response:
    """Do it, beside the pages."""
    verb, house = _verb(visit), visit.house
    scratch, sent = house.new_folder(), house.new_folder()  # what it makes, and what was sent up for it
    try:
        given = parse(verb, [*_words(visit, verb, scratch, sent), "--season", str(house.path)])
    except InputError as error:
        for folder in (scratch, sent):
            shutil.rmtree(folder, ignore_errors=True)
        return visit.again(
            "command.html", error, title=f"Command: {verb.name}", verb=verb, options=_shown(verb)
        )

    def do(work: Work) -> None:
        ask = Ask(given=given, files=house.files, progress=_Watched(work), season_chosen=str(house.path))
        try:
            answer = verb.answer(ask)
        finally:
            shutil.rmtree(sent, ignore_errors=True)
        house.keep_made(
            work.id,
            Made(
                title=f"Command: {verb.name}", text=answer.text, findings=answer.findings, folder=scratch,
                back=f"/office/commands/{verb.name}", owner=visit.ticket.id,
            ),
        )  # fmt: skip
        house.hub.tell("season")

    work = house.bench.begin(f"Command: {verb.name}", do, owner=visit.ticket.id, folder=scratch)
    work.back = f"/made/{work.id}"
    house.diary(visit.ticket, "gave a command", [(verb.name, "", " ".join(_said(visit, verb)))])
    return visit.to(f"/doing/{work.id}")


def _shelves() -> dict[str, list[Verb]]:
    """Each shelf with its commands; none that is empty here."""
    found = {shelf: [v for v in verbs if v.name not in NOT_HERE] for shelf, verbs in shelved_verbs().items()}
    return {shelf: verbs for shelf, verbs in found.items() if verbs}


def _verbs() -> dict[str, Verb]:
    return {verb.name: verb for verbs in _shelves().values() for verb in verbs}


def _verb(visit: Visit) -> Verb:
    name = visit.in_path("verb")
    if name not in _verbs():
        raise MissingError(
            what="there is no such command here", got=f'"{name}"', do="Choose one from the list."
        )
    return _verbs()[name]


def _is_written(option: Option) -> bool:
    """A place it writes to: chosen here, never typed."""
    return option.flag in ("--out", "--write") and option.value.startswith(("DIR", "FILE"))


def _is_file(option: Option) -> bool:
    """A file it reads: sent up."""
    return option.value.startswith("FILE") or option.flag in (*SEASON_LISTS, "FILE")


def _shown(verb: Verb) -> list[tuple[Option, str]]:
    """What a person fills in, and in what way."""
    return [
        (
            option,
            "file" if _is_file(option) else "tick" if not option.value and not option.is_thing else "text",
        )
        for option in verb.options
        if not _is_written(option)
    ]


def _words(visit: Visit, verb: Verb, scratch: Path, sent: Path) -> list[str]:
    """The form as somebody would have typed it."""
    words: list[str] = []
    for option in verb.options:
        if _is_written(option):
            place = scratch if option.value == "DIR" else scratch / USUAL_NAME.get(verb.name, verb.name)
            said = str(place) if option.flag == "--out" or visit.typed(option.name) else ""
        elif _is_file(option):
            said = _sent_up(visit.files, option, sent)
        elif not option.value and not option.is_thing:
            words += [option.flag] if visit.typed(option.name) else []
            continue
        else:
            said = _no_path(visit.typed(option.name, longest=4000), option)
        if said:
            words += [said] if option.is_thing else [f"{option.flag}={said}"]
    return words


def _said(visit: Visit, verb: Verb) -> list[str]:
    return [f"{o.flag} {visit.typed(o.name, longest=4000)}" for o in verb.options if visit.form.get(o.name)]


def _sent_up(files: Mapping[str, bytes], option: Option, sent: Path) -> str:
    raw = files.get(option.name, b"")
    if not raw:
        return ""
    suffix = ".csv" if option.flag in ("ENTRIES", "RESULTS") or option.value.endswith(".csv") else ".toml"
    if raw.lstrip()[:1] in (b"{", b"["):
        suffix = ".json" if raw.lstrip()[:1] == b"{" else suffix
    path = sent / f"{option.name}{suffix}"
    path.write_bytes(raw)
    return str(path)


def _no_path(said: str, option: Option) -> str:
    """A page never names a file of this computer.

    Raises
    ------
    InputError
        It does.
    """
    if re.search(r"[\\\x00]|\.\.|^[/~]", said) or (
        option.is_thing and ("/" in said or said.startswith("--"))
    ):
        raise InputError(
            what="a page takes no path of this computer", got=f'"{said}"', allowed="a name, or a file sent up",
            do="Send the file up, or use the command line.", where=Where(field=option.flag),
        )  # fmt: skip
    return said
