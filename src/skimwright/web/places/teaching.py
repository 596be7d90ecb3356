"""For the teacher: notes, experiment cards, a fair test planned, and a training day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError
from skimwright.base.drawing import Drawing
from skimwright.desk import BoatForecast, MadePlan
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import FIRST_LANGUAGE, Made
from skimwright.web.jobs import STAFF
from skimwright.web.work import Work

doors = Doors()
SETS = range(1, 10_000)


def _said(visit: Visit, language: str | None = None) -> dict[str, Any]:
    """The words of the language asked for, those to fall back on, and the foot of every page."""
    words = visit.house.lesson_words(language or visit.asked("language") or FIRST_LANGUAGE)
    first = visit.house.lesson_words()
    return {
        "words": words,
        "first": first,
        "foot": desk.printed_on(words, first, day=visit.house.files.today()),
    }


def _shown(visit: Visit, title: str, pages: Sequence[Drawing], *, name: str, **context: Any) -> Response:
    """Pages in the browser, or as a file to print."""
    language = visit.asked("language") or FIRST_LANGUAGE
    if visit.asked("as") == "pdf":
        return visit.download(f"{name}.pdf", visit.house.files.as_pdf(pages, title=title, language=language))
    usual: dict[str, Any] = {
        "ways": (), "bands": (), "band": "", "boats": (), "boat": None, "fields": (), "says": (),
    }  # fmt: skip
    languages = tuple(visit.house.files.lesson_languages())
    return visit.page(
        "pages.html", title=title, pages=pages, languages=languages, language=language, **usual | context
    )


@doors.get("/classroom/notes/{topic}", who=STAFF)
def note(visit: Visit) -> Response:
    """One topic on a page."""
    topic = visit.in_path("topic").replace("-", " ")
    made = desk.teacher_notes(topic=topic, **_said(visit))
    return _shown(visit, made[0].note.title, made[0].pages, name=f"notes-{made[0].note.topic}")


@doors.get("/classroom/experiments", who=STAFF)
def experiments(visit: Visit) -> Response:
    """The cards there are."""
    made = desk.experiment_cards(visit.house.season(), **_said(visit))
    return visit.page("experiments.html", title="Experiments", cards=made)


@doors.get("/classroom/experiments/{name}", who=STAFF)
def experiment(visit: Visit) -> Response:
    """One card; with readings, what they say."""
    season = visit.house.season()
    name = visit.in_path("name").replace("-", " ")
    number = visit.asked("boat")
    entry = season.boat(int(number)) if number.isascii() and number.isdigit() else None
    common: dict[str, Any] = {
        "name": name,
        "entry": entry,
        "band": visit.asked("band") or None,
        **_said(visit),
    }
    blank = desk.experiment_cards(season, **common)[0].card
    keys = [reading.name for reading in blank.experiment.readings]
    typed = {key: visit.asked(key).strip() for key in keys}
    made = desk.experiment_cards(season, readings={k: v for k, v in typed.items() if v}, **common)[0]
    units = [f", {reading.unit}" if reading.unit else "" for reading in blank.experiment.readings]
    labels = {key: what + unit for key, (what, _), unit in zip(keys, blank.readings, units, strict=True)}
    return _shown(
        visit, made.card.title, made.pages, name=f"experiment-{blank.experiment.key}",
        ways=(("Experiments", "/classroom/experiments"),), bands=tuple(season.groups), band=made.card.band,
        boats=season.ready, boat=entry.number if entry else None,
        fields=[(key, labels[key], typed[key]) for key in keys],
        says=[*(f"{step.says} {step.sum} = {step.answer}" for step in made.card.result), made.card.verdict],
    )  # fmt: skip


@doors.get("/classroom/fair-test", who=STAFF)
def fair_test(visit: Visit) -> Response:
    """One change, and how many runs it takes to see it."""
    house, season = visit.house, visit.house.season()
    number = visit.asked("boat")
    boat = int(number) if number.isascii() and number.isdigit() else None
    found = house.forecast_of(boat) if boat is not None else None
    changes = _changes(found) if found is not None else []
    chosen = [key for key in visit.request.query_params.getlist("change") if key]
    plan: MadePlan | None = None
    if found is not None and chosen and boat is not None:
        log = desk.read_runs(house.rows("runs.csv"), season)
        plan = desk.fair_test(season, season.boat(boat), log, found, changes=chosen, **_said(visit))
        if visit.asked("as") == "pdf":
            pdf = house.files.as_pdf(plan.pages, title=plan.plan.title, language=FIRST_LANGUAGE)
            return visit.download(f"fair-test-{boat:02d}.pdf", pdf)
    return visit.page(
        "fair_test.html", title="A fair test", boats=season.ready, boat=boat, worked=found is not None,
        changes=changes, chosen=chosen, plan=plan,
    )  # fmt: skip


def _changes(found: BoatForecast) -> list[tuple[str, str]]:
    """What was measured on the boat and could be put right."""
    return [(effect.key, effect.words) for effect in found.effects if effect.key in desk.BUILD_WORDS]


@doors.get("/classroom/training", who=STAFF)
def training(visit: Visit) -> Response:
    """What a training day needs."""
    return _training(visit)


def _training(visit: Visit, error: InputError | None = None) -> Response:
    languages = tuple(visit.house.files.lesson_languages())
    context: dict[str, Any] = {"title": "A training day", "languages": languages}
    return visit.again("training.html", error, **context) if error else visit.page("training.html", **context)


@doors.post("/classroom/training", who=STAFF)
def make_training(visit: Visit) -> Response:
    """The pack, worked out beside the pages."""
    house, number = visit.house, visit.typed("set", must=True)
    if not (number.isascii() and number.isdigit() and int(number) in SETS):
        return _training(
            visit,
            InputError(
                what="not the number of a set", got=f'"{number}"', allowed="1 to 9999", do="Write one."
            ),
        )
    language, only = visit.typed("language") or FIRST_LANGUAGE, bool(visit.typed("answers"))
    said = _said(visit, language)
    folder = house.new_folder()

    def do(work: Work) -> None:
        work.progress(0, 1, "working out what each fault does on the water")
        made = desk.training_pack(house.season(), seed=int(number), only_answers=only, **said)
        name = f"training-{'answers-' if only else ''}set-{number}.pdf"
        (folder / name).write_bytes(house.files.as_pdf(made.pages, title=name, language=language))
        house.keep_made(
            work.id,
            Made(title="A training day", text="", findings=(), folder=folder, back="/classroom/training",
                 owner=visit.ticket.id),
        )  # fmt: skip

    work = house.bench.begin("A training day", do, owner=visit.ticket.id, folder=folder)
    work.back = f"/made/{work.id}"
    return visit.to(f"/doing/{work.id}")
