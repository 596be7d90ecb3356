"""``skimwright call HEAT``: the call board, calls and starts, and who races after all or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.day_files import STAMP, OpenDay, board, day_data, heat_data, news, open_day
from skimwright.cli.mend import boats_of
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import RaceDay

ACTS = ("start", "missing", "allow", "without", "late", "publish", "queue", "tried")
NUMBER = whole(low=1, high=9999)


def answer(ask: Ask) -> Answer:
    """The board, or one act and the board after it."""
    given, opened = ask.given, open_day(ask)
    acts = [act for act in ACTS if given[act]]
    if len(acts) > 1:
        raise InputError(
            what="two things at once", got=" and ".join(f"--{act}" for act in acts), allowed="one act a line",
            do="Say them one after the other.",
        )  # fmt: skip
    act = acts[0] if acts else "call" if given["heat"] is not None else ""
    rows, did = _rows(ask, opened, act)
    day, files = opened.add(ask, rows)
    if act and not rows:
        did = "It was in the log already; counted once."
    told = [did, *_changes(opened.day, day)] if act else []
    data = day_data(day, files) | {"did": did, "changes": _change_data(opened.day, day)}
    if given["heat"] is not None and given["heat"] <= len(day.heats):
        data["heat"] = heat_data(day, day.heat(given["heat"]))
    text = "\n".join([*told, *([""] if told else []), board(day)])
    plain = did or f"{day.word}: next heat {day.ahead[0] if day.ahead else 'none'}. {day.expected.says}"
    findings = news(opened.day, day) if act else day.findings
    return Answer(data=data, text=text, plain=plain, findings=findings)


def _rows(ask: Ask, opened: OpenDay, act: str) -> tuple[tuple[dict[str, str], ...], str]:
    """The rows of an act, and what it is in words."""
    from skimwright import desk

    given, day, stamp = ask.given, opened.day, opened.stamp
    why, heat = given["why"] or "", given["heat"]
    if act in ("start", "missing", "allow") and heat is None:
        raise InputError(
            what="which heat", allowed="its number", do="Write it behind call.", where=Where(field="HEAT")
        )
    if act == "publish":
        marks = ", ".join(f"{group} {draw.mark}" for group, draw in day.published.draws.items())
        return desk.publish_rows(day, stamp, why=why), f"Lots published; marks: {marks}."
    if act == "call":
        again = "again" if day.heat(heat).calls else "called"
        return desk.call_rows(
            day, heat, stamp, why=why
        ), f"Heat {heat}: {'called ' * (again == 'again')}{again}."
    if act == "start":
        return desk.start_rows(day, heat, stamp), f"Heat {heat}: started."
    if act == "missing":
        choice = given["choose"] or ""
        boat = given["missing"]
        rows = desk.missing_rows(day, heat, boat, stamp, choice=choice, why=why)
        return rows, f"Heat {heat}, boat {day.label(boat)}: crew missing, {choice or 'director to choose'}."
    if act == "allow":
        boat = given["allow"]
        return desk.allow_rows(
            day, heat, boat, stamp, why=why
        ), f"Heat {heat}: boat {day.label(boat)} races without a tick."
    if act == "without":
        boat = given["without"]
        return desk.withdraw_rows(day, boat, stamp, why=why), f"Boat {day.label(boat)} has withdrawn."
    if act == "queue":
        boats = boats_of(given["queue"].replace(",", " ").split())
        return desk.queue_rows(
            day, boats, stamp
        ), f"In the queue: {', '.join(day.label(boat) for boat in boats)}."
    if act == "tried":
        boat, ended = given["tried"], given["ended"] or ""
        return desk.try_rows(day, boat, ended, stamp, why=why), f"Boat {day.label(boat)}: {ended}."
    if act == "late":
        boat = given["late"]
        return desk.late_rows(day, boat, stamp, why=why), f"Boat {day.label(boat)} came late and is drawn in."
    return (), ""


def _changes(before: RaceDay, after: RaceDay) -> list[str]:
    """What each crew must be told since this act."""
    return [
        f"  boat {after.label(change.boat)}, {change.group} round {change.round}: "
        f"{_spot(change.was)} -> {_spot(change.now)}"
        for change in after.changes[len(before.changes) :]
    ]


def _change_data(before: RaceDay, after: RaceDay) -> list[dict[str, Any]]:
    return [
        {
            "boat": change.boat,
            "group": change.group,
            "round": change.round,
            "was": change.was,
            "now": change.now,
        }
        for change in after.changes[len(before.changes) :]
    ]


def _spot(spot: tuple[int, int] | None) -> str:
    return "no race" if spot is None else f"heat {spot[0]}, lane {spot[1]}"


VERB = Verb(
    name="call",
    does="the call board; calls and starts of heats; withdrawals and late entries",
    tells="Without HEAT it shows what is on the water, the next three heats and when racing will be over. With HEAT "
    "that heat is called, the first time or again. It refuses while anybody holds, out of turn without a reason, and "
    "for a boat without the pit steward's tick unless the director lets it race. A withdrawal redraws only heats that "
    "have been neither called nor raced, and says what changed. Everything is a row more in results.csv.",
    options=(
        Option(flag="HEAT", does="number of the heat", read=NUMBER),
        Option(flag="--start", does="it was let go"),
        Option(flag="--missing", value="N", does="the crew of boat N did not come", read=NUMBER),
        Option(flag="--choose", value="WORD", does="the director's choice then: wait, skip or not started"),
        Option(
            flag="--allow", value="N", does="the director lets boat N race without a tick; --why", read=NUMBER
        ),
        Option(flag="--without", value="N", does="boat N withdraws; --why", read=NUMBER),
        Option(flag="--late", value="N", does="boat N came late; its row stands in entries.csv", read=NUMBER),
        Option(flag="--queue", value="N,...", does="crews join the qualifying queue, such as 3,18 or 1-24"),
        Option(flag="--tried", value="N", does="boat N had a try at qualifying; --ended", read=NUMBER),
        Option(
            flag="--ended", value="WORDS",
            does="how that try ended: through, ran wide, stopped short, turned over, not let go",
        ),
        Option(flag="--publish", does="publish the lots: seed and mark go into the log"),
        Option(flag="--why", value="WORDS", does="the reason"),
        *STAMP,
    ),
    example='call 16 --missing 22 --choose wait --who director --why "crew on the way"',
    answer=answer,
)  # fmt: skip
