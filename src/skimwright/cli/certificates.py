"""``skimwright certificates``: a page for each crew from its own log."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.crew import list_if_there
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import DayPoints, Season


def paper(given: str, where: Where) -> str:
    """Reads ``a4`` or ``letter``."""
    if given.casefold() not in ("a4", "letter"):
        raise InputError(
            what="no such paper", got=f'"{given}"', allowed="a4, letter", do="Name one of these.", where=where
        )
    return given.casefold()


def points_if_raced(ask: Ask) -> DayPoints | None:
    """The points of the day; None if no results are in."""
    from skimwright import desk

    rows = list_if_there(ask, "results.csv")
    if rows is None:
        return None
    entries = list_if_there(ask, "entries.csv")
    listed = desk.read_entries(entries) if entries else None
    events, _ = desk.read_log(rows, entered=listed.names() if listed else ())
    points = desk.day_points(events, desk.points_tables["powerboat"], entries=listed)
    return points if any(heat.counts for heat in points.day.heats.values()) else None


def answer(ask: Ask) -> Answer:
    """Make the pages."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    made = desk.make_certificates(
        season,
        desk.read_runs(ask.files.runs(ask.season_chosen), season),
        desk.read_crews(list_if_there(ask, "crews.csv")),
        points_if_raced(ask),
        desk.CertificateAsk(
            group=given["group"], boat=given["boat"], each_pupil=given["each_pupil"], with_place=given["place"],
            issue=given["issue"], paper=given["paper"],
        ),
    )  # fmt: skip
    title = f"Certificates, {season.name}"
    content = ask.files.as_pdf(made.pages, title=title, language="en")
    path = ask.files.write(Path(given["out"] or ".") / _name(given, season), content)
    says = f"{len(made.pages)} {'page' if len(made.pages) == 1 else 'pages'}, written: {path}"
    data = {
        "pages": len(made.pages),
        "certificates": desk.certificates_as_data(made),
        "files": [str(path)],
        "findings": [finding.as_dict() for finding in made.findings],
    }
    more = "First names stand on them: hand them out, do not post them."
    return Answer(data=data, text=f"{says}\n{more}", plain=says, findings=made.findings)


def _name(given: Any, season: Season) -> str:
    if given["boat"] is not None:
        return f"certificate-{given['boat']:02d}.pdf"
    return f"certificates-{given['group'].lower()}.pdf" if given["group"] else "certificates.pdf"


VERB = Verb(
    name="certificates",
    does="a page for each crew from its own log: what it changed, what happened, one graph",
    tells="First names only, or the boat's name where none are listed. No place unless it is wanted. A certificate "
    "that was wrong is printed again with --issue 2.",
    options=(
        Option(flag="--group", value="NAME", does="one group; all boats unless given"),
        BOAT,
        Option(flag="--each-pupil", does="a page for each pupil, not each crew", usual=False),
        Option(flag="--place", does="with the place in the points table", usual=False),
        Option(flag="--issue", value="N", does="2 or more: it replaces one that was wrong", read=whole(low=1, high=99),
               usual=1),
        Option(flag="--paper", value="PAPER", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="where to write; here unless given"),
    ),
    example="certificates --group Rush --out certificates",
    answer=answer,
)  # fmt: skip
