"""``skimwright hold``: go, hold or stop, and who said so."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from skimwright.base import MissingError, Where
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Event


def answer(ask: Ask) -> Answer:
    """The state now; with a word and a job, an event more."""
    from skimwright import desk

    path = ask.files.season_folder(ask.season_chosen) / "holds.csv"
    events: tuple[Event, ...] = desk.read_holds(ask.files.grid(path)) if ask.files.is_file(path) else ()
    now = desk.moment(ask.given["at"] or ask.files.now(), Where(field="--at"))
    word = ask.given["what"]
    files = []
    if word:
        if word.strip().casefold() == "open":
            _require_limits(ask)
            _require_people(ask, now.date())
        event = desk.read_event(at=now, who=ask.given["who"] or "", what=word, why=ask.given["why"] or "")
        if event not in events:  # said twice, it counts once
            events = (*events, event)
            desk.state_at(
                events, max(e.at for e in events)
            )  # refuses a clear that clears nothing, before it is written
            files.append(str(ask.files.add_rows(path, desk.HOLD_COLUMNS, [desk.hold_row(event)])))
    state = desk.state_at(events, now)
    rows = [[f"{e.at:%d %b %H:%M:%S}", e.what, e.who, e.why] for e in events[-8:]]
    log = ["", table(["at", "what", "who", "why"], rows)] if rows else []
    text = "\n".join([f"{state.word.upper()}  {state.says}", *log])
    data: dict[str, Any] = {
        "at": now.isoformat(timespec="seconds"),
        "word": state.word,
        "says": state.says,
        "holds": [
            {"who": e.who, "at": e.at.isoformat(timespec="seconds"), "why": e.why} for e in state.holds
        ],
        "not_before": state.not_before.isoformat(timespec="seconds") if state.not_before else None,
        "events": [
            {"at": e.at.isoformat(timespec="seconds"), "who": e.who, "what": e.what, "why": e.why}
            for e in events
        ],
        "files": files,
    }
    return Answer(data=data, text=text, plain=f"{state.word}: {state.says}")


def _require_limits(ask: Ask) -> None:
    """Nobody opens the water on a day without limits."""
    from skimwright import desk

    path = ask.files.season_folder(ask.season_chosen) / "limits.toml"
    if not ask.files.is_file(path):
        raise MissingError(
            what="this season has no limits.toml, so the water cannot be opened",
            allowed="limits.toml with [wind], [heat], [water] and [people]",
            do="Write the site's limits down first.",
        )
    desk.read_site_limits(ask.files.table(path))


def _require_people(ask: Ask, today: datetime.date) -> None:
    """Nobody opens the regatta day with a gap in its roster; other days need no fourteen people."""
    from skimwright import desk
    from skimwright.cli.crew import list_if_there, read_roster

    if list_if_there(ask, "helpers.csv") is not None:
        season = ask.season()
        if season.regatta == today:
            desk.refuse_gaps(read_roster(ask, season))


VERB = Verb(
    name="hold",
    does="go, hold or stop: who said so, and what must clear",
    tells="WHAT is open, hold, clear, thunder, misfire or stop; without it the state is told. Everybody clears their "
    "own hold: two holds, both must clear. Thunder holds for 30 minutes from the last one, a misfire for 60 seconds. "
    "The log stands in holds.csv; nothing is taken out of it.",
    options=(
        Option(flag="WHAT", does="what happened"),
        Option(flag="--who", value="JOB", does="who says it, such as boat crew; no surname is needed"),
        Option(flag="--why", value="WORDS", does="why"),
        Option(flag="--at", value="TIME", does="when, such as 2027-05-22T14:31:00+01:00; now unless given"),
    ),
    example='hold thunder --who "safety officer"',
    answer=answer,
)
