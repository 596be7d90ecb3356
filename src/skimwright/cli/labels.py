"""``skimwright labels [KIT]``: bag labels and pick lists, and what the scale says of a bag or of sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where, parse_quantity, show_mass
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.nesting_options import BOATS, PAPER, SHEET
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

if TYPE_CHECKING:
    from skimwright.desk import Bag, Kit, WeighedSheets


def masses_g(given: str, where: Where) -> tuple[float, ...]:
    """Reads ``223,226,224``.  [kg]"""
    words = [word for word in given.replace(";", ",").split(",") if word.strip()]
    if not words:
        raise InputError(what="no mass", allowed="grams with commas between", do="Write each.", where=where)
    return tuple(parse_quantity(word.strip(), "mass", default_unit="g", where=where) for word in words)


def answer(ask: Ask) -> Answer:
    """Pages for bags; with masses from the scale, what they say."""
    from skimwright import desk

    given = ask.given
    if given["edition"]:
        desk.refuse_other_edition(kit_meant(ask, given["kit"] or ""), given["edition"])
    kit = kit_meant(ask, given["kit"]) if given["kit"] else None
    weighed = None
    if given["sheets_g"]:
        if kit is None:
            raise InputError(
                what="whose board was weighed?", do="Name a kit.", where=Where(field="--sheets-g")
            )
        weighed = desk.weigh_sheets(kit.board, masses=given["sheets_g"], sheet=given["sheet"])
    if given["bag_g"] is not None:
        return _scale(kit, given["bag_g"], weighed)
    return _pages(ask, kit, weighed)


def _scale(kit: Kit | None, mass: float, weighed: WeighedSheets | None) -> Answer:
    from skimwright import desk

    if kit is None:
        raise InputError(what="which kit's bag was weighed?", do="Name a kit.", where=Where(field="--bag-g"))
    bag, _ = desk.bags_of_kit(kit, board=weighed.board if weighed else None)
    found = desk.check_bag(bag, mass=mass)
    findings = (*((found,) if found else ()), *(weighed.findings if weighed else ()))
    low, high = (limit * 1e3 for limit in bag.limits)
    text = f"{kit.name}: a bag of {show_mass(mass)}; {low:.1f} to {high:.1f} g is right."
    text += " It is." if not found else ""
    data = {**_bag_data(bag), "bag_g": mass * 1e3, "right": not found} | _board_data(weighed)
    data["findings"] = [finding.as_dict() for finding in findings]
    return Answer(data=data, text=text, plain=text, findings=findings, status=1 if found else 0)


def _pages(ask: Ask, kit: Kit | None, weighed: WeighedSheets | None) -> Answer:
    from skimwright import desk

    given, board = ask.given, weighed.board if weighed else None
    foot = "Made with Skimwright. Tick each part into the bag; count twice, pack once."
    if kit is None or given["season"]:
        names = [kit.name] if kit else []
        made = desk.bags_of_season(ask.season(), kits=names, board=board, paper=given["paper"], foot=foot)
        if not made:
            raise InputError(what="no boat of the season is built from this kit", do="Name another kit.")
        pages = [page for _, _, page in made]
        bags = [bag for _, bag, _ in made]
        boats = [{"boat": entry.number, "name": entry.name, **_bag_data(bag)} for entry, bag, _ in made]
    else:
        one, drawn = desk.bags_of_kit(kit, boats=given["boats"], board=board, paper=given["paper"], foot=foot)
        pages, bags, boats = list(drawn), [one], [_bag_data(one)]
    path = ask.files.write(
        Path(given["out"]) / f"bags-{given['paper']}.pdf",
        ask.files.as_pdf(pages, language="en", title="Bags"),
    )
    findings = weighed.findings if weighed else ()
    data: dict[str, Any] = {"bags": boats, "pages": len(pages), "files": [str(path)]} | _board_data(weighed)
    data["findings"] = [finding.as_dict() for finding in findings]
    plain = f"{len(pages)} bag{'s' if len(pages) != 1 else ''}: {path}"
    text = _text(bags, len(pages), path, weighed, kit)
    return Answer(data=data, text=text, plain=plain, findings=findings)


def _text(bags: Sequence[Bag], pages: int, path: Path, weighed: WeighedSheets | None, kit: Kit | None) -> str:
    lines = []
    for bag in {bag.kit: bag for bag in bags}.values():
        low, high = (limit * 1e3 for limit in bag.limits)
        lines.append(
            f"{bag.kit}, edition {bag.edition}: {bag.count} parts, {bag.mass * 1e3:.1f} g of board; "
            f"a bag of {low:.1f} to {high:.1f} g is right."
        )
        if bag.unnoticed:
            lines.append(f"Too light for the scale to miss, so count them: {', '.join(bag.unnoticed)}.")
    if weighed and kit:
        lines += ["", *_board_text(weighed, kit)]
    return "\n".join([*lines, "", f"Written: {pages} page{'s' if pages > 1 else ''}, {path}."])


def _board_text(weighed: WeighedSheets, kit: Kit) -> list[str]:
    from skimwright import desk

    before, after = (
        desk.describe_shape(kit).drawn,
        desk.describe_shape(desk.with_board(kit, weighed.board)).drawn,
    )
    board = weighed.board
    return [
        f"{weighed.count} sheets weighed: {weighed.mean * 1e3:.1f} g each, {board.areal_density * 1e3:.1f} g/m2, "
        f"+- {board.density_spread * 1e3:.1f} g/m2 for the next one.",
        f"The boat ready to run: {before.mass * 1e3:.1f} g as drawn, {after.mass * 1e3:.1f} g from this board, "
        f"+- {kit.area * board.density_spread * 1e3:.1f} g; balance {before.centre[0] * 1e3:.1f} and "
        f"{after.centre[0] * 1e3:.1f} mm from the bow.",
        f"To keep it: areal_density_g_m2 = {board.areal_density * 1e3:.1f} and areal_density_spread_g_m2 = "
        f"{board.density_spread * 1e3:.1f} in [board] of the kit file.",
    ]


def _bag_data(bag: Bag) -> dict[str, Any]:
    low, high = bag.limits
    return {
        "kit": bag.kit,
        "edition": bag.edition,
        "count": bag.count,
        "mass_g": round(bag.mass * 1e3, 3),
        "mass_sd_g": round(bag.mass_sd * 1e3, 3),
        "right_from_g": round(low * 1e3, 3),
        "right_to_g": round(high * 1e3, 3),
        "parts": [
            {"part": line.part, "qty": line.quantity, "mass_g": round(line.mass * 1e3, 3), "dots": line.order}
            for line in bag.lines
        ],
        "too_light_to_miss": list(bag.unnoticed),
    }


def _board_data(weighed: WeighedSheets | None) -> dict[str, Any]:
    if weighed is None:
        return {}
    return {
        "board": {
            "sheets_weighed": weighed.count,
            "mean_g": round(weighed.mean * 1e3, 4),
            "areal_density_g_m2": round(weighed.board.areal_density * 1e3, 4),
            "areal_density_spread_g_m2": round(weighed.board.density_spread * 1e3, 4),
        }
    }


VERB = Verb(
    name="labels",
    does="bag labels, pick lists, and the scale's word on a bag",
    tells="With a kit: a page for each of so many boats. Without: a page for each boat of the season. Weighed sheets "
    "set the board's areal density and its spread; a weighed bag is right within 3 %.",
    options=(
        KIT, BOATS, PAPER,
        Option(flag="--sheets-g", value="M,M,M", does="masses of weighed sheets", read=masses_g),
        replace(SHEET, does="size of the weighed sheets in mm; the kit's own unless given"),
        Option(flag="--bag-g", value="M", does="a bag's parts on the scale: is it right?",
               read=quantity("mass", "g", low=0, high=20000)),
        Option(flag="--edition", value="CODE", does="the code on a bag in hand: is it of this drawing?"),
        Option(flag="--out", value="DIR", does="folder to write into; labels unless given", usual="labels"),
    ),
    example='labels "Fold 62" --boats 6 --sheets-g 223,226,224',
    answer=answer,
)  # fmt: skip
