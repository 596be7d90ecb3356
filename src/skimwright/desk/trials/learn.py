"""What a boat's logged runs say: the forecast with them taken in, what they cannot teach, and what to do next."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import BoatForecast, forecast_boat, question_about
from skimwright.desk.boats.suspects import sideways_suspects, trial_of
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.pond import Conditions
from skimwright.run import Forecast, Question
from skimwright.trials import (
    GATE_EYE,
    MINUTES_A_RUN,
    Credit,
    Fleet,
    Law,
    Learned,
    Run,
    Trial,
    Verdict,
    carry,
    chance_in_tries,
    credits,
    explain,
    fit_law,
    gate_chance,
    learn,
    pool,
    run_chance,
    runs_to_tell,
    since_change,
    study,
    taught_forecast,
    worth_of_runs,
)

MATE_RUNS = 48  # of the model, for each other boat of its kind
TRIAL_RUNS = 500  # of the model in the trials' wind
ENOUGH = 0.005  # a test worth less than this share of tries is not worth its minutes [choice]
FEW = 3  # runs below which the class's spread is used
CLEAR_SHARE = 0.2  # shift of a mean that is worth finding, of the gate's half-width [choice]

# What good runs cannot teach, and what would.
_NEVER = (
    (
        "the lift of the pads",
        "lift_factor",
        "every ordinary run carries the same weight, whichever way it is shared out",
        "a slow tow past the hump with a spring scale and a ruler at the bow",
    ),
    (
        "the lift of the air under the tunnel and the deck",
        "tunnel_factor",
        "a boat that runs well below its limit does not show how near it is",
        "a side view of the nose on film while the speed goes up step by step",
    ),
)
_BLOW_OVER = (
    "the blow-over margin",
    "it rests on the air's lift, which good runs do not show",
    "the same film; stop going up when the front pads are seen to leave the water",
)


@dataclass(frozen=True, kw_only=True)
class NotLearned:
    """Something these runs cannot teach."""

    what: str
    why: str
    teaches: str  # what would
    taught: float  # share of its doubt that is gone all the same [-]


@dataclass(frozen=True, kw_only=True)
class NextTest:
    """The most useful thing to do now."""

    do: str
    why: str
    value: float  # more tries of a hundred through the gate, as a share [-]
    minutes: float


@dataclass(frozen=True, kw_only=True)
class BoatLearned:
    """Everything the learning says of one boat."""

    found: BoatForecast  # its forecast with the runs taken in
    before: Forecast  # the same without
    learned: Learned
    used: tuple[Run, ...]
    left_out: tuple[tuple[Run, str], ...]  # runs that teach nothing here, and why
    credits: tuple[Credit, ...]
    not_learned: tuple[NotLearned, ...]
    next_test: NextTest
    runs_to_tell: float  # each way, for a change that moves the drift by a fifth of half the gate
    spread_is_own: bool  # the run-to-run spread rests on three runs of its own or more
    in_tries: float  # chance to pass in the class's tries
    verdict: Verdict | None  # single faults weighed; None with fewer than three drifts


def learn_boat(
    season: Season,
    entry: Entry,
    log: RunLog,
    *,
    runs: int,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
) -> BoatLearned:
    """Learn one boat from its own runs and from those of its kind.

    Parameters
    ----------
    season : Season
    entry : Entry
        The boat.
    log : RunLog
    runs : int
        Of the model.
    seed : int
        Same seed, same answer.
    progress : called with (runs of the model done, in all)

    Raises
    ------
    InputError
        The boat cannot float, or its kit cannot run.
    ModelError
        Too few runs of the model end in an ordinary way, or the log fits nothing this boat might be.
    """
    used, left_out = usable_runs(log, entry)
    day = day_of(used, season.conditions)
    mates = _mates(season, entry, log)
    total = 2 * runs + MATE_RUNS * len(mates) + (TRIAL_RUNS if day != season.conditions else 0)
    said = progress or (lambda done, of: None)
    asked = question_about(season, entry, runs=runs, seed=seed)
    found = forecast_boat(
        asked,
        name=entry.label[0].upper() + entry.label[1:],
        findings=(*entry.findings, *log.findings_of(entry.number)),
        progress=lambda done, _: said(done, total),
    )
    made = study(asked)
    said(2 * runs, total)
    law = fit_law(made)
    there = law
    if day != season.conditions:
        there = fit_law(study(replace(asked, conditions=day, runs=max(TRIAL_RUNS, 20))))
    fleet = _fleet(season, mates, there, day, seed, lambda i: said(2 * runs + MATE_RUNS * i, total))
    trials = [trial_of(run, season.conditions) for run in used]
    learned = learn(there, trials, fleet=fleet, seed=seed)
    here = carry(learned, law, seed=seed) if there is not law else learned
    after = taught_forecast(found.forecast, made, here, seed=seed)
    said(total, total)
    group = season.groups[entry.group]
    drift_sd = _drift_sd(learned, trials)
    own_runs = log.book.of(entry.number)
    return BoatLearned(
        found=replace(found, forecast=after),
        before=found.forecast,
        learned=here,
        used=used,
        left_out=left_out,
        credits=credits(own_runs, class_sd=max(drift_sd, 1e-6)),
        not_learned=_not_learned(here),
        next_test=_next_test(after, here, trials),
        runs_to_tell=runs_to_tell(
            difference=CLEAR_SHARE * 0.5 * group.gate_width, run_sd=max(drift_sd, 1e-6)
        ),
        spread_is_own=len(used) >= FEW,
        in_tries=chance_in_tries(one=after.through_gate, tries=group.tries),
        verdict=_verdict(season, entry, asked, learned, used, day),
    )


def usable_runs(log: RunLog, entry: Entry) -> tuple[tuple[Run, ...], tuple[tuple[Run, str], ...]]:
    """Runs of the boat as she is now with her own device, and the others with the reason."""
    own = log.book.of(entry.number)
    now = since_change(own)
    used, out = [], []
    for run in own:
        result = run.result
        if run not in now:
            out.append((run, "the boat was changed after it"))
        elif result.device not in (None, entry.device):
            out.append((run, f"it ran with {result.device}"))
        elif not run.speaks_of_the_boat:
            out.append((run, f"it ended otherwise: {result.ending}"))
        elif result.distance is None and result.gate_time is None and result.drift is None:
            out.append((run, "it has no figures"))
        else:
            used.append(run)
    return tuple(used), tuple(out)


def _mates(season: Season, entry: Entry, log: RunLog) -> list[tuple[Entry, tuple[Run, ...]]]:
    """The other boats of its kit and device that have run."""
    found = []
    for other in season.boats:
        same = (other.kit, other.device) == (entry.kit, entry.device)
        if same and other.number != entry.number and not other.is_stopped:
            used, _ = usable_runs(log, other)
            if used:
                found.append((other, used))
    return found


def day_of(runs: Sequence[Run], usual: Conditions) -> Conditions:
    """The weather of the trials: the mean of the winds that were logged; the season's own if none was."""
    winds = [w for w in (trial_of(run, usual).wind for run in runs) if w is not None]
    if not winds:
        return usual
    along, across = (float(v) for v in np.mean(winds, axis=0))
    return replace(
        usual,
        wind_speed=math.hypot(along, across),
        wind_gust=None,
        wind_from=(usual.heading + math.atan2(-across, -along)) % (2.0 * math.pi),
        ripple=None,
    )


def _drift_sd(learned: Learned, trials: Sequence[Trial]) -> float:
    """Drift's spread from run to run as it is logged: the run's own, what is left of the wind, the eye. [m]"""
    chances = [run_chance(learned.law, trial)[1][2, 2] for trial in (*trials, Trial())][: max(len(trials), 1)]
    return float(np.median(learned.spread[:, 2]) * math.sqrt(float(np.mean(chances)) + GATE_EYE**2))


def _fleet(
    season: Season,
    mates: Sequence[tuple[Entry, tuple[Run, ...]]],
    law: Law,
    day: Conditions,
    seed: int,
    said: Callable[[int], None],
) -> Fleet:
    """What the other boats' runs say: logged less forecast."""
    gate = season.groups[mates[0][0].group].gate.distance if mates else 30.48
    found = []
    for count, (other, runs) in enumerate(mates):
        question = question_about(season, other, runs=MATE_RUNS, seed=seed, conditions=day)
        made = study(question)
        level = np.nanmedian(np.where(made.ordinary[:, None], made.results, np.nan), axis=0)
        rows = []
        for run in runs:
            trial = trial_of(run, season.conditions)
            shift = law.wind_shift(trial.wind)
            rows.append(trial.values - level - shift)
        found.append(np.array(rows))
        said(count + 1)
    return pool(law, found, gate=gate)


def _not_learned(learned: Learned) -> tuple[NotLearned, ...]:
    taught = learned.taught
    found = [
        NotLearned(what=what, why=why, teaches=teaches, taught=taught.get(key, 0.0))
        for what, key, why, teaches in _NEVER
    ]
    what, why, teaches = _BLOW_OVER
    return (*found, NotLearned(what=what, why=why, teaches=teaches, taught=taught.get("deck_factor", 0.0)))


def _next_test(after: Forecast, learned: Learned, trials: Sequence[Trial]) -> NextTest:
    """The test with the most gain for its minutes, or none."""
    if after.blows_over >= 0.03:
        return NextTest(
            do="Film its nose from the side while the speed goes up step by step; stop when the front pads leave "
            "the water.",
            why="Good runs cannot show how near it is to blowing over.",
            value=after.blows_over, minutes=15.0,
        )  # fmt: skip
    half = 0.5 * after.gate.width
    bias = float(np.std(learned.level[:, 2]))
    law = learned.law
    wind = float(np.sqrt(((law.windy[2] * law.wind_sd) ** 2).sum()))
    run = float(np.median(learned.spread[:, 2])) * float(law.run_sd[2])
    choices = [
        NextTest(
            do="Run it once more, with clock, tape and the wind written down.",
            why="Its own pull to one side is known only so well; the aim can be no better.",
            value=worth_of_runs(bias_sd=bias, run_sd=math.hypot(run, 0.7 * wind), half_width=half),
            minutes=MINUTES_A_RUN,
        )
    ]
    if any(trial.wind is None for trial in trials):
        with_wind = gate_chance(bias=0.0, sd=math.hypot(bias, run, 0.7 * wind), half_width=half)
        without = gate_chance(bias=0.0, sd=math.hypot(bias, run, wind), half_width=half)
        choices.append(
            NextTest(
                do="Write down wind and direction at each run.",
                why="Without it the wind's drift cannot be told from the boat's own.",
                value=with_wind - without, minutes=1.0,
            )
        )  # fmt: skip
    unknown = next((t for t in after.terms if "not measured" in t.words and t.drift > 0.0), None)
    if unknown is not None:
        whole = math.hypot(bias, run)
        left = math.sqrt(max(whole**2 - min(unknown.drift, 0.9) * bias**2, 1e-9))
        choices.append(
            NextTest(
                do=f"Measure {unknown.words.removesuffix(' (not measured)')}.",
                why="Of all that is unmeasured on the boat it moves the drift most.",
                value=gate_chance(bias=0.0, sd=left, half_width=half)
                - gate_chance(bias=0.0, sd=whole, half_width=half),
                minutes=5.0,
            )
        )  # fmt: skip
    best = max(choices, key=lambda c: c.value / c.minutes)
    if best.value < ENOUGH:
        return NextTest(
            do="Stop trialling; mend edges and dry the boat.",
            why="No test would change the next try by half a run in a hundred.", value=best.value, minutes=0.0,
        )  # fmt: skip
    return best


def _verdict(
    season: Season, entry: Entry, asked: Question, learned: Learned, used: Sequence[Run], day: Conditions
) -> Verdict | None:
    """Single faults weighed against each other, by what each would do to the drift of a boat as drawn."""
    drifts = [run.result.drift for run in used]
    if sum(drift is not None for drift in drifts) < FEW:
        return None
    line_up = sideways_suspects(season, entry, asked, day)
    law = line_up.law
    shifts = [law.wind_shift(trial_of(run, season.conditions).wind)[2] for run in used]
    own = [d - s for d, s in zip(drifts, shifts, strict=True) if d is not None]
    seen = [trial_of(run, season.conditions) for run in used]
    drift_sd = _drift_sd(learned, seen) / math.sqrt(len(own))
    mean = float(np.mean(own)) - float(law.middle[2]) - float(learned.fleet.mean[2])
    return explain(
        line_up.suspects, drift=mean, drift_sd=math.hypot(drift_sd, float(learned.fleet.sd[2]) * 0.5),
        other_sd=line_up.other_sd,
    )  # fmt: skip
