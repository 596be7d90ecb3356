"""What may be out of true on one boat, with what each would do to a figure of its runs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from skimwright.boat import AsBuilt, spread
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Season
from skimwright.pond import Conditions
from skimwright.run import Question
from skimwright.trials import Law, Run, Suspect, Trial, fit_law, study, trial_wind

LAW_RUNS = 500  # of the model
DISTANCE, DRIFT = 0, 2  # of a law's outputs
PUSH = "thrust_factor"

# What would tell a suspect apart, and a crew's minutes for it [choice].
_SIDEWAYS = {
    "blade_yaw": ("Turn the blade 2 deg and run twice.", 10.0),
    "balance_y": ("Move 10 g across the boat and run twice.", 10.0),
    "device_y": ("Measure the device from the centre line.", 3.0),
    "pad_angle_left": ("Hold the angle card to the left pad.", 3.0),
    "pad_angle_right": ("Hold the angle card to the right pad.", 3.0),
    "pad_toe_left": ("Lay a straight edge along the left sponson.", 3.0),
    "pad_toe_right": ("Lay a straight edge along the right sponson.", 3.0),
    "pad_cant_left": ("Hold the angle card across the left pad.", 3.0),
    "pad_cant_right": ("Hold the angle card across the right pad.", 3.0),
    "floor_twist": ("Measure the floor's height at its four corners.", 5.0),
}
_FARNESS = {
    "mass": ("Weigh it, ready to run.", 2.0),
    "balance_x": ("Find its balance point on a knife edge.", 3.0),
    "water_gain": ("Weigh it dry, run it, weigh it wet.", 8.0),
    "pad_angle_left": ("Hold the angle card to the left pad.", 3.0),
    "pad_angle_right": ("Hold the angle card to the right pad.", 3.0),
    "floor_twist": ("Measure the floor's height at its four corners.", 5.0),
}


@dataclass(frozen=True, kw_only=True)
class LineUp:
    """The suspects of one figure, and the law of a boat as drawn that they are weighed by."""

    suspects: Mapping[str, Suspect]
    law: Law
    other_sd: float  # the figure's spread from lasting causes that are no suspects


def sideways_suspects(season: Season, entry: Entry, asked: Question, day: Conditions) -> LineUp:
    """Who may have pulled it to one side; mass and balance point are taken as they are."""
    drawn = AsBuilt(boat=entry.built.boat, mass=entry.built.mass, balance_x=entry.built.balance_x)
    return _line_up(season, entry, asked, day, drawn, _SIDEWAYS, DRIFT)


def short_suspects(season: Season, entry: Entry, asked: Question, day: Conditions) -> LineUp:
    """Who may have made it stop short."""
    return _line_up(season, entry, asked, day, AsBuilt(boat=entry.built.boat), _FARNESS, DISTANCE)


def _line_up(
    season: Season, entry: Entry, asked: Question, day: Conditions, drawn: AsBuilt,
    tests: Mapping[str, tuple[str, float]], output: int,
) -> LineUp:  # fmt: skip
    kit = season.kit_of(entry)
    law = fit_law(study(replace(asked, built=drawn, conditions=day, runs=LAW_RUNS)))
    slopes = dict(zip(law.keys, (law.slope @ law.turn.T)[output], strict=True))
    wide, card = spread(AsBuilt(boat=entry.built.boat), kit=kit), spread(entry.built, kit=kit)
    found = {}
    for key, (test, minutes) in tests.items():
        measured = card[key].measured
        found[key] = Suspect(
            words=law.words[law.keys.index(key)].removesuffix(" (not measured)"),
            slope=slopes[key] / wide[key].sd,
            class_sd=wide[key].sd,
            reading=card[key].mean - wide[key].mean if measured else None,
            reading_sd=card[key].sd if measured else 0.0,
            test=test,
            minutes=minutes,
        )
    if output == DISTANCE:
        sd = season.devices[entry.device].impulse_spread
        found[PUSH] = Suspect(
            words="the device's push", slope=slopes[PUSH] / sd, class_sd=sd,
            test="Put in a fresh battery or another device of the same kind and run twice.", minutes=8.0,
        )  # fmt: skip
    rest = sum(v**2 for key, v in slopes.items() if key not in found)
    return LineUp(suspects=found, law=law, other_sd=math.sqrt(max(rest, 1e-6)))


def trial_of(run: Run, conditions: Conditions) -> Trial:
    """What a logged run teaches."""
    r = run.result
    wind = trial_wind(conditions, speed=r.wind_speed, wind_from=r.wind_from)
    return Trial(distance=r.distance, gate_time=r.gate_time, drift=r.drift, wind=wind)
