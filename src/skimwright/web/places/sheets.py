"""Sheets: the parts laid on board, true-size pages, files for a cutter, labels and the order list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, MissingError, Where, parse_quantity
from skimwright.base.drawing import Drawing
from skimwright.cli import size_mm, whole
from skimwright.desk import CutSheet, Layout, NestProgress
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import ORGANISERS
from skimwright.web.kits import KitHere, keep_layout, kept_layout, kit_here
from skimwright.web.work import Work

doors = Doors()
MOST_BOATS = 60
SECONDS = 30.0  # of packing
FOOT = "Made with Skimwright. Tick each part into the bag; count twice, pack once."


@doors.get("/board/{kit}/sheets", who=ORGANISERS)
def sheets(visit: Visit) -> Response:
    """The layout, or how to get one."""
    here = kit_here(visit.house, visit.in_path("kit"))
    boats = _boats(visit.asked("boats", "1"))
    return visit.page("sheets.html", **_context(visit, here, boats))


@doors.post("/board/{kit}/sheets", who=ORGANISERS)
def lay(visit: Visit) -> Response:
    """Lay so many boats out, beside the pages."""
    here, house = kit_here(visit.house, visit.in_path("kit")), visit.house
    boats = 1
    try:
        boats = _boats(visit.typed("boats", must=True))
        typed = visit.typed("sheet", longest=40)
        size = size_mm(typed, Where(field="size of a sheet")) if typed else None
        grain = _grain(visit.typed("grain"))
    except InputError as error:
        return visit.again("sheets.html", error, **_context(visit, here, boats))

    def do(work: Work) -> Layout:
        def tell(now: NestProgress) -> None:
            best = "no layout yet" if now.best is None else f"{now.best} so far"
            saying = f"seconds of packing: {best}, at least {now.lower_bound}, trying {now.trying}"
            work.progress(round(now.seconds, 1), now.allowed, saying)

        layout = desk.lay_out(
            [(here.kit, boats)], packer=house.files.packer(), sheet=size, seconds=SECONDS, grain=grain, progress=tell,
            stop=work.stopped,
        )  # fmt: skip
        if not work.stopped():
            keep_layout(house, layout)
        return layout

    back = f"/board/{here.slug}/sheets?boats={boats}"
    work = house.bench.begin(
        f"Sheets for {here.kit.name}, {boats} boat{'s' if boats > 1 else ''}",
        do,
        owner=visit.ticket.id,
        back=back,
    )
    return visit.to(f"/doing/{work.id}")


@doors.get("/board/{kit}/sheets/{boats:int}/{file}", who=ORGANISERS)
def download(visit: Visit) -> Response:
    """One file of a layout."""
    here = kit_here(visit.house, visit.in_path("kit"))
    layout = kept_layout(visit.house, here.kit, visit.in_path("boats"))
    if layout is None:
        raise MissingError(what="this layout is no longer kept", do="Lay the parts out again.")
    name = visit.in_path("file")
    make = _files(visit, layout).get(name)
    if make is None:
        raise MissingError(what="there is no such file", do="Choose one from the list.")
    return visit.download(f"{here.slug}-{name}", make())


@doors.get("/board/{kit}/labels/{paper}", who=ORGANISERS)
def labels(visit: Visit) -> Response:
    """A page for each boat's bag: those of the season, or numbered ones."""
    here = kit_here(visit.house, visit.in_path("kit"))
    paper = {"a4.pdf": "a4", "letter.pdf": "letter"}.get(visit.in_path("paper"))
    if paper is None:
        raise MissingError(what="there is no such paper", allowed="a4.pdf, letter.pdf", do="Choose one.")
    if here.boats and not visit.asked("boats"):
        made = desk.bags_of_season(visit.house.season(), kits=[here.kit.name], paper=paper, foot=FOOT)
        pages = [page for _, _, page in made]
    else:
        boats = _boats(visit.asked("boats", "1"))
        pages = list(desk.bags_of_kit(here.kit, boats=boats, paper=paper, foot=FOOT)[1])
    content = visit.house.files.as_pdf(pages, language="en", title=f"Bags, {here.kit.name}")
    return visit.download(f"{here.slug}-labels-{paper}.pdf", content)


@doors.post("/board/{kit}/bar", who=ORGANISERS)
def bar(visit: Visit) -> Response:
    """What a ruler reads on a printed page: may it be cut?"""
    here = kit_here(visit.house, visit.in_path("kit"))
    try:
        where = Where(field="bar")
        reading = parse_quantity(visit.typed("bar", must=True), "length", default_unit="mm", where=where)
        read = desk.read_bar(here.kit, reading=reading)
    except InputError as error:
        return visit.again("sheets.html", error, **_context(visit, here, 1))
    return visit.page("sheets.html", **_context(visit, here, 1) | {"read": read})


@doors.get("/board/{kit}/parts/{part}", who=ORGANISERS)
def lost(visit: Visit) -> Response:
    """One part at full size, for what was lost or broken."""
    here = kit_here(visit.house, visit.in_path("kit"))
    code = visit.in_path("part").removesuffix(".pdf")
    files = visit.house.files
    foot = f"{here.kit.name} edition {here.kit.edition}, {code}"
    pages = [
        page
        for template in desk.part_templates(here.kit, code)
        for page in files.as_tiles(template, "a4", foot)
    ]
    return visit.download(f"{here.slug}-{code}.pdf", files.as_pdf(pages, language="en", title=foot))


def _boats(text: str) -> int:
    number: int = whole(low=1, high=MOST_BOATS)(text, Where(field="boats"))
    return number


def _grain(word: str) -> str | None:
    """Which way the board is stiff; None: as the kit file says."""
    if word and word not in desk.GRAINS:
        raise InputError(
            what="not a way of the grain", got=f'"{word[:40]}"', allowed=", ".join(desk.GRAINS),
            do="Bend a sheet both ways: the stiff way is its grain.", where=Where(field="grain"),
        )  # fmt: skip
    return desk.GRAINS[word] if word else None


def _context(visit: Visit, here: KitHere, boats: int) -> dict[str, Any]:
    layout = kept_layout(visit.house, here.kit, boats)
    long, short = here.kit.board.sheets[0]
    return {
        "title": f"Sheets for {here.kit.name}", "kit": here, "boats": boats, "layout": layout,
        "drawings": [template.drawing for template in desk.templates(layout)] if layout else [],
        "files": list(_files(visit, layout)) if layout else [],
        "own_size": f"{long * 1e3:g}x{short * 1e3:g}",
        "least": max(1, -int(-boats * here.kit.area // (long * short))),
        "read": None, "grains": desk.GRAINS,
        "codes": [line.part for line in desk.describe_shape(here.kit).parts],
    }  # fmt: skip


def _files(visit: Visit, layout: Layout) -> Mapping[str, Callable[[], bytes]]:
    """What can be had of a layout, by name; made when asked for."""
    files = visit.house.files
    foot = layout.editions

    def pdf(drawings: list[Drawing], title: str) -> bytes:
        return files.as_pdf(drawings, language="en", title=title)

    def tiles(paper: str) -> bytes:
        templates = desk.templates(layout, bar=False)
        pages = [
            page
            for number, template in enumerate(templates, start=1)
            for page in files.as_tiles(template, paper, f"{foot}   sheet {number} of {len(templates)}")
        ]
        return pdf(pages, foot)

    def cutter(number: int, kind: str) -> bytes:
        sheet: CutSheet = desk.cutter_sheets(layout)[number]
        text = files.as_cutter_svg(sheet) if kind == "svg" else files.as_cutter_dxf(sheet, "r2010")
        return text.encode("utf8")

    def order() -> bytes:
        page = desk.order_page(desk.order_of_layout(layout), title=f"Order list: {layout.title}", foot=foot)
        return pdf([page], "Order list")

    made: dict[str, Callable[[], bytes]] = {
        "pages-a4.pdf": lambda: tiles("a4"),
        "pages-letter.pdf": lambda: tiles("letter"),
        "whole-sheets.pdf": lambda: pdf([t.drawing for t in desk.templates(layout)], layout.title),
        "cutting-order.pdf": lambda: pdf(list(desk.cutting_order(layout)), f"Cutting order, {layout.title}"),
        "order-list.pdf": order,
    }
    for number in range(len(layout.nest.sheets)):
        for kind in ("svg", "dxf"):
            made[f"cutter-{number + 1}.{kind}"] = lambda number=number, kind=kind: cutter(number, kind)  # type: ignore[misc]
    return made
