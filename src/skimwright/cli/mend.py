"""``skimwright mend BOAT``: the pit steward's ticks, mends, what a patch does, weighing again."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where, parse_quantity
from skimwright.cli.day_files import STAMP, day_data, news, open_day
from skimwright.cli.finish import boat_of
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

if TYPE_CHECKING:
    from skimwright.desk import Patched, RaceDay, Stamp

WHATS = ("crash", "water", "device moved", "patch")
MANY = 4  # boats, each told on a line
ACTS = ("fit", "unfit", "what", "mass_g")


def answer(ask: Ask) -> Answer:
    """One act of the pit, or the list of boats."""
    given, opened = ask.given, open_day(ask)
    boats = boats_of(given["boats"])
    acts = [act for act in ACTS if given[act] not in (None, False)]
    if given["patch"] and not acts:
        acts = ["what"]
    if len(acts) > 1 and not (acts == ["fit", "mass_g"]):
        raise InputError(
            what="two things at once", got=" and ".join(f"--{act.replace('_', '-')}" for act in acts),
            allowed="one act a line", do="Say them one after the other.",
        )  # fmt: skip
    if not boats or not acts:
        return _listed(opened.day, boats)
    patched = _patch(ask, boats) if given["patch"] else None
    rows = _rows(ask, opened.day, opened.stamp, boats, patched)
    day, files = opened.add(ask, rows)
    told = [f"Boat {day.label(boat)}: {_words(day, boat)}." for boat in boats]
    if len(told) > MANY:
        told = [f"{len(told)} boats: {', '.join(f'{boat:02d} {_words(day, boat)}' for boat in boats)}."]
    says = told if rows else ["It was in the log already; counted once.", *told]
    says += [patched.says] if patched else []
    data = day_data(day, files) | {"boats": [_data(day, boat) for boat in boats]}
    if patched:
        data["patch"] = {
            "mass_g": round(patched.mass * 1e3, 2), "balance_x_mm": round(patched.balance[0] * 1e3, 2),
            "balance_y_mm": round(patched.balance[1] * 1e3, 2), "sideways_mm": round(patched.sideways * 1e3, 2),
        }  # fmt: skip
    return Answer(data=data, text="\n".join(says), plain=" ".join(says), findings=news(opened.day, day))


def boats_of(words: list[str]) -> list[int]:
    """Boat numbers: ``7``, ``1-24``."""
    found: list[int] = []
    for word in words:
        ends = [boat_of(each) for each in word.split("-", 1)]
        if ends[-1] < ends[0]:
            raise InputError(what="the last boat comes before the first", got=f'"{word}"', allowed="such as 1-24",
                             do="Turn them round.", where=Where(field="BOATS"))  # fmt: skip
        found += range(ends[0], ends[-1] + 1)
    return list(dict.fromkeys(found))


def _rows(
    ask: Ask, day: RaceDay, stamp: Stamp, boats: list[int], patched: Patched | None
) -> tuple[dict[str, str], ...]:
    from skimwright import desk

    given, why = ask.given, ask.given["why"] or ""
    if given["fit"] and given["mass_g"] is None:
        return desk.fit_rows(day, boats, stamp, is_unweighed=given["unweighed"])
    if len(boats) > 1:
        raise InputError(
            what="more than one boat", allowed="several boats only with --fit", do="Say it for one boat at a time.",
            where=Where(field="BOATS"),
        )  # fmt: skip
    boat = boats[0]
    if given["mass_g"] is not None:
        return desk.weighed_rows(day, boat, stamp, mass=given["mass_g"], is_fit=given["fit"])
    if given["unfit"] is not None:
        return desk.unfit_rows(day, boat, stamp, why=given["unfit"])
    what = _what(given["what"] or "patch")  # --patch by itself says it
    said = patched.said if patched else ""
    return desk.mend_rows(day, boat, stamp, why=f"{what}: {why}" if why else what, patch=said)


def _what(word: str) -> str:
    if word not in WHATS:
        raise InputError(what="no such word", got=f'"{word}"', allowed=", ".join(WHATS), do="Say one of these.",
                         where=Where(field="--what"))  # fmt: skip
    return word


def _patch(ask: Ask, boats: list[int]) -> Patched:
    """What a patch does to the boat's mass and balance."""
    from skimwright import desk

    said, where = ask.given["patch"], Where(field="--patch")
    match = re.fullmatch(r"\s*([^@]*?)\s*@\s*([^,]*),([^,]*)", said)
    if match is None:
        raise InputError(
            what="not a patch", got=f'"{said}"', allowed="mass@x,y: grams, mm from the bow, mm to starboard, such as "
            "6@30,100; `?@30,100` if it was not weighed", do="Write it so.", where=where,
        )  # fmt: skip
    x, y = (parse_quantity(each, "length", default_unit="mm", where=where) for each in match.groups()[1:])
    if match[1] == "?":
        raise InputError(
            what="nobody weighed the patch", allowed="its mass", where=where,
            do="Weigh the boat before and after: `skimwright mend N --mass-g M`; the difference is the patch.",
        )  # fmt: skip
    mass = parse_quantity(match[1], "mass", default_unit="g", where=where)
    return desk.patch_boat(ask.season().boat(boats[0]), mass=mass, place=(x, y))


def _listed(day: RaceDay, boats: list[int]) -> Answer:
    chosen = [boat for boat in day.fitness if not boats or boat in boats]
    rows = [[day.label(boat), _words(day, boat)] for boat in chosen]
    ticked = sum(day.fitness[boat].is_fit for boat in chosen)
    says = f"{ticked} of {len(chosen)} boats ticked"
    data = day_data(day, []) | {"boats": [_data(day, boat) for boat in chosen]}
    return Answer(data=data, text=f"{table(['boat', 'pit'], rows)}\n\n{says}.", plain=says)


def _words(day: RaceDay, boat: int) -> str:
    fit = day.fitness[boat]
    if boat in day.results.gone:
        return "withdrawn"
    if not fit.is_fit:
        return f"no tick: {fit.why_not}"
    return "fit, unweighed" if fit.is_unweighed else f"fit{f', {fit.mass}' if fit.mass else ''}"


def _data(day: RaceDay, boat: int) -> dict[str, Any]:
    fit = day.fitness[boat]
    return {
        "boat": boat, "name": day.names.get(boat, ""), "is_fit": fit.is_fit, "why_not": fit.why_not,
        "must_be_weighed": fit.must_be_weighed, "is_unweighed": fit.is_unweighed, "weighed": fit.mass,
        "mends": len(fit.mends),
    }  # fmt: skip


VERB = Verb(
    name="mend",
    does="who is fit to race: ticks, mends, what a patch does, weighing again",
    tells="Without an act it lists the boats. After a crash, water, a moved device or a patch a boat has no tick until "
    "it is weighed and ticked again; where there is no scale, --fit --unweighed marks it so on its heat card. A boat "
    "without a tick is not called. Wet board: dry it and weigh it first.",
    options=(
        Option(flag="BOATS", does="boat numbers, such as 7 or 1-24", many=True),
        Option(flag="--fit", does="the pit steward's tick"),
        Option(flag="--unweighed", does="there is no scale here"),
        Option(flag="--unfit", value="WHY", does="the tick is taken away"),
        Option(flag="--what", value="WORD", does="what happened: crash, water, device moved or patch"),
        Option(flag="--why", value="WORDS", does="more about it"),
        Option(flag="--patch", value="M@X,Y", does="a patch: grams at mm from the bow and mm to starboard, 6@30,100"),
        Option(
            flag="--mass-g", value="M", does="as the scale here shows it",
            read=quantity("mass", "g", low=20, high=20_000),
        ),
        *STAMP,
    ),
    example='mend 22 --what water --why "edges soaked" --who "pit steward"',
    answer=answer,
)  # fmt: skip
