"""``overrides.csv``: verdicts put in place of the card's, each with a name and a reason, none taken out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast, get_args

from skimwright.base import Finding, InputError, Where
from skimwright.desk.boats.check import BuildCheck, Override, Verdict
from skimwright.desk.seasons.tables import Row, Rows

OVERRIDES = "overrides.csv"
OVERRIDE_COLUMNS = ("time", "boat", "card", "verdict", "who", "reason")
WITHDRAWN = "as the card says"  # takes the last override of a boat back


@dataclass(frozen=True, kw_only=True)
class Decided:
    """One line of the list."""

    time: str
    boat: int
    card: str  # the card's own verdict then
    override: Override | None  # None: the one before is taken back
    who: str
    reason: str

    @property
    def says(self) -> str:
        """What was decided."""
        return self.override.verdict if self.override else WITHDRAWN


def decided_row(decided: Decided) -> dict[str, str]:
    """A decision as a row; it is added behind the others."""
    values = (decided.time, f"{decided.boat:02d}", decided.card, decided.says, decided.who, decided.reason)
    return dict(zip(OVERRIDE_COLUMNS, values, strict=True))


def decide(check: BuildCheck, *, boat: int, verdict: str, who: str, reason: str, now: str) -> Decided:
    """An inspector's own verdict on a card.

    Parameters
    ----------
    check : BuildCheck
        The card as it stands.
    boat : int
    verdict : str
        A verdict, or ``as the card says``: the one before is taken back.
    who, reason : str
        Kept with it.
    now : str
        The clock.

    Raises
    ------
    InputError
        No name, no reason, or no such verdict.
    """
    again = Override(
        verdict=check.verdict if verdict == WITHDRAWN else _verdict(verdict, Where()), name=who, reason=reason
    )
    return Decided(
        time=now, boat=boat, card=check.verdict, override=None if verdict == WITHDRAWN else again, who=who,
        reason=reason,
    )  # fmt: skip


def read_overrides(rows: Rows | None) -> tuple[Decided, ...]:
    """Every decision, oldest first.

    Raises
    ------
    InputError
        A row cannot be read: a decision is not passed over.
    """
    return () if rows is None else tuple(_decided(row, rows.file) for row in rows.rows)


def _decided(row: Row, file: str) -> Decided:
    cells = {name: row.cells.get(name, "") for name in OVERRIDE_COLUMNS}
    where = Where(file=file, row=row.number)
    if not cells["boat"].isdigit():
        raise InputError(what="not a boat's number", got=f'"{cells["boat"]}"', allowed="figures",
                         do="Put the row right.", where=where)  # fmt: skip
    override = None
    if cells["verdict"] != WITHDRAWN:
        try:
            override = Override(
                verdict=_verdict(cells["verdict"], where), name=cells["who"], reason=cells["reason"]
            )
        except InputError as error:
            raise error.at(where) from error
    return Decided(
        time=cells["time"], boat=int(cells["boat"]), card=cells["card"], override=override, who=cells["who"],
        reason=cells["reason"],
    )  # fmt: skip


def _verdict(text: str, where: Where) -> Verdict:
    if text not in get_args(Verdict):
        raise InputError(
            what="not a verdict", got=f'"{text}"', allowed=", ".join((*get_args(Verdict), WITHDRAWN)),
            do="Give one of these.", where=where,
        )  # fmt: skip
    return cast(Verdict, text)


def of_boat(decisions: tuple[Decided, ...], boat: int) -> tuple[Decided, ...]:
    """One boat's decisions, oldest first; the last one counts."""
    return tuple(each for each in decisions if each.boat == boat)


def stale(check: BuildCheck, decisions: tuple[Decided, ...]) -> tuple[Finding, ...]:
    """The card has changed since somebody decided against it."""
    last = decisions[-1] if decisions else None
    if last is None or last.override is None or last.card == check.verdict:
        return ()
    return (
        Finding(
            code="override-stale", severity="warning",
            what=f'{last.who} decided "{last.says}" when the card said "{last.card}"; now it says "{check.verdict}".',
            why="The boat was measured again, or its card was changed.", do="Ask them to look again.",
            where=check.name,
        ),
    )  # fmt: skip
