"""Classroom: a lesson from any boat, and any number of a forecast unfolded."""

from __future__ import annotations

import re
from typing import Any, Literal

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, MissingError
from skimwright.desk import Lesson, LessonAsk
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import FIRST_LANGUAGE, Made
from skimwright.web.jobs import STAFF
from skimwright.web.work import Work

doors = Doors()
PAPERS: tuple[Literal["a4", "letter"], ...] = ("a4", "letter")


@doors.get("/classroom", who=STAFF)
def classroom(visit: Visit) -> Response:
    """What there is for a lesson."""
    return _page(visit)


def _page(visit: Visit, error: InputError | None = None) -> Response:
    season = visit.house.season()
    context: dict[str, Any] = {
        "title": "Classroom",
        "season": season,
        "bands": tuple(season.groups),
        "papers": PAPERS,
        "languages": tuple(visit.house.files.lesson_languages()),
        "notes": desk.teacher_notes(words=visit.house.lesson_words(), first=visit.house.lesson_words()),
    }
    return (
        visit.again("classroom.html", error, **context) if error else visit.page("classroom.html", **context)
    )


@doors.post("/classroom/sheets", who=STAFF)
def sheets(visit: Visit) -> Response:
    """A class set of worksheets, and the keys on pages of their own."""
    house = visit.house
    group, paper = visit.typed("group", must=True), visit.typed("paper") or "a4"
    ask = LessonAsk(
        group=group, band=visit.typed("band") or None, paper=_paper(paper), large=bool(visit.typed("large"))
    )
    try:
        if group != "all" and group not in house.season().groups:
            raise InputError(what="there is no such group", got=f'"{group}"', do="Choose one from the list.")
    except InputError as error:
        return _page(visit, error)
    language = visit.typed("language") or FIRST_LANGUAGE
    words, first = house.lesson_words(language), house.lesson_words()
    foot = desk.printed_on(words, first, day=house.files.today())
    folder = house.new_folder()
    plain = re.sub(r"[^\w-]+", "-", group.lower())  # a name of a file, whatever the group is called

    def do(work: Work) -> None:
        season = house.season()
        log = desk.read_runs(house.rows("runs.csv"), season)
        work.progress(0, 3, "working the sheets out, each answer twice")
        made = desk.make_lessons(season, log, ask, words=words, first=first, foot=foot)
        for place, (kind, pages) in enumerate(
            (
                ("worksheets", [page for lesson in made.lessons for page in lesson.pages]),
                ("keys", [page for lesson in made.lessons for page in lesson.key]),
            ),
            1,
        ):
            work.progress(place, 3, f"writing the {kind}")
            pdf = house.files.as_pdf(pages, title=f"{kind} {group}", language=language)
            (folder / f"{kind}-{plain}.pdf").write_bytes(pdf)
        house.keep_made(
            work.id,
            Made(
                title="Worksheets", text="", findings=made.findings, folder=folder, back="/classroom",
                owner=visit.ticket.id,
            ),
        )  # fmt: skip

    work = house.bench.begin(f"Worksheets for {group}", do, owner=visit.ticket.id, folder=folder)
    work.back = f"/made/{work.id}"
    return visit.to(f"/doing/{work.id}")


def _paper(said: str) -> Literal["a4", "letter"]:
    for paper in PAPERS:
        if said == paper:
            return paper
    raise InputError(what="no such paper", got=f'"{said}"', allowed="a4 or letter", do="Choose one.")


@doors.get("/classroom/boats/{number:int}", who=STAFF)
def lesson(visit: Visit) -> Response:
    """One boat's worksheet as it prints; its key only when asked for."""
    entry = visit.house.season().boat(visit.in_path("number"))
    made = _lesson(visit, entry.number)
    return visit.page(
        "lesson.html", title=f"A lesson from {entry.number:02d} {entry.name}", entry=entry, lesson=made,
        bands=tuple(visit.house.season().groups), band=made.sheet.band, with_key=visit.asked("key") == "yes",
        languages=tuple(visit.house.files.lesson_languages()), language=_language(visit),
    )  # fmt: skip


@doors.get("/classroom/boats/{number:int}/sheet.pdf", who=STAFF)
def lesson_pdf(visit: Visit) -> Response:
    """That worksheet, or its key, to print."""
    made = _lesson(visit, visit.in_path("number"))
    is_key = visit.asked("key") == "yes"
    name = f"{'key' if is_key else 'worksheet'}-{made.boat:02d}.pdf"
    pdf = visit.house.files.as_pdf(made.key if is_key else made.pages, title=name, language=_language(visit))
    return visit.download(name, pdf)


def _lesson(visit: Visit, number: int) -> Lesson:
    house = visit.house
    season = house.season()
    log = desk.read_runs(house.rows("runs.csv"), season)
    ask = LessonAsk(boat=number, band=visit.asked("band") or None)
    words, first = house.lesson_words(_language(visit)), house.lesson_words()
    foot = desk.printed_on(words, first, day=house.files.today())
    return desk.make_lessons(season, log, ask, words=words, first=first, foot=foot).lessons[0]


def _language(visit: Visit) -> str:
    return visit.asked("language") or FIRST_LANGUAGE


@doors.get("/boats/{number:int}/numbers", who=STAFF)
def numbers(visit: Visit) -> Response:
    """Every number of its forecast, to be unfolded."""
    return _numbers(visit, "all")


@doors.get("/boats/{number:int}/numbers/{figure}", who=STAFF)
def number(visit: Visit) -> Response:
    """One number with its working."""
    return _numbers(visit, visit.in_path("figure"))


def _numbers(visit: Visit, figure: str) -> Response:
    house, boat = visit.house, visit.in_path("number")
    season, entry = house.season(), house.season().boat(boat)
    found = house.forecast_of(boat)
    if found is None:
        raise MissingError(
            what="this boat's forecast is not worked out, or the boat has changed since",
            do="Work it out in the boat's book first.",
        )
    words, first = house.lesson_words(_language(visit)), house.lesson_words()
    made = desk.explain_numbers(
        season, entry, found, words=words, first=first, figure=figure, band=visit.asked("band") or None
    )
    return visit.page(
        "numbers.html", title="How the numbers come about" if len(made) > 1 else made[0].explained.title,
        entry=entry, made=made, bands=tuple(season.groups), figure=figure, band=made[0].explained.band,
        languages=tuple(house.files.lesson_languages()), language=_language(visit),
    )  # fmt: skip
