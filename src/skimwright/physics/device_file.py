"""A device file's table, read with care: a message names file, field, what was found and what is right."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any

from skimwright.base import InputError, Where
from skimwright.physics.device import IMPULSE_SPREAD, KINDS, PEAK_SPREAD, Device
from skimwright.physics.propeller import PropellerLaw
from skimwright.physics.thrust_curve import Curve, believe_newtons, fading_curve, motor_curve
from skimwright.physics.towline import TowlineLaw

_COMMON = ("name", "kind", "loaded_mass_g", "spent_mass_g", "needs_permission", "note", "spread", "law")
_SPREAD = ("impulse", "peak")
_LAW: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {  # kind: needed, may have
    "motor": (("total_impulse_n_s", "burn_time_s", "peak_thrust_n"), ()),
    "propeller": (("static_thrust_n", "thrust_lost_n_s_per_m", "timer_s"), ()),
    "gas": (("start_thrust_n", "duration_s"), ("total_impulse_n_s",)),
    "towline": (("falling_mass_g", "tackle_ratio", "drop_m"), ("pulley_pairs", "loss_per_pair")),
    "curve": (("times_s", "thrust_n"), ()),
}
_PEAK_FIELD = {
    "motor": "peak_thrust_n",
    "propeller": "static_thrust_n",
    "gas": "start_thrust_n",
    "towline": "falling_mass_g",
    "curve": "thrust_n",
}


def read_device_table(table: Mapping[str, Any], *, file: str) -> Device:
    """A Device from a parsed device file.

    Parameters
    ----------
    table : mapping
        The file's keys: name, kind, loaded_mass_g, spent_mass_g, needs_permission, note, [law] and
        [spread].  A motor or gas [law] may also be points: times_s and thrust_n.
    file : str
        Name to use in messages.

    Returns
    -------
    Device
        In SI.

    Raises
    ------
    InputError
        A key is missing or unknown, a value is not what it should be, or a thrust is hard to
        believe in newtons (under 0.05 N or over 60 N).

    Examples
    --------
    >>> law = {"static_thrust_n": 1.9, "thrust_lost_n_s_per_m": 0.045, "timer_s": 6}
    >>> table = {"name": "Whirr 5", "kind": "propeller", "loaded_mass_g": 62, "law": law}
    >>> device = read_device_table(table, file="whirr-5.toml")
    >>> device.peak_thrust, device.spent_mass
    (1.9, 0.062)
    """
    _only(table, _COMMON, file, "")
    name, kind = _text(table, "name", file), _text(table, "kind", file)
    if kind not in KINDS:
        raise _bad(
            file, "kind", f'"{kind}"', ", ".join(KINDS), "Write one of these words.", "The kind of device"
        )
    law_table, spread = _part(table, "law", file), _part(table, "spread", file)
    needed, extra = _law_keys(kind, law_table)
    _only(law_table, needed + extra, file, "[law] ")
    _only(spread, _SPREAD, file, "[spread] ")
    loaded = _mass(table, "loaded_mass_g", file)
    spent = _mass(table, "spent_mass_g", file) if "spent_mass_g" in table else loaded
    permission = _flag(table, "needs_permission", kind == "motor", file)
    if kind == "motor" and not permission:
        raise _bad(
            file, "needs_permission", "false", "true for every solid motor",
            "Write true; the permission sheet opens the class, not this file.", "A motor cannot be let off",
        )  # fmt: skip
    where = Where(file=file, field="[law]")
    try:
        law = _read_law(kind, law_table, file)
        device = Device(
            name=name,
            kind=next(known for known in KINDS if known == kind),
            law=law,
            loaded_mass=loaded,
            spent_mass=spent,
            impulse_spread=_number(spread, "impulse", file, "[spread] ", default=IMPULSE_SPREAD, most=1.0),
            peak_spread=_number(spread, "peak", file, "[spread] ", default=PEAK_SPREAD, most=1.0),
            needs_permission=permission,
            mass_leaves="evenly" if kind == "motor" else "with thrust",
            note=_text(table, "note", file) if "note" in table else "",
        )
    except InputError as error:
        raise error.at(where) from error
    believe_newtons(device.peak_thrust, where=Where(file=file, field=f"[law] {_PEAK_FIELD[kind]}"))
    return device


def device_table(device: Device) -> dict[str, Any]:
    """The table of a device file that reads back to this device; a motor or gas law becomes points.

    Examples
    --------
    >>> law = PropellerLaw(static_thrust=1.9, thrust_lost=0.045, timer=6.0)
    >>> whirr = Device(name="Whirr 5", kind="propeller", law=law, loaded_mass=0.062, spent_mass=0.062)
    >>> read_device_table(device_table(whirr), file="x") == whirr
    True
    """
    law: dict[str, Any]
    if isinstance(device.law, PropellerLaw):
        law = {
            "static_thrust_n": device.law.static_thrust,
            "thrust_lost_n_s_per_m": device.law.thrust_lost,
            "timer_s": device.law.timer,
        }
    elif isinstance(device.law, TowlineLaw):
        law = {
            "falling_mass_g": _grams(device.law.falling_mass),
            "tackle_ratio": device.law.ratio,
            "drop_m": device.law.drop,
            "pulley_pairs": device.law.pulley_pairs,
            "loss_per_pair": device.law.loss_per_pair,
        }
    else:
        law = {"times_s": list(device.law.times), "thrust_n": list(device.law.forces)}
    return {
        "name": device.name,
        "kind": device.kind,
        "loaded_mass_g": _grams(device.loaded_mass),
        "spent_mass_g": _grams(device.spent_mass),
        "needs_permission": device.needs_permission,
        "note": device.note,
        "spread": {"impulse": device.impulse_spread, "peak": device.peak_spread},
        "law": law,
    }


def _law_keys(kind: str, law: Mapping[str, Any]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    points = kind in ("motor", "gas") and ("times_s" in law or "thrust_n" in law)
    return _LAW["curve" if points else kind]


def _read_law(kind: str, law: Mapping[str, Any], file: str) -> Curve | PropellerLaw | TowlineLaw:
    def value(key: str, default: float | None = None) -> float:
        return _number(law, key, file, "[law] ", default=default)

    if "times_s" in law or "thrust_n" in law:
        return Curve(times=_numbers(law, "times_s", file), forces=_numbers(law, "thrust_n", file))
    if kind == "motor":
        peak = value("peak_thrust_n")
        believe_newtons(peak, where=Where(file=file, field="[law] peak_thrust_n"))
        return motor_curve(
            total_impulse=value("total_impulse_n_s"), burn_time=value("burn_time_s"), peak_thrust=peak
        )
    if kind == "propeller":
        return PropellerLaw(
            static_thrust=value("static_thrust_n"),
            thrust_lost=value("thrust_lost_n_s_per_m"),
            timer=value("timer_s"),
        )
    if kind == "gas":
        start = value("start_thrust_n")
        believe_newtons(start, where=Where(file=file, field="[law] start_thrust_n"))
        total = value("total_impulse_n_s") if "total_impulse_n_s" in law else None
        return fading_curve(start_thrust=start, duration=value("duration_s"), total_impulse=total)
    if kind == "towline":
        return TowlineLaw(
            falling_mass=value("falling_mass_g") / 1000.0,
            ratio=value("tackle_ratio"),
            drop=value("drop_m"),
            pulley_pairs=value("pulley_pairs", 1.0),
            loss_per_pair=value("loss_per_pair", 0.10),
        )
    return Curve(times=_numbers(law, "times_s", file), forces=_numbers(law, "thrust_n", file))


def _grams(mass: float) -> float:
    return round(1000.0 * mass, 6)


def _bad(file: str, field: str, got: str, allowed: str, do: str, what: str) -> InputError:
    return InputError(what=what, got=got, allowed=allowed, do=do, where=Where(file=file, field=field))


def _only(table: Mapping[str, Any], allowed: tuple[str, ...], file: str, prefix: str) -> None:
    for key, value in table.items():
        if key in allowed:
            continue
        grams = any(mark in key for mark in ("_gf", "gram_force", "_kgf", "_lbf"))
        do = (
            "Turn it into newtons first: gram-force x 0.00981, pound-force x 4.448."
            if grams
            else "Correct the spelling or delete the line."
        )
        raise _bad(file, prefix + key, f"{value}", ", ".join(allowed), do, "This key is not known here")


def _part(table: Mapping[str, Any], key: str, file: str) -> Mapping[str, Any]:
    part = table.get(key, {})
    if not isinstance(part, Mapping):
        raise _bad(
            file, key, f"{part}", f"a part headed [{key}]", f"Put its lines under [{key}].", "Not a part"
        )
    return part


def _text(table: Mapping[str, Any], key: str, file: str) -> str:
    text = table.get(key)
    if not isinstance(text, str) or (key != "note" and not text.strip()):
        got = "nothing" if text is None else f"{text}"
        raise _bad(file, key, got, "words in quotes", f"Write the {key} in quotes.", f"The {key} is missing")
    return text.strip()


def _flag(table: Mapping[str, Any], key: str, default: bool, file: str) -> bool:
    flag = table.get(key, default)
    if not isinstance(flag, bool):
        raise _bad(
            file, key, f"{flag}", "true or false", "Write true or false, no quotes.", "Not a yes or no"
        )
    return flag


def _mass(table: Mapping[str, Any], key: str, file: str) -> float:
    return _number(table, key, file, "", most=2000.0) / 1000.0


def _number(
    table: Mapping[str, Any],
    key: str,
    file: str,
    prefix: str,
    *,
    default: float | None = None,
    most: float = float("inf"),
) -> float:
    value = table.get(key, default)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= most:
        got = "nothing" if value is None else f"{value}"
        top = "" if most == float("inf") else f" up to {most:g}"
        do = f"Write {key} as a plain number in the unit its name ends in."
        raise _bad(file, prefix + key, got, f"a number, 0 or more{top}", do, "A number is needed")
    return float(value)


def _numbers(table: Mapping[str, Any], key: str, file: str) -> tuple[float, ...]:
    values = table.get(key)
    if not isinstance(values, list) or not all(
        isinstance(v, (int, float)) and not isinstance(v, bool) and isfinite(v) for v in values
    ):
        got = "nothing" if values is None else f"{values}"[:60]
        do = f"Write {key} = [0, 0.1, 0.2] with as many entries as the other list."
        raise _bad(file, f"[law] {key}", got, "a list of numbers", do, "A list of numbers is needed")
    return tuple(float(v) for v in values)
