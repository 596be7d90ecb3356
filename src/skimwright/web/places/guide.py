"""Build guide on a phone, a step a page, and the boat in the round.  Nothing here names a person: anybody may look."""

from __future__ import annotations

import json
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, Where
from skimwright.base.drawing import Drawing
from skimwright.desk import MadeGuide
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import House
from skimwright.web.jobs import ANYONE, STAFF
from skimwright.web.kits import KitHere, kit_here

doors = Doors()
USUAL_GROUP = "Rush"
PAPERS = {"a4": "A4", "letter": "Letter"}
MOST_DRAWN = 200  # pictures of steps
_drawn: dict[tuple[str, str, int], tuple[Drawing, ...]] = {}


@doors.get("/board/{kit}/guide", who=ANYONE)
def guide(visit: Visit) -> Response:
    """The steps, their times, and where an adult looks."""
    here, made = _made(visit)
    return visit.page("guide.html", **_context(here, made), title=f"Build {here.kit.name}", papers=PAPERS)


@doors.get("/board/{kit}/guide/{step:int}", who=ANYONE)
def step(visit: Visit) -> Response:
    """One step on one page."""
    here, made = _made(visit)
    number = visit.in_path("step")
    drawings = _drawings(made, number)
    context = _context(here, made)
    return visit.page("guide_step.html", title=context["steps"][number - 1]["title"], step=context["steps"][number - 1],
                      drawings=drawings, **context)  # fmt: skip


@doors.get("/board/{kit}/guide/{file}", who=STAFF)
def printed(visit: Visit) -> Response:
    """The whole guide on paper; seconds of work, so it is not for everybody."""
    here = kit_here(visit.house, visit.in_path("kit"))
    paper = visit.in_path("file").removesuffix(".pdf")
    ask = desk.GuideAsk(
        group=visit.asked("group", USUAL_GROUP), paper=paper, large_print=visit.asked("large") == "yes"
    )
    made = desk.make_guide(here.kit, ask, languages=_words(visit.house))
    title = f"{here.kit.name}, edition {here.kit.edition}"
    content = visit.house.files.as_pdf(made.pages, title=title, language=ask.language)
    return visit.download(f"{here.slug}-guide-{made.guide.group.lower()}-{paper.lower()}.pdf", content)


@doors.get("/board/{kit}/round", who=ANYONE)
def in_the_round(visit: Visit) -> Response:
    """The boat turning, and from three sides."""
    here, made = _made(visit)
    asked = visit.asked("step", str(len(made.guide.steps) + 1))
    if not (asked.isascii() and asked.isdigit() and 1 <= int(asked) <= len(made.guide.steps) + 1):
        raise InputError(what="there is no such step", got=f'"{asked[:20]}"', do="Choose one in the guide.",
                         where=Where(field="step"))  # fmt: skip
    views = desk.draw_board(here.kit).views
    return visit.page("round.html", title=f"{here.kit.name} in the round", views=views, first=int(asked),
                      **_context(here, made))  # fmt: skip


@doors.get("/board/{kit}/solids.json", who=ANYONE)
def solids(visit: Visit) -> Response:
    """Parts as triangles and the steps that bring them."""
    _, made = _made(visit)
    text = json.dumps(desk.solids_as_data(made), ensure_ascii=False, separators=(",", ":"))
    return Response(text, media_type="application/json")


def _made(visit: Visit) -> tuple[KitHere, MadeGuide]:
    here = kit_here(visit.house, visit.in_path("kit"))
    ask = desk.GuideAsk(group=visit.asked("group", USUAL_GROUP))
    return here, desk.make_guide(here.kit, ask, languages=_words(visit.house), steps_only=True)


def _words(house: House) -> dict[str, dict[str, Any]]:
    return {letters: house.files.table(path) for letters, path in house.files.guide_languages().items()}


def _context(here: KitHere, made: MadeGuide) -> dict[str, Any]:
    return {"kit": here, "made": made, "steps": desk.step_data(made), "group": made.guide.group}


def _drawings(made: MadeGuide, number: int) -> tuple[Drawing, ...]:
    """Kept: a class of phones asks for the same picture at once."""
    key = (made.kit.name, made.kit.edition, number)
    drawn = _drawn.get(key)
    if drawn is None:
        drawn = _drawn[key] = desk.step_drawings(made, number)
        while len(_drawn) > MOST_DRAWN:
            _drawn.pop(next(iter(_drawn)), None)
    return drawn
