"""One boat's forecast as the numbers a pupil can work with, in the band's own units and digits."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import board_mass, running_form, total_mass
from skimwright.physics import flotation, water
from skimwright.physics.thrust import Curve, PropellerLaw, TowlineLaw
from skimwright.run import Effect, Forecast, Question
from skimwright.teach.facts import BANDS, Band
from skimwright.teach.numbers import Number, Value, number

Array = NDArray[np.float64]
TIME, X, Y, SPEED = 0, 1, 2, 4  # rows of a run's history
NEVER = 98.0  # a flip speed this high stands for "never" [m/s]
NINE_IN_TEN = 3.29  # nine of ten lie within so many standard deviations, of a bell curve


@dataclass(frozen=True, kw_only=True)
class Told:
    """One boat, what its forecast says, and what that came from."""

    title: str  # number and boat name: nothing of a person
    question: Question
    forecast: Forecast
    effects: tuple[Effect, ...]
    at_rest: flotation.Flotation
    feet: flotation.Feet


@dataclass(frozen=True, kw_only=True)
class Digits:
    """How finely a band reads."""

    speed: int
    way: int
    time: int
    depth: int
    aside: int
    side_unit: str = "m"  # of a way to the side

    @property
    def side_scale(self) -> float:
        """Of a metre, in the unit of a way to the side."""
        return 100.0 if self.side_unit == "cm" else 1.0


DIGITS: dict[Band, Digits] = {
    "Cress": Digits(speed=0, way=0, time=0, depth=0, aside=0, side_unit="cm"),
    "Rush": Digits(speed=1, way=1, time=1, depth=0, aside=0, side_unit="cm"),
    "Reed": Digits(speed=2, way=1, time=2, depth=1, aside=1),
    "Willow": Digits(speed=2, way=1, time=2, depth=1, aside=2),
}


def told_numbers(told: Told, band: Band) -> dict[str, Value]:
    """Every number an explanation for this band may print; None where there is none."""
    d = DIGITS[band]
    return {
        **_body(told),
        **_at_rest(told, d, band),
        **_push(told, d),
        **_times(told, d),
        **_ways(told, d),
        **_sides(told, d),
        **_chances(told),
        **_flip(told, d, band),
        **_course(told),
    }


def _mm(value: float, places: int = 0) -> Number:
    return number(value * 1e3, "mm", places=places)


def _g(value: float) -> Number:
    return number(value * 1e3, "g", places=0)


def _body(told: Told) -> dict[str, Value]:
    kit, built, spread = told.question.kit, told.question.built, told.forecast.built
    board, drawn = board_mass(kit), total_mass(kit)
    added = drawn.mass - board.mass
    added_x = (drawn.mass * drawn.centre[0] - board.mass * board.centre[0]) / added if added else 0.0
    mass, balance = _g(spread["mass"].mean), _mm(spread["balance_x"].mean)
    board_g, drawn_g = _g(board.mass), _g(drawn.mass)
    added_g = number(drawn_g.exact - board_g.exact, "g", places=0)
    board_mm, added_mm = _mm(float(board.centre[0]), 1), _mm(added_x, 1)
    turning = board_g.exact * board_mm.exact + added_g.exact * added_mm.exact
    drawn_mm = number(turning / drawn_g.exact, "mm", places=0)
    heavy, back = mass.exact >= drawn_g.exact, balance.exact >= drawn_mm.exact
    weighed, balanced = built.mass is not None, built.balance_x is not None
    return {
        "mass": mass, "balance": balance,
        "mass_kg": number(spread["mass"].mean, "kg", places=3),
        "board_g": board_g, "added_g": added_g,
        "board_mm": board_mm, "added_mm": added_mm, "drawn_mm": drawn_mm,
        "heavy_g": mass if weighed and heavy else None, "light_g": mass if weighed and not heavy else None,
        "back_mm": balance if balanced and back else None, "front_mm": balance if balanced and not back else None,
        "mass_off": _g(spread["mass"].sd), "balance_off": _mm(spread["balance_x"].sd),
        "length_mm": _mm(kit.length), "length_cm": number(kit.length * 100, "cm", places=0),
        "beam_cm": number(running_form(kit).beam * 100, "cm", places=0),
    }  # fmt: skip


def _at_rest(told: Told, d: Digits, band: Band) -> dict[str, Value]:
    rest, form = told.at_rest, running_form(told.question.kit)
    y = told.forecast.built["balance_y"].mean
    temperature = told.question.conditions.water_temperature
    bow, stern = _mm(rest.draft_bow, d.depth), _mm(rest.draft_stern, d.depth)
    deeper = bow.exact >= stern.exact
    stands = min(told.feet.left, told.feet.right, told.feet.stern) >= 0
    mass = _g(told.forecast.built["mass"].mean)
    stand, pads, foot = (
        _mm(x).exact for x in (told.forecast.built["balance_x"].mean, form.pad_contact, form.stern_contact)
    )
    part = (stand - pads) / (foot - pads)  # of the load, from what is printed
    on_stern = number(mass.exact * part, "g", places=0)
    share = number(100 * part, "%", places=0)
    return {
        "feet": None if not stands else on_stern if BANDS.index(band) < 2 else share,
        "float_line": bow, "stern_mm": stern,
        "bow_deep_mm": bow if deeper else None, "bow_high_mm": None if deeper else bow,
        "water_g": number(water.density(temperature=temperature) / 1e3, "g/cm³", places=3 if d.depth else 0),
        "pads_mm": _mm(form.pad_contact), "foot_mm": _mm(form.stern_contact),
        "stand_mm": _mm(told.forecast.built["balance_x"].mean) if stands else None,
        "on_pads_g": replace(mass, text=str(mass.exact - on_stern.exact)) if stands else None,
        "side_mm": _mm(abs(y), 1) if stands and abs(y) >= 5e-5 else None,
        "apart_mm": _mm(form.pad_spread),
    }  # fmt: skip


def _push(told: Told, d: Digits) -> dict[str, Value]:
    """What drives the boat, and the middle run's speeds."""
    law, run = told.question.device.law, told.forecast.middle
    top = told.forecast.top_speed
    middle = number(float(run[:, SPEED].max()), "m/s", places=d.speed)
    found = _close("top_speed", number(top.p50, "m/s", places=d.speed), middle)
    found |= _ends("top_speed", top.p05, top.p95, "m/s", d.speed)
    if float(run[-1, TIME]) > 2.0:
        found |= {
            f"speed_{at}": number(float(np.interp(at, run[:, TIME], run[:, SPEED])), "m/s", places=max(d.speed, 1))
            for at in (1, 2)
        }  # fmt: skip
    if isinstance(law, PropellerLaw):
        found |= {
            "push_n": number(law.static_thrust, "N", places=2),
            "lost_n": number(law.thrust_lost, "N", places=3),
        }
        found["steady_speed"] = middle if float(run[run[:, SPEED].argmax(), TIME]) < law.timer - 0.2 else None
    elif isinstance(law, TowlineLaw):
        found |= {
            "push_n": number(law.steady_tension, "N", places=2), "pull_m": number(law.reach, "m", places=1),
        }  # fmt: skip
    elif isinstance(law, Curve):
        found |= {
            "push_n": number(law.total_impulse / law.duration, "N", places=2),
            "impulse": number(law.total_impulse, "N s", places=2),
        }
    return found


def _close(name: str, value: Number | None, middle: Number | None) -> dict[str, Value]:
    """A figure, the middle run's own, and what lies between them as printed: added or taken off."""
    if value is None or middle is None:
        return {name: value, f"{name}_mid": None}
    gap = value.exact - middle.exact
    rest = number(abs(gap), value.unit, places=len(value.text.partition(".")[2]))
    way = "same" if not gap else "more" if gap > 0 else "less"
    return {name: value, f"{name}_mid": middle, f"{name}_{way}": rest}


def _ends(name: str, low: float, high: float, unit: str, places: int) -> dict[str, Value]:
    return {
        f"{name}_low": number(low, unit, places=places),
        f"{name}_high": number(high, unit, places=places),
    }


def _times(told: Told, d: Digits) -> dict[str, Value]:
    run, gate, times = told.forecast.middle, told.forecast.gate, told.forecast.gate_time
    half, whole = (_when(run, share * gate.distance) for share in (0.5, 1.0))
    value = None if times is None else number(times.p50, "s", places=d.time)
    middle = None if whole is None else number(whole, "s", places=d.time)
    return {
        "gate_m": number(gate.distance, "m", places=0 if d.way == 0 else 2),
        "half_way": number(gate.distance / 2, "m", places=2),
        "half_s": None if half is None or whole is None else number(half, "s", places=d.time),
        **_close("gate_time", value, middle),
        **({} if times is None else _ends("gate_time", times.p05, times.p95, "s", d.time)),
    }  # fmt: skip


def _when(run: Array, along: float) -> float | None:
    """The moment the middle run has come so far ahead; None if it never does. [s]"""
    if float(run[:, X].max()) < along:
        return None
    past = int(np.argmax(run[:, X] >= along))
    if not past:
        return 0.0
    before, after = run[past - 1], run[past]
    share = (along - before[X]) / (after[X] - before[X])
    return float(before[TIME] + share * (after[TIME] - before[TIME]))


def _ways(told: Told, d: Digits) -> dict[str, Value]:
    run, device, far = told.forecast.middle, told.question.device, told.forecast.distance
    whole = float(math.hypot(run[-1, X], run[-1, Y]))
    over = _when(run, device.law.reach) if isinstance(device.law, TowlineLaw) else device.push_time
    found: dict[str, Value] = {
        **_close("distance", number(far.p50, "m", places=d.way), number(whole, "m", places=d.way)),
        **_ends("distance", far.p05, far.p95, "m", d.way),
    }
    if over is not None and over < float(run[-1, TIME]) - 0.1:
        pushed = math.hypot(*(float(np.interp(over, run[:, TIME], run[:, axis])) for axis in (X, Y)))
        found["pushed_m"] = number(pushed, "m", places=d.way)
        found["let_go_speed"] = number(float(np.interp(over, run[:, TIME], run[:, SPEED])), "m/s", places=2)
    return found


def _sides(told: Told, d: Digits) -> dict[str, Value]:
    """Drift of the middle of the runs, and what each measured thing and the wind do to the middle run."""
    drift, gate = told.forecast.drift, told.forecast.gate
    found: dict[str, Value] = {
        "half_m": number(gate.width / 2, "m", places=2),
        "gate_cm": number(gate.width * 100, "cm", places=0),
    }
    if drift is None:
        return {**found, "drift": None}
    scale, unit = d.side_scale, d.side_unit
    to = 1.0 if drift.p50 >= 0 else -1.0
    value = number(abs(drift.p50) * scale, unit, places=d.aside)
    parts = [to * effect.drift * scale for effect in told.effects if math.isfinite(effect.drift)]
    along = number(sum(part for part in parts if part > 0), unit, places=d.aside)
    against = number(-sum(part for part in parts if part < 0), unit, places=d.aside)
    apart: Number | None = number(along.exact - against.exact, unit, places=d.aside)
    if not parts or apart is None or apart.exact < 0:
        apart = None
    spread = (drift.p95 - drift.p05) / NINE_IN_TEN
    return {
        **found,
        **_close("drift", value, apart),
        "along": along if apart else None,
        "against": against if apart else None,
        "bend": value if value.exact else None,
        "spread_m": number(spread, "m", places=2) if spread > 0 else None,
    }


def _chances(told: Told) -> dict[str, Value]:
    found, low = told.forecast, told.forecast.distance.p05
    gate = found.gate.distance

    def count(share: float) -> Number:
        return number(share * found.runs, places=0)

    def percent(share: float) -> Number:
        return number(Fraction(int(count(share).exact) * 100, found.runs), "%", places=0)

    better = percent(found.through_aimed).exact >= percent(found.through_gate).exact
    return {
        "runs_n": number(float(found.runs), places=0),
        "aimed_n": count(found.through_aimed), "straight_n": count(found.through_gate),
        "reached_n": count(found.reaches),
        "gate_chance": percent(found.through_aimed), "reach": percent(found.reaches),
        "straight_if_better": percent(found.through_gate) if better else None,
        "low_spare_m": number(low, "m", places=1) if low >= gate else None,
        "low_short_m": number(low, "m", places=1) if low < gate else None,
        "chance_off": number(100 * found.chance_half_width, "%", places=0),
        "away_m": number(gate, "m", places=2),
    }  # fmt: skip


def _flip(told: Told, d: Digits, band: Band) -> dict[str, Value]:
    limit, form = told.forecast.blow_over, running_form(told.question.kit)
    if limit.critical[1] >= NEVER:
        return {"blow_over": None}
    lifts, meets = (number(v[1], "m/s", places=max(d.speed, 1)) for v in (limit.critical, limit.met))
    spare = lifts.exact >= meets.exact
    ahead = form.stern_contact - told.forecast.built["balance_x"].mean
    found: dict[str, Value] = {
        "lifts": lifts, "meets": meets,
        "spare_lifts": lifts if spare else None, "lacking_lifts": None if spare else lifts,
        "ahead_m": number(ahead, "m", places=3) if ahead > 0 else None,
        "lifts_low": number(limit.critical[0], "m/s", places=max(d.speed, 1)),
        "lifts_high": number(limit.critical[2], "m/s", places=max(d.speed, 1)),
    }  # fmt: skip
    if BANDS.index(band) < 2:
        return {**found, "blow_over": number(abs(lifts.exact - meets.exact), "m/s", places=max(d.speed, 1))}
    middle = (lifts.exact / meets.exact) ** 2 - 1
    return {
        **found,
        **_close("blow_over", number(limit.margin, places=2), number(middle, places=2)),
    }


def _course(told: Told) -> dict[str, Value]:
    straight = told.forecast.straight
    if not straight.stable or straight.margin <= 0:
        return {"course": None}
    balance, length = told.forecast.built["balance_x"].mean, told.question.kit.length
    acts = _mm(balance + straight.margin * length)
    behind = acts.exact - _mm(balance).exact
    return {"acts_mm": acts, "course": number(100 * behind / _mm(length).exact, "%", places=0)}
