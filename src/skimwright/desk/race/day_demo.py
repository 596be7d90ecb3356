"""The demonstration's regatta day as people typed it, command by command.

Who comes in when is by the demonstration law and a published seed; what goes wrong is told here.  Playing these
commands makes the demonstration season's ``results.csv``, to the letter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from skimwright.desk.race.day_plan import draw_day
from skimwright.desk.race.lots import Entries
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run_demo import invented
from skimwright.regatta import DayPlan, Event, PlannedHeat, clock, follow
from skimwright.trials import invent_race

DAY_SEED = 20270522  # published: the day of the regatta
MINUTE = 60.0
OPEN_LINE = 30.48  # [m]
LEFT_AT = 16  # boat 24 races no more from this heat on
FLAT = {13: "finish B", 20: "finish B"}  # a phone with no battery left
RESTART = 15 * 3600.0 + 8 * MINUTE  # heat 25, after the thunder


@dataclass(frozen=True, kw_only=True)
class TypedStep:
    """One command of the day."""

    at: float  # since midnight, by the clock of whoever typed it [s]
    words: tuple[str, ...]
    is_told: bool = False  # worth showing in a short account of the day


def demo_day(
    plan: DayPlan, entries: Entries, season: Season, *, seed: int = DAY_SEED
) -> tuple[TypedStep, ...]:
    """Every command of the day, in the order in which they were typed.

    Parameters
    ----------
    plan : DayPlan
        From `read_day_plan`.
    entries : Entries
    season : Season
        Boats as built, for the law.
    seed : int
        Same seed, same day.
    """
    lots = draw_day(plan, entries)
    groups = {row.boat: row.groups for row in entries.rows}
    left = Event(kind="withdrawal", boat=24, heat=LEFT_AT, reason="-")
    after = follow(plan, lots.draws, [left], groups).timetable
    orders = _orders(after.heats, season, seed)
    steps = [
        *_morning(),
        *_qualifying(),
        *(step for heat in after.heats for step in _heat(heat, orders[heat.number])),
    ]
    steps += [*_pit(), *_noon(), *_weather()]
    return tuple(_with_keys(steps))


def _orders(
    heats: Sequence[PlannedHeat], season: Season, seed: int
) -> dict[int, tuple[list[int], list[int]]]:
    """For each heat who came in, first one first, and who did not."""
    boats = {entry.number: invented(entry, season) for entry in season.boats}
    gates = {name: group.qualifying_distance for name, group in season.groups.items()}
    raced: Counter[int] = Counter()
    found = {}
    for heat in heats:
        line = gates.get(heat.group, OPEN_LINE)
        came = invent_race(
            [boats[b] for b in heat.boats], gate=line, heat=heat.number, seed=seed, raced=raced
        )
        found[heat.number] = (
            [b for b, time in came if time is not None],
            [b for b, time in came if time is None],
        )
        raced.update(heat.boats)
    return found


def _step(at: float, *words: object, told: bool = False) -> TypedStep:
    return TypedStep(at=at, words=tuple(map(str, words)), is_told=told)


def _at(hour: int, minute: int) -> float:
    return hour * 3600.0 + minute * MINUTE


def _morning() -> Iterator[TypedStep]:
    pit = ("--who", "pit steward")
    yield _step(_at(8, 0), "call", "--publish", "--who", "director", told=True)
    yield _step(_at(8, 5), "hold", "open", "--who", "safety officer", told=True)
    yield _step(_at(8, 30), "mend", "1-21", "23", "24", "--fit", *pit, told=True)
    yield _step(
        _at(8, 34), "mend", 22, "--what", "water", "--why", "edges soaked at the trials yesterday", *pit
    )
    yield _step(_at(8, 40), "mend", 22, "--mass-g", 405, "--fit", *pit, told=True)


def _qualifying() -> Iterator[TypedStep]:
    """The crews that are not through yet; one comes late and has its place in the turn the others are at."""
    ramp = ("--who", "marshal")
    yield _step(_at(9, 0), "call", "--queue", "3,18,22", *ramp, told=True)
    yield _step(_at(9, 10), "call", "--queue", 5, *ramp, told=True)  # late
    tries = (
        (3, "stopped short"), (18, "turned over"), (22, "through"), (5, "through"), (3, "through"), (18, "ran wide"),
        (18, "through"),
    )  # fmt: skip
    for place, (boat, ended) in enumerate(tries):
        last = place == len(tries) - 1
        yield _step(
            _at(9, 4) + 4 * place * MINUTE, "call", "--tried", boat, "--ended", ended, *ramp, told=last
        )


def _heat(heat: PlannedHeat, order: tuple[list[int], list[int]]) -> Iterator[TypedStep]:
    """Call, start and two reports of one heat, and what happened in it."""
    number, (came, out) = heat.number, order
    start = RESTART if number == 25 else heat.start
    words = _in_order(came, out)
    yield _step(start - 2 * MINUTE, "call", number)
    if number == 10:
        yield _step(start - MINUTE, "call", number)
        yield _step(
            start, "call", number, "--missing", 10, "--choose", "not started", "--who", "director", "--why",
            "nobody found the crew", told=True,
        )  # fmt: skip
        came, out = [b for b in came if b != 10], [b for b in out if b != 10]
        words = _in_order(came, out)
    yield _step(start + MINUTE, "call", number, "--start")
    if number == 8:
        yield from _rerun(start, words, came, out)
        start += 5 * MINUTE
    if number == 9:  # second and third over the line together
        words = [f"{came[0]:02d}", f"{came[1]:02d}={came[2]:02d}", *words[3:]]
    for phone in ("finish A", "finish B"):
        if FLAT.get(number) == phone:
            continue
        slow = 7200.0 if phone == "finish A" and number <= 3 else 0.0  # until somebody sets its clock
        said = [words[0], words[2], words[1], *words[3:]] if number == 7 and phone == "finish A" else words
        yield _step(start + 3 * MINUTE - slow, "finish", number, *said, "--phone", phone, told=number == 7)
    yield from _afterwards(number, start, came, out)


def _in_order(came: Sequence[int], out: Sequence[int]) -> list[str]:
    return [*(f"{boat:02d}" for boat in came), *(f"{boat:02d}:dnf" for boat in out)]


def _rerun(
    start: float, words: Sequence[str], came: Sequence[int], out: Sequence[int]
) -> Iterator[TypedStep]:
    """Two boats are stopped by a moorhen; the heat is raced again at once."""
    stopped = [*words[:-2], f"{words[-2][:2]}:dnf", f"{words[-1][:2]}:dnf"]
    for phone in ("finish A", "finish B"):
        yield _step(start + 3 * MINUTE, "finish", 8, *stopped, "--phone", phone)
    yield _step(
        start + 4 * MINUTE, "finish", 8, "--rerun", "a moorhen swam across two lanes", "--who", "director", told=True
    )  # fmt: skip
    yield _step(start + 5 * MINUTE, "call", 8)
    yield _step(start + 6 * MINUTE, "call", 8, "--start")


def _afterwards(number: int, start: float, came: Sequence[int], out: Sequence[int]) -> Iterator[TypedStep]:
    """Protests, decisions and corrections."""
    words = _in_order(came, out)
    if number == 4:
        yield _step(
            start + 6 * MINUTE, "finish", 4, came[3], "--protest", "third and fourth were called the wrong way round",
            "--who", f"crew of boat {came[3]:02d}",
        )  # fmt: skip
        yield _step(
            start + 20 * MINUTE, "finish", 4, f"{came[2]:02d}:4", f"{came[3]:02d}:3", "--correct",
            "seen on the film of the finish", "--who", "scorer", told=True,
        )  # fmt: skip
    if number == 7:
        yield _step(
            start + 5 * MINUTE, "finish", 7, *words, "--decide",
            "the second bow is seen on the film; finish A stood behind the post", "--who", "marshal", told=True,
        )  # fmt: skip
    if number == 13:
        yield _step(
            start + 8.5 * MINUTE, "finish", 13, *words, "--paper", "--who", "scorer", told=True,
        )  # fmt: skip
    if number == 20:
        yield _step(
            start + 5 * MINUTE, "finish", 20, *words, "--decide",
            "the phone of finish B is flat; its paper says the same", "--who", "marshal", told=True,
        )  # fmt: skip


def _pit() -> Iterator[TypedStep]:
    """A boat mended between its heats, and one that races without a tick."""
    yield _step(
        _at(11, 53), "mend", 18, "--what", "patch", "--patch", "6@30,100", "--why", "bow corner torn", "--who",
        "pit steward", told=True,
    )  # fmt: skip
    yield _step(_at(12, 2), "mend", 18, "--fit", "--unweighed", "--who", "pit steward", told=True)
    yield _step(
        _at(12, 26), "mend", 22, "--unfit", "9 g of water a run, not weighed since", "--who", "pit steward"
    )
    yield _step(
        _at(12, 27), "call", 16, "--allow", 22, "--who", "director", "--why", "heavier is slower here, not less steady",
        told=True,
    )  # fmt: skip
    yield _step(_at(12, 58), "mend", 22, "--mass-g", 441, "--fit", "--who", "pit steward")


def _noon() -> Iterator[TypedStep]:
    yield _step(
        _at(12, 10),
        "call",
        "--without",
        24,
        "--why",
        "their bus leaves",
        "--who",
        "crew of boat 24",
        told=True,
    )


def _weather() -> Iterator[TypedStep]:
    """Rain, then thunder twice: the thirty minutes begin again."""
    officer, marshal = ("--who", "safety officer"), ("--who", "marshal")
    yield _step(_at(14, 24), "hold", "hold", *marshal, "--why", "rain: the gate cannot be seen", told=True)
    yield _step(_at(14, 31), "hold", "thunder", *officer, told=True)
    yield _step(_at(14, 36), "hold", "thunder", *officer, "--why", "again", told=True)
    yield _step(_at(14, 41), "hold", "clear", *marshal, "--why", "dry", told=True)
    yield _step(_at(15, 45), "hold", "stop", *officer, "--why", "racing is over", told=True)


def _with_keys(steps: Sequence[TypedStep]) -> Iterator[TypedStep]:
    """In the order of the true time, each with its moment and a key of its own."""
    ordered = sorted(steps, key=_true_time)
    for number, step in enumerate(ordered, 1):
        when = f"{clock(step.at)}:{int(step.at % 60):02d}" if step.at % 60 else clock(step.at)
        if step.words[0] == "hold":
            yield TypedStep(
                at=step.at, words=(*step.words, "--at", f"2027-05-22T{clock(step.at)}:00+01:00"), is_told=step.is_told
            )  # fmt: skip
        else:
            yield TypedStep(
                at=step.at, words=(*step.words, "--at", when, "--key", f"day-{number:03d}"), is_told=step.is_told
            )  # fmt: skip


def _true_time(step: TypedStep) -> float:
    is_slow = "finish A" in step.words and step.words[1] in ("1", "2", "3")
    return step.at + 7200.0 * is_slow
