"""At the gate: a class's rule, what each boat's tries brought, its chance in those left, and whose turn is next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skimwright.base import ConflictError, Finding, InputError, MissingError, show_distance
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Group, Season
from skimwright.desk.trials.learn import usable_runs
from skimwright.desk.trials.log_run import Logged, RunLog, log_run
from skimwright.trials import (
    MINUTES_A_RUN,
    NO,
    NOT_TOLD,
    ODD,
    YES,
    BoatKind,
    Change,
    Run,
    chance_to_pass,
    gate_log,
    kind_of,
    verdict_of,
)

THROUGH = "through the gate"
MOST_BELIEVED = 60.0  # a longer distance to qualify is asked about [m] [choice]
MARKS = {THROUGH: "T", "ran wide": "W", "stopped short": "S"}


@dataclass(frozen=True, kw_only=True)
class Try:
    """One try and what it brought."""

    number: int
    run: Run
    says: str  # an ending; "not told", "figures and ending differ", or a device that is not allowed

    @property
    def passed(self) -> bool:
        """It went through."""
        return self.says == THROUGH


@dataclass(frozen=True, kw_only=True)
class BoatAtGate:
    """One boat, its tries and what may still come."""

    entry: Entry
    tries: tuple[Try, ...]
    left: int  # tries; 0 once it is through
    chance: (
        float | None
    )  # to pass in those left; None: through already, none left, or its class is asked about
    used: tuple[Run, ...] = ()  # runs behind that chance
    left_out: tuple[tuple[Run, str], ...] = ()  # others, and why
    question: Finding | None = None  # one, the first that is open
    appeals: tuple[tuple[Run, Change], ...] = ()  # results changed afterwards, oldest first

    @property
    def passed(self) -> Try | None:
        """The try that went through."""
        return next((each for each in self.tries if each.passed), None)

    @property
    def says(self) -> str:
        """How it stands, in words that leave the door open."""
        if self.question is not None:
            return "asked about"
        if self.passed:
            return f"through the gate, try {self.passed.number}"
        if not self.tries:
            return "not yet tried"
        return f"not yet through the gate{'' if self.left else ', no tries left'}"

    @property
    def marks(self) -> str:
        """One letter a try: T through, W wide, S short, O otherwise, ? not told."""
        return " ".join("?" if t.says in (NOT_TOLD, ODD) else MARKS.get(t.says, "O") for t in self.tries)


@dataclass(frozen=True, kw_only=True)
class ClassAtGate:
    """One class: its rule and its boats."""

    group: Group
    kinds: Mapping[tuple[str, str], BoatKind]  # by kit and device
    boats: tuple[BoatAtGate, ...]
    question: Finding | None = None  # about the rule itself; no try is judged until it is answered


@dataclass(frozen=True, kw_only=True)
class AtTheGate:
    """Every class, and the queue."""

    classes: tuple[ClassAtGate, ...]
    queue: tuple[BoatAtGate, ...]  # who is next: fewest tries first, then who has waited longest
    ramps: int
    none_marked: bool  # no run is marked as a try yet
    findings: tuple[Finding, ...] = ()

    @property
    def minutes(self) -> float:
        """Until the last try, if every one that is left is made."""
        left = sum(boat.left for boat in self.queue)
        return MINUTES_A_RUN * -(-left // self.ramps)

    def boat(self, number: int) -> tuple[ClassAtGate, BoatAtGate]:
        """One boat and its class.

        Raises
        ------
        MissingError
            There is no such boat here.
        """
        for each in self.classes:
            for boat in each.boats:
                if boat.entry.number == number:
                    return each, boat
        raise MissingError(
            what=f"boat {number} is not in this list", do="Give another number, or leave --group out."
        )


def at_the_gate(
    season: Season, log: RunLog, *, group: str | None = None, ramps: int = 1, every_run: bool = False
) -> AtTheGate:
    """Where every boat stands.

    Parameters
    ----------
    season : Season
    log : RunLog
    group : str, optional
        One class only.
    ramps : int, > 0
        Boats started side by side.
    every_run : bool
        Take every logged run for a try, marked or not.

    Raises
    ------
    InputError
        No such class.
    """
    if group is not None and group not in season.groups:
        raise InputError(what="no such class", got=f'"{group}"', allowed=", ".join(season.groups),
                         do="Name one of these.")  # fmt: skip
    found = [
        _class_at_gate(season, rule, log, every=every_run)
        for name, rule in season.groups.items()
        if group in (None, name)
    ]
    open_ones = [boat for each in found for boat in each.boats if boat.left]
    return AtTheGate(
        classes=tuple(found),
        queue=tuple(sorted(open_ones, key=_turn)),
        ramps=ramps,
        none_marked=not every_run and not any(run.result.as_try == YES for run in log.book.runs),
        findings=(*_class_questions(found), *_open_questions(found)),
    )


def _turn(boat: BoatAtGate) -> tuple[int, str, int]:
    """Fewest tries first; of those, who tried longest ago.  A late crew so keeps its own place."""
    return len(boat.tries), boat.tries[-1].run.time if boat.tries else "", boat.entry.number


def _class_at_gate(season: Season, rule: Group, log: RunLog, *, every: bool) -> ClassAtGate:
    question = distance_question(rule)
    entries = [entry for entry in season.boats if entry.group == rule.name]
    kinds = {key: _kind(season, log, key, rule) for key in dict.fromkeys((e.kit, e.device) for e in entries)}
    boats = tuple(
        _boat_at_gate(season, entry, rule, log, every=every, judged=question is None) for entry in entries
    )
    return ClassAtGate(group=rule, kinds=kinds, boats=boats, question=question)


def _kind(season: Season, log: RunLog, key: tuple[str, str], rule: Group, but: int = 0) -> BoatKind:
    """What the other boats of one kit and device say of this gate."""
    logs = []
    for other in season.boats:
        if (other.kit, other.device) == key and other.number != but:
            used = _speaking(log, other)[0]
            if used:
                logs.append(gate_log([run.result for run in used], gate=rule.gate))
    return kind_of(logs)


def kind_without(season: Season, log: RunLog, entry: Entry, rule: Group) -> BoatKind:
    """What a boat's kind says, the boat itself left out."""
    return _kind(season, log, (entry.kit, entry.device), rule, but=entry.number)


def _speaking(log: RunLog, entry: Entry) -> tuple[tuple[Run, ...], tuple[tuple[Run, str], ...]]:
    """Runs of the boat as she is now with her own device, hooks and flips too: they are misses."""
    used, out = usable_runs(log, entry)
    back = {run.run for run, why in out if why.startswith("it ended otherwise")}
    used = tuple(run for run in log.book.of(entry.number) if run in used or run.run in back)
    return used, tuple((run, why) for run, why in out if run.run not in back)


def _boat_at_gate(
    season: Season, entry: Entry, rule: Group, log: RunLog, *, every: bool, judged: bool
) -> BoatAtGate:
    tries = tuple(_tries(log, entry, rule, every=every)) if judged else ()
    left = max(rule.tries - len(tries), 0)
    passed = any(each.passed for each in tries)
    question = next((q for each in tries if (q := _question(each, rule))), None) if not passed else None
    chance: float | None = None
    used: tuple[Run, ...] = ()
    out: tuple[tuple[Run, str], ...] = ()
    if judged and left and not passed:
        used, out = _speaking(log, entry)
        kind = kind_without(season, log, entry, rule)
        own = gate_log([run.result for run in used], gate=rule.gate)
        chance = chance_to_pass(own, kind, gate=rule.gate, tries=left)
    changed = ((run, c) for run in log.book.of(entry.number) for c in run.corrected)
    return BoatAtGate(
        entry=entry, tries=tries, left=left if judged and not passed else 0, chance=chance, used=used, left_out=out,
        question=question, appeals=tuple((run, c) for run, c in changed if c.field in ("ending", "as_try")),
    )  # fmt: skip


def _tries(log: RunLog, entry: Entry, rule: Group, *, every: bool) -> list[Try]:
    found: list[Try] = []
    for run in log.book.of(entry.number):
        counts = run.result.as_try != NO if every else run.result.as_try == YES
        if counts and len(found) < rule.tries and not any(each.passed for each in found):
            decided = any(change.field == "ending" for change in run.corrected)
            says = (run.result.ending if decided else None) or verdict_of(run.result, gate=rule.gate)
            if run.result.device is not None and run.result.device not in rule.devices:
                says = f"ran with {run.result.device}, not allowed in {rule.name}"
            found.append(Try(number=len(found) + 1, run=run, says=says))
    return found


def _question(each: Try, rule: Group) -> Finding | None:
    """The one thing to ask about a try that cannot be judged."""
    where = each.run.label
    if each.says == ODD:
        what, why = "Its figures and its ending differ.", "Which of the two is right?"
    elif each.says != NOT_TOLD:
        return None
    elif each.run.result.distance is None and each.run.result.gate_time is None:
        what, why = f"No distance is written for try {each.number}.", "How far did it go before it stopped?"
    else:
        what, why = f"Nobody wrote whether try {each.number} passed between the posts.", "Did it?"
    flag = "--distance-m D" if "far" in why else '--ending "through the gate"'
    return Finding(
        code="try-not-told", severity="warning", what=what, why=why,
        do=f"`log --boat {each.run.boat} --run {each.run.run} {flag} --correct \"who said so\"`.", where=where,
    )  # fmt: skip


def distance_question(rule: Group) -> Finding | None:
    """100 ft typed as 100 m is asked about; nothing is judged by it until somebody says."""
    far = rule.qualifying_distance
    if far <= MOST_BELIEVED or rule.is_distance_sure:
        return None
    return Finding(
        code="distance-in-feet", severity="stop",
        what=f"{rule.name}: {show_distance(far)} to qualify is more than such boats run.",
        why=f"Is it {far:g} ft = {far * 0.3048:.2f} m?",
        do=f'If so, write "{far:g} ft"; if it is right as it stands, write "{far:g} m" with its unit.',
        where=f"season.toml, [groups.{rule.name}]",
    )  # fmt: skip


def _class_questions(found: Sequence[ClassAtGate]) -> list[Finding]:
    return [each.question for each in found if each.question]


def _open_questions(found: Sequence[ClassAtGate]) -> list[Finding]:
    return [boat.question for each in found for boat in each.boats if boat.question]


def appeal(
    season: Season, log: RunLog, boat: BoatAtGate, *, number: int, result: str, who: str, why: str, now: str
) -> Logged:
    """Change the result of a try after an appeal: old and new result, who and why all stay in the log.

    Parameters
    ----------
    season : Season
    log : RunLog
    boat : BoatAtGate
    number : int
        Which try.
    result : str
        An ending, or ``again``: the try is given again.
    who, why : str
    now : str
        The clock.

    Raises
    ------
    MissingError
        There is no such try.
    InputError
        No name or no reason, or not a result.
    ConflictError
        It stands so already.
    """
    each = next((t for t in boat.tries if t.number == number), None)
    if each is None:
        raise MissingError(
            what=f"{boat.entry.label} has no try {number}", got=f"{len(boat.tries)} tries",
            allowed="a try that was made", do="Give its number, counted from 1.",
        )  # fmt: skip
    for what, text in (("who decided", who), ("why", why)):
        if not text.strip():
            raise InputError(
                what=f"an appeal without {what}", allowed="who decided, by job, and why",
                do="Add --by and --reason; both are kept with the old and the new result.",
            )  # fmt: skip
    if result == each.says:
        raise ConflictError(what=f"try {number} stands so already", got=f'"{result}"',
                            do="Nothing needs changing.")  # fmt: skip
    cells = {"boat": str(boat.entry.number), "run": str(each.run.run), "entry": "correction", "reason": why}
    cells |= {"try": NO} if result == "again" else {"ending": result}
    return log_run(cells, log, season, now=now, phone=who)
