"""``skimwright finish HEAT BOAT ...``: what every boat of a heat did; decisions, corrections, re-runs, protests."""

from __future__ import annotations

import re
from typing import Any

from skimwright.base import InputError, Where
from skimwright.cli.day_files import STAMP, OpenDay, board, day_data, heat_data, news, open_day
from skimwright.cli.finish_file import typed_in
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

NUMBER = whole(low=1, high=9999)
REASONS = ("decide", "correct", "rerun", "protest", "rule")
WORDS = {"dnf": "not finished", "dns": "not started", "dsq": "disqualified", "ret": "retired"}


def answer(ask: Ask) -> Answer:
    """One report, and the heat as it then stands."""
    given, opened = ask.given, open_day(ask)
    if given["file"]:
        return typed_in(ask, opened)
    if given["heat"] is None:
        raise InputError(
            what="which heat is it", got="neither HEAT nor --file", allowed="its number and the boats, or --file FILE",
            do='For example: `skimwright finish 9 02 05=01 06 --phone "finish A"`.',
        )  # fmt: skip
    said = [name for name in REASONS if given[name] is not None]
    if len(said) > 1:
        raise InputError(
            what="two things at once", got=" and ".join(f"--{name}" for name in said), allowed="one act a line",
            do="Say them one after the other.",
        )  # fmt: skip
    number = given["heat"]
    rows = _rows(ask, opened, said[0] if said else "")
    day, files = opened.add(ask, rows)
    heat = day.heat(number)
    how = (
        f"counts: {_order(heat.outcomes)}"
        if heat.counts
        else f"waits for {heat.waits_for}"
        if heat.waits_for
        else heat.state
    )
    says = (
        f"Heat {number} {how}." if rows else f"It was in the log already; counted once. Heat {number} {how}."
    )
    if heat.corrected:
        says += " The table says corrected."
    data = day_data(day, files) | {"heat": heat_data(day, heat), "did": says}
    return Answer(data=data, text=f"{says}\n\n{board(day)}", plain=says, findings=news(opened.day, day))


def _order(outcomes: Any) -> str:
    best_first = sorted(outcomes, key=lambda b: (outcomes[b].place or 999, b))
    return ", ".join(f"{boat:02d} {outcomes[boat].words()}" for boat in best_first)


def _rows(ask: Ask, opened: OpenDay, act: str) -> tuple[dict[str, str], ...]:
    from skimwright import desk

    given, day, stamp, number = ask.given, opened.day, opened.stamp, ask.given["heat"]
    why = given[act] if act else given["why"] or ""
    words = tuple(given["order"] or ())
    if act == "rerun":
        return desk.rerun_rows(day, number, stamp, why=why)
    if act == "rule":
        return desk.ruling_rows(day, number, stamp, why=why)
    if act == "protest":
        boat = boat_of(words[0]) if words else None
        return desk.protest_rows(day, number, stamp, why=why, boat=boat)
    order = order_of(words, must_have_place=act == "correct")
    if act == "correct":
        return desk.correct_rows(day, number, order, stamp, why=why)
    kind: Any = "decision" if act == "decide" else "result" if given["paper"] else "finish"
    return desk.finish_rows(day, number, order, stamp, kind=kind, why=why)


def boat_of(word: str) -> int:
    """A boat's number."""
    if not re.fullmatch(r"[0-9]{1,4}", word) or int(word) == 0:
        raise InputError(
            what="not a boat number", got=f'"{word}"', allowed="a whole number from 1 to 9999",
            do="Write the number painted on the boat.", where=Where(field="BOAT"),
        )  # fmt: skip
    return int(word)


def order_of(words: tuple[str, ...], *, must_have_place: bool = False) -> dict[int, str]:
    """Boats in the order in which they came in: ``02 05=01 06 03:dnf``, or each with its place: ``22:4 23:3``."""
    if not words:
        raise InputError(
            what="no boats", allowed="the boats in the order in which they came in, such as 02 05=01 06 03:dnf",
            do="Write them behind the heat.", where=Where(field="BOAT"),
        )  # fmt: skip
    order: dict[int, str] = {}
    place = 1
    for word in words:
        sharing = word.split("=")
        if ":" in word:
            number, _, told = word.partition(":")
            found = {boat_of(number): WORDS.get(told.casefold(), told.replace("-", " "))}
        elif must_have_place:
            raise InputError(
                what="no new result for this boat", got=f'"{word}"', allowed="boat:place, such as 22:4 or 22:dsq",
                do="Write it so.", where=Where(field="BOAT"),
            )  # fmt: skip
        else:
            found = {boat_of(each): f"{place}{'=' * (len(sharing) > 1)}" for each in sharing}
            place += len(sharing)
        for boat in found:
            if boat in order:
                raise InputError(
                    what=f"boat {boat} is named twice", do="Name it once.", where=Where(field="BOAT")
                )
        order |= found
    return order


VERB = Verb(
    name="finish",
    does="what every boat of a heat did; decisions, corrections, re-runs, protests",
    tells="Two finish phones report a heat, each with its own --phone: when they agree it counts, when they differ the "
    "marshal decides, and nothing is averaged. Boats stand in the order in which they came in; 05=01 shared a place, "
    "03:dnf did not finish, 03:? was not seen. With --correct each boat has its new place: 22:4 23:3. Nothing is "
    "changed in the log: every report, decision and correction is a row more.",
    options=(
        Option(flag="HEAT", does="number of the heat", read=NUMBER),
        Option(flag="ORDER", does="the boats, first one first", many=True),
        Option(
            flag="--paper",
            does="typed from a paper heat sheet: it counts at once, unless a phone said otherwise",
        ),
        Option(
            flag="--file",
            value="FILE",
            does="heat sheets typed back in, a line a heat, as `print heats` lays it out in type-back.csv",
        ),
        Option(flag="--decide", value="WHY", does="the marshal's order, over all that was said"),
        Option(flag="--correct", value="WHY", does="some boats' results anew"),
        Option(flag="--rerun", value="WHY", does="the heat is raced again"),
        Option(flag="--protest", value="WHY", does="somebody objects; ORDER is the boat of whoever does"),
        Option(flag="--rule", value="WHY", does="the protest is answered and changes nothing"),
        Option(flag="--why", value="WORDS", does="the reason for a disqualification"),
        *STAMP,
    ),
    example='finish 9 02 05=01 06 03 04:dnf --phone "finish A"',
    answer=answer,
)
