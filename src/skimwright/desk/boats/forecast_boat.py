"""What one boat will do, and the first thing to look at."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from skimwright.base import Finding
from skimwright.boat import AsBuilt, Kit, running_form
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.float_boat import Floating, float_as_built
from skimwright.desk.boats.known_range import FACES, outside_known
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.words import closed, share
from skimwright.physics import board, slam, thrust, water
from skimwright.physics.thrust import Device
from skimwright.pond import Conditions, Gate, gust_doubts
from skimwright.run import Effect, Forecast, Question, effects, forecast, ripple_height

DEGREE = math.pi / 180.0
DEVICE_CLOSED = "device-closed"
TOO_FAR = 12.0 * DEGREE  # an aim farther off than this is no aim [choice]
NEAR_FLIP = 0.25  # margin (critical / met)^2 - 1 of the weakest twentieth below which the page warns [choice]

LIGHT = 0.7  # being light is often wanted: it counts less than a fault that lowers the flip speed as much [choice]
FAR = 2.5  # class spreads beyond which a measurement is worth a look, whatever it does [choice]


@dataclass(frozen=True, kw_only=True)
class Look:
    """One thing worth a look, and what to do about it."""

    key: str
    says: str  # what it is, with its number
    does: str  # what it does on the water, by itself
    do: str  # the next move
    weight: float  # 1 is as much as half the gate, a third of a second or a twelfth of the flip speed

    @property
    def is_measured(self) -> bool:
        """It speaks of something measured on the boat."""
        return self.key in _SAYS or self.key == "deck_length"


@dataclass(frozen=True, kw_only=True)
class BoatForecast:
    """Everything a boat's page says."""

    name: str
    question: Question
    floating: Floating
    forecast: Forecast
    effects: tuple[Effect, ...]
    looks: tuple[Look, ...]  # heaviest first
    aim: (
        float | None
    )  # turn of the launch line that takes out the wind's drift [rad]; None when it is under 1 deg
    findings: tuple[Finding, ...]

    @property
    def first(self) -> Look:
        """The first thing to look at."""
        return self.looks[0]


def question_about(
    season: Season,
    entry: Entry,
    *,
    runs: int,
    seed: int,
    conditions: Conditions | None = None,
    device: Device | None = None,
) -> Question:
    """One boat of a season, on the season's day and through its class's gate."""
    return Question(
        kit=season.kit_of(entry),
        device=device or season.devices[entry.device],
        built=entry.built,
        conditions=conditions or season.conditions,
        gate=season.groups[entry.group].gate,
        runs=runs,
        seed=seed,
    )


def question_for_kit(
    kit: Kit,
    device: Device,
    *,
    mass: float | None,
    balance: tuple[float, float, float] | None,
    conditions: Conditions,
    gate: Gate,
    runs: int,
    seed: int,
) -> Question:
    """A kit nobody has built yet, or one with only its mass and balance known; SI."""
    built = AsBuilt(boat=kit.name, mass=mass)
    if balance is not None:
        built = replace(built, balance_x=balance[0], balance_y=balance[1], balance_z=balance[2])
    return Question(
        kit=kit, device=device, built=built, conditions=conditions, gate=gate, runs=runs, seed=seed
    )


def turn_radius(gate: Gate) -> float:
    """Radius of the circle that takes a boat off by half the gate's width at the gate. [m]

    Examples
    --------
    >>> round(turn_radius(Gate(distance=30.48, width=5.0)))
    186
    """
    return gate.distance**2 / gate.width


def _blade_unmeasured(question: Question) -> tuple[Finding, ...]:
    """Of a built boat only: nobody measures a drawing."""
    is_drawing = question.built.boat == question.kit.name
    if is_drawing or question.built.blade_yaw is not None:
        return ()
    return (
        Finding(
            code="blade-unmeasured", severity="note",
            what="The blade's angle was not measured, so the spread of its class is taken.",
            why="The drift is known the worse for it.", do="Measure it, and write it in boats.csv as fin_yaw_deg.",
        ),
    )  # fmt: skip


def forecast_boat(
    question: Question,
    *,
    name: str,
    findings: tuple[Finding, ...] = (),
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> BoatForecast:
    """Forecast one boat and rank what is worth a look.

    Parameters
    ----------
    question : Question
    name : str
        How the boat is spoken of.
    findings : Findings
        What the season already has to say of it.
    progress, stop : as in :func:`skimwright.run.forecast`

    Raises
    ------
    InputError
        The boat cannot float, or its kit cannot run.
    ModelError
        It was stopped too early.
    """
    result = forecast(question, progress=progress, stop=stop)
    alone = effects(question)
    floating = float_as_built(
        question.kit, question.built, water_temperature=question.conditions.water_temperature
    )
    return BoatForecast(
        name=name,
        question=question,
        floating=floating,
        forecast=result,
        effects=alone,
        looks=_looks(question, result, alone),
        aim=result.aim if abs(result.aim) >= 1.0 * DEGREE else None,
        findings=(
            *_permission(question.device),
            *findings,
            *gust_doubts(question.conditions),
            *_blade_unmeasured(question),
            *result.findings,
            *floating.feet.findings,
            *_slap(question, result),
            *outside_known(question, result),
        ),
    )


def _permission(device: Device) -> tuple[Finding, ...]:
    if not device.needs_permission:
        return thrust.envelope(device)
    return (
        Finding(
            code=DEVICE_CLOSED, severity="stop", what=closed(device.name),
            do="This forecast is for the talk with those who decide, not for running.",
        ),
        *thrust.envelope(device),
    )  # fmt: skip


USUAL_RIPPLE = 0.2  # length of ripples [m] [choice]


def _slap(question: Question, result: Forecast) -> tuple[Finding, ...]:
    """Does a pad that meets a ripple's flank at top speed come near the strength of the board's core?"""
    kit, day = question.kit, question.conditions
    pad = next((plate for plate in running_form(kit).plates if plate.name == "pad-left"), None)
    if pad is None:
        return ()
    slope = slam.ripple_slope(height=2.0 * ripple_height(day), length=USUAL_RIPPLE)
    pressure = board.slam_pressure(
        mass=0.5 * result.built["mass"].mean,
        speed=result.top_speed.p95 * slope,
        beam=pad.beam,
        length=math.dist(pad.front, pad.rear),
        water_density=water.density(temperature=day.water_temperature),
    )
    core = max(kit.board.areal_density - FACES, 0.05) / kit.board.thickness
    return board.slam_finding(pressure=pressure, core_density=core, extruded=False)


def _looks(question: Question, result: Forecast, alone: tuple[Effect, ...]) -> tuple[Look, ...]:
    measured = [
        _look(effect, question, result)
        for effect in alone
        if effect.key in _SAYS and _differs(effect, result)
    ]
    found = [*_urgent(question, result, faulty=any(look.weight >= 1.0 for look in measured)), *measured]
    if shrunk := _shrunk(question):
        found.append(shrunk)
    found.sort(key=lambda look: -look.weight)
    if not found or found[0].weight < 0.35:
        found.insert(0, _nothing(result))
    return tuple(found)


def _differs(effect: Effect, result: Forecast) -> bool:
    """More than the measurement itself may be off; soaking up less than usual is no fault."""
    if effect.key == "water_gain":
        return effect.deviation > 0.0005
    return abs(effect.deviation) > result.built[effect.key].sd


def _urgent(question: Question, result: Forecast, *, faulty: bool) -> list[Look]:
    """What outweighs every angle: no course, no nose, no distance."""
    found = []
    if not result.straight.stable:
        found.append(
            Look(
                key="course", weight=9.0, says="It does not turn back into its own course.",
                does="Every small push grows, so no drift can be foretold.",
                do="Look at the blade first: is it there, deep enough and behind the balance point?",
            )
        )  # fmt: skip
    limit, met = result.blow_over.critical, result.blow_over.met
    if abs(result.aim) > TOO_FAR:
        found.append(
            Look(
                key="wind", weight=4.5,
                says=f"The usual run needs an aim {abs(result.aim) / DEGREE:.0f} deg off the gate.",
                does="That far off, the line no longer points at water that was looked at.",
                do="Turn the start line or wait for less crosswind.",
            )
        )  # fmt: skip
    if max(result.blows_over, result.blow_over.beyond) >= 0.03 or result.blow_over.margin_low < NEAR_FLIP:
        found.append(
            Look(
                key="flip", weight=5.0,
                says=f"Its pads lift off at {limit[0]:.0f} to {limit[2]:.0f} m/s of air, and it meets up to "
                f"{met[2]:.0f} m/s.",
                does=f"Meets more air than its pads hold down: {share(result.blow_over.beyond, result.runs)} of runs; "
                f"turned over in the sum: {share(result.blows_over, result.runs)}.",
                do="Move weight forward or run it on a calmer day; do not make it lighter.",
            )
        )  # fmt: skip
    if result.reaches < 0.1:
        short = question.gate.distance - result.distance.p95
        ahead = f"; nine of ten stop at least {short:.0f} m short" if short > 0.5 else ""
        found.append(
            Look(
                key="reach", weight=0.9 if faulty else 4.0,
                says=f"{question.device.name} does not carry it {question.gate.distance:.2f} m{ahead}.",
                does=f"It stops after {result.distance.p05:.0f} to {result.distance.p95:.0f} m.",
                do="Mend what is listed first; then ask for a shorter gate for this class or another device.",
            )
        )  # fmt: skip
    return found


def _shrunk(question: Question) -> Look | None:
    measured = question.built.deck_length
    if measured is None or abs(measured / question.kit.length - 1.0) < 0.015:
        return None
    whole = measured / question.kit.length
    return Look(
        key="deck_length", weight=2.0,
        says=f"The deck measures {measured * 1e3:.0f} mm where {question.kit.length * 1e3:.0f} mm is drawn "
        f"({100 * whole:.0f} %).",
        does="If every part came out so, the boat carries less and its pads and blade sit elsewhere; this forecast "
        "is for the boat as drawn.",
        do="Measure the 100 mm bar on the templates; print again at actual size if it is short.",
    )  # fmt: skip


def _side(value: float) -> str:
    return "starboard" if value > 0 else "port"


def _deg(value: float) -> str:
    return f"{abs(value) / DEGREE:.1f} deg"


def _mm(value: float) -> str:
    return f"{abs(value) * 1e3:.1f} mm"


def _g(value: float) -> str:
    return f"{abs(value) * 1e3:.0f} g"


def _nose(value: float) -> str:
    return "nose-up" if value > 0 else "nose-down"


# What is measured, and what to do about it; d is the deviation in SI.
_SAYS: dict[str, tuple[Callable[[float], str], Callable[[float], str]]] = {
    "blade_yaw": (
        lambda d: f"The blade's trailing edge points {_deg(d)} to {_side(d)}.",
        lambda d: "Straighten the blade.",
    ),
    "balance_y": (
        lambda d: f"It balances {_mm(d)} to {_side(d)} of the middle.",
        lambda d: f"Move weight to {_side(-d)} until it balances in the middle.",
    ),
    "device_y": (
        lambda d: f"The device sits {_mm(d)} to {_side(d)} of the middle.",
        lambda d: "Move the device back to the centre line.",
    ),
    "pad_angle_left": (
        lambda d: f"The left pad is {_deg(d)} {_nose(d)}.",
        lambda d: "Set the left pad to the angle card.",
    ),
    "pad_angle_right": (
        lambda d: f"The right pad is {_deg(d)} {_nose(d)}.",
        lambda d: "Set the right pad to the angle card.",
    ),
    "pad_toe_left": (
        lambda d: f"The left pad's front points {_deg(d)} to {_side(d)}.",
        lambda d: "Set the left sponson parallel to the hull.",
    ),
    "pad_toe_right": (
        lambda d: f"The right pad's front points {_deg(d)} to {_side(d)}.",
        lambda d: "Set the right sponson parallel to the hull.",
    ),
    "pad_cant_left": (
        lambda d: f"The left pad's outer edge is {_deg(d)} {'high' if d > 0 else 'low'}.",
        lambda d: "Set the left pad level.",
    ),
    "pad_cant_right": (
        lambda d: f"The right pad's outer edge is {_deg(d)} {'high' if d > 0 else 'low'}.",
        lambda d: "Set the right pad level.",
    ),
    "floor_twist": (
        lambda d: f"The floor is twisted {_deg(d)}, {_side(d)} side low at the stern.",
        lambda d: "Warm the glue line, square the floor on a flat table, and glue it again.",
    ),
    "balance_x": (
        lambda d: f"It balances {_mm(d)} {'behind' if d > 0 else 'ahead of'} the drawing's point.",
        lambda d: f"Move weight {'forward' if d > 0 else 'aft'}.",
    ),
    "mass": (
        lambda d: f"It weighs {_g(d)} {'more' if d > 0 else 'less'} than drawn.",
        lambda d: (
            "Look for thick glue; take off what it does not need."
            if d > 0
            else "Watch its nose in a headwind."
        ),
    ),
    "water_gain": (
        lambda d: f"It soaks up water: {_g(d)} a run more than a sealed boat.",
        lambda d: "Dry it, then seal every cut edge with tape or paint.",
    ),
}


def _look(effect: Effect, question: Question, result: Forecast) -> Look:
    says, do = _SAYS[effect.key]
    half = 0.5 * question.gate.width
    parts = []
    weights = [0.0]
    if math.isfinite(effect.drift) and abs(effect.drift) >= 0.05:
        parts.append(f"{abs(effect.drift):.1f} m to {_side(effect.drift)} at the gate")
        weights.append(abs(effect.drift) / half)
    if math.isfinite(effect.gate_time) and abs(effect.gate_time) >= 0.05:
        parts.append(f"{abs(effect.gate_time):.2f} s {'later' if effect.gate_time > 0 else 'sooner'}")
        weights.append(effect.gate_time / 0.33)
    if effect.critical <= -0.1:
        parts.append(f"pads lift off {-effect.critical:.1f} m/s of air sooner")
        lost = -effect.critical / max(result.blow_over.thrust_off, 1.0) * 12.0
        weights.append(lost * (LIGHT if effect.key == "mass" else 1.0))
    if not parts and abs(effect.distance) >= 0.3:
        parts.append(f"{abs(effect.distance):.1f} m {'farther' if effect.distance > 0 else 'shorter'}")
    if effect.key == "water_gain":
        parts.append(f"{effect.deviation * 4e3:.0f} g heavier after four runs")
        weights.append(effect.deviation / 0.005)
    if abs(effect.deviation) >= FAR * _class_spread(question.kit, effect.key):
        weights.append(0.5)  # so far out of its class's spread that it is worth a look by itself
    return Look(
        key=effect.key,
        says=says(effect.deviation),
        does=("By itself: " + ", ".join(parts) + ".") if parts else "By itself it hardly shows.",
        do=do(effect.deviation) if max(weights) >= 0.15 else "Leave it as it is.",
        weight=max(weights),
    )


def _class_spread(kit: Kit, key: str) -> float:
    name = key.removesuffix("_left").removesuffix("_right")
    return float(getattr(kit.tolerances, name))


def _nothing(result: Forecast) -> Look:
    """No deviation stands out: say what does decide, and which measurement would help most."""
    unknown = next((t for t in result.terms if t.group == "build" and "not measured" in t.words), None)
    leading = max(result.terms, key=lambda t: t.drift, default=None)
    words = leading.words if leading else "chance"
    return Look(
        key="nothing",
        says="Nothing measured on this boat stands out.",
        does=f"What moves it sideways most from run to run is {words}.",
        do=f"Measure {unknown.words.removesuffix(' (not measured)')} next; that would narrow the range most."
        if unknown
        else "Run it, and log where it goes.",
        weight=0.35,
    )
