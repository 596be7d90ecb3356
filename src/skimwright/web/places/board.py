"""Board: a kit's numbers as boxes, the boat they make, and what changed since it was saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import ConflictError, InputError, SkimwrightError, Where
from skimwright.base.drawing import Drawing
from skimwright.desk import DrawnBoard, KitChange, KitNumber, Layout, PartLine
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import ORGANISERS
from skimwright.web.kits import KitHere, kept_layout, kit_here, kits_here

doors = Doors()
LONGEST = 40  # of a number as typed
OPEN = ("Hull", "Sponsons", "Running pads")


@doors.get("/board", who=ORGANISERS)
def board(visit: Visit) -> Response:
    """Every kit, and two of them side by side."""
    kits = kits_here(visit.house)
    drawings = [(here, desk.draw_board(here.kit)) for here in kits]
    return visit.page("kits.html", title="Board", kits=kits, drawings=drawings)


@doors.get("/board/compare", who=ORGANISERS)
def compare(visit: Visit) -> Response:
    """What changes from one kit to another."""
    kits = kits_here(visit.house)
    before = kit_here(visit.house, visit.asked("before", kits[0].slug))
    after = kit_here(visit.house, visit.asked("after", kits[-1].slug))
    made = desk.compare_kits(before.kit, after.kit)
    return visit.page(
        "compare.html", title=f"{before.kit.name} and {after.kit.name}", kits=kits, before=before, after=after,
        made=made,
    )  # fmt: skip


@doors.get("/board/{kit}", who=ORGANISERS)
def kit(visit: Visit) -> Response:
    """One kit as saved."""
    here = kit_here(visit.house, visit.in_path("kit"))
    return _page(visit, here, typed={}, lit=visit.asked("part"))


@doors.post("/board/{kit}/look", who=ORGANISERS)
def look(visit: Visit) -> Response:
    """The boat that the boxes make; nothing is kept."""
    here = kit_here(visit.house, visit.in_path("kit"))
    clicked, lit = visit.form.get("click", ""), visit.form.get("lit", "")
    lit = ("" if clicked == lit else clicked) if clicked else lit
    return _page(visit, here, typed=_typed(visit, here.numbers(visit.house)), lit=lit)


@doors.post("/board/{kit}/save", who=ORGANISERS)
def save(visit: Visit) -> Response:
    """Keep the boxes as a new kit; the old one stays as it is."""
    here, house = kit_here(visit.house, visit.in_path("kit")), visit.house
    numbers = here.numbers(house)
    typed = _typed(visit, numbers)
    try:
        changes = _changes(numbers, typed)
        name = desk.new_kit_name(visit.typed("name"), house.season().kits)
        file = f"kits/{desk.kit_file(name)}"
        with house.alone():
            if house.files.is_file(house.path / file):
                raise ConflictError(what="there is a file of this name", got=file, do="Choose another name.",
                                    where=Where(field="name of the new kit"))  # fmt: skip
            desk.draw_board(desk.redrawn_kit(here.table(house), changes, file=desk.kit_file(name), name=name))
            text = desk.kit_text(house.files.text(house.path / here.file), changes, name=name)
            house.files.write(house.path / file, text)
    except SkimwrightError as error:
        return _page(visit, here, typed=typed, lit=visit.form.get("lit", ""), error=error)
    lines = [(f"{name}: {c.number.group}, {c.number.label}", c.number.saved, c.typed) for c in changes]
    house.diary(visit.ticket, f"made a kit from {here.kit.name}", lines or [(name, "", "")])
    house.hub.tell("season")
    return visit.to(f"/board/{desk.kit_file(name).removesuffix('.toml')}",
                    said=f"Saved as {name}. {here.kit.name} is as it was.")  # fmt: skip


def _typed(visit: Visit, numbers: tuple[KitNumber, ...]) -> dict[str, str]:
    """The boxes as they stand; one may be put back."""
    typed = {n.key: " ".join(visit.form.get(n.key, n.saved).split()) for n in numbers}
    back = visit.form.get("back", "")
    return typed | {n.key: n.saved for n in numbers if n.key == back}


def _changes(numbers: tuple[KitNumber, ...], typed: Mapping[str, str]) -> tuple[KitChange, ...]:
    for number in numbers:
        if len(typed[number.key]) > LONGEST:
            raise InputError(
                what="too long for a number", got=f"{len(typed[number.key])} letters",
                allowed=f"up to {LONGEST}", do="Write one number.", where=Where(field=number.key),
            )  # fmt: skip
    return desk.changed_numbers(numbers, typed)


def _page(
    visit: Visit, here: KitHere, *, typed: Mapping[str, str], lit: str, error: SkimwrightError | None = None
) -> Response:
    """The whole page, or what of it a script has asked for."""
    numbers = here.numbers(visit.house)
    typed = {number.key: number.saved for number in numbers} | dict(typed)
    changes: tuple[KitChange, ...] = ()
    drawn, saved = None, desk.float_kit(here.kit)
    try:
        changes = _changes(numbers, typed)
        drawn = desk.draw_board(
            desk.redrawn_kit(here.table(visit.house), changes, file=here.file.split("/")[-1]), lit=lit
        )
    except SkimwrightError as fault:
        error = error or fault
    context: dict[str, Any] = {
        "at": f"/board/{here.slug}", "kit": here, "numbers": numbers, "typed": typed, "changes": changes,
        "drawn": drawn or desk.draw_board(here.kit, lit=lit), "is_drawn": drawn is not None, "saved": saved,
        "lit": lit, "wrong_here": error.sentence() if error else "",
    }  # fmt: skip
    boxes = context["boxes"] = _named(numbers, error.where.field if error else "")
    layout = kept_layout(visit.house, here.kit, 1)
    context["cards"] = _cards(context["drawn"], layout)
    context["order"] = "as they lie on the sheet" if layout else "in fitting order"
    status = 422 if error else 200
    if visit.is_part and drawn is None:  # the last good drawing stays
        answer = visit.page("kit_wrong.html", status=status, **context)
        answer.headers["HX-Retarget"] = "#wrong"
        return answer
    if visit.is_part and not visit.form.get("back"):
        return visit.page("kit_drawn.html", status=status, **context)
    context["groups"] = _groups(here, numbers, [change.number for change in changes] + boxes)
    if visit.is_part:  # a box changed too
        answer = visit.page("kit_form.html", **context)
        answer.headers["HX-Retarget"] = "#drawing"
        return answer
    return visit.page("kit.html", status=status, title=here.kit.name, **context)


def _groups(
    here: KitHere, numbers: tuple[KitNumber, ...], seen: Sequence[KitNumber]
) -> list[tuple[str, bool, list[tuple[KitNumber, Drawing]]]]:
    """Name, whether it is unfolded, and each box with its picture."""
    return [
        (
            group,
            group in OPEN or any(number.group == group for number in seen),
            [(number, desk.number_picture(here.kit, number.key)) for number in inside],
        )
        for group, inside in (
            (group, [n for n in numbers if n.group == group])
            for group in dict.fromkeys(n.group for n in numbers)
        )
    ]


def _cards(drawn: DrawnBoard, layout: Layout | None) -> list[tuple[PartLine, Drawing]]:
    """Each word of the parts list with its outline; from the sheet's left to its right if it is laid out."""
    first = {part.code: part for part in reversed(drawn.kit.parts)}
    placed = sorted(layout.nest.placements, key=lambda p: (p.sheet, p.x, p.y)) if layout else []
    lies: dict[str, int] = {}
    for place, placement in enumerate(placed):
        lies.setdefault(placement.key.split()[0], place)
    lines = sorted(drawn.shape.parts, key=lambda line: lies.get(line.part, len(lies)))
    return [(line, desk.part_picture(first[line.part])) for line in lines]


def _named(numbers: tuple[KitNumber, ...], field: str) -> list[KitNumber]:
    """The boxes that a message speaks of."""
    words = field.replace(",", " ").split()
    return [number for number in numbers if number.key in words]
