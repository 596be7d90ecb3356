"""``skimwright forgive KIT``: a drawing that gets its worst builders through the gate."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright.cli.check import SEED, meter
from skimwright.cli.stopping import stoppable
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import ForgivingKit


def answer(ask: Ask) -> Answer:
    """Search, and hold out."""
    from skimwright import desk

    season = ask.season()
    ask.ready_model()
    with stoppable(ask, best="drawing") as stop:
        found = desk.forgive_kit(
            season, ask.given["kit"], seed=ask.given["seed"], effort=0.3 if ask.given["quick"] else 1.0,
            progress=meter(ask), stop=stop,
        )  # fmt: skip
    return Answer(data=as_data(found), text=as_text(found), plain=found.says)


def as_text(found: ForgivingKit) -> str:
    """The numbers as drawn and as they might be, and what that is worth."""
    f = found.found
    said = [found.says, ""]
    if f.is_better:
        rows = [[words, _number(was, unit), _number(now, unit)] for words, unit, was, now in _numbers(found)]
        said += [table(["", "as drawn", "try"], rows), ""]
        said.append(
            f"All builders together: {100 * f.before.mean:.0f} misses in a hundred, then {100 * f.after.mean:.0f}."
        )
    else:
        said.append(
            f"The best one made {100 * f.gain:+.0f} points ({100 * f.low:+.0f} to {100 * f.high:+.0f}) for the worst "
            "tenth of builders it had not seen."
        )
    said += [
        f"With {found.device}, {found.group}'s gate, the season's wind; the builders' spread by {found.cards} build "
        f"cards and the drawing. {f.tried} drawings tried" + ("." if f.is_whole else ", stopped early."),
        "Untested: no builder has built it. Cut one, run it beside the old one, log both.",
    ]
    return "\n".join(said)


def _numbers(found: ForgivingKit) -> list[tuple[str, str, float, float]]:
    from skimwright import desk

    return [
        (words, unit, getattr(found.before, name) / si, getattr(found.after, name) / si)
        for name, (words, unit, si) in desk.KIT_NUMBERS.items()
    ]


def _number(value: float, unit: str) -> str:
    return f"{value:.1f} {unit}"


def as_data(found: ForgivingKit) -> dict[str, Any]:
    """For --json."""
    from skimwright import desk

    f = found.found
    numbers = {}
    for name, (_, unit, si) in desk.KIT_NUMBERS.items():
        numbers[f"{name}_{unit}"] = {
            "drawn": round(getattr(found.before, name) / si, 3), "try": round(getattr(found.after, name) / si, 3),
        }  # fmt: skip
    return {
        "kit": found.kit.name,
        "device": found.device,
        "group": found.group,
        "cards": found.cards,
        "better": f.is_better,
        "numbers": numbers,
        "worst_tenth_misses": {"drawn": round(f.before.tail, 4), "best": round(f.after.tail, 4)},
        "all_misses": {"drawn": round(f.before.mean, 4), "best": round(f.after.mean, 4)},
        "nose_lifts_in_headwind": {"drawn": round(f.before.nose, 4), "best": round(f.after.nose, 4)},
        "gain": round(f.gain, 4),
        "gain_interval": [round(f.low, 4), round(f.high, 4)],
        "gain_promised_by_the_search": round(f.seen_gain, 4),
        "drawings": f.tried,
        "stopped_early": not f.is_whole,
        "findings": [],
    }


VERB = Verb(
    name="forgive",
    does="a kit's numbers set so that its worst builders get through the gate too",
    tells="Pad angle, water fin, tunnel height and balance point are searched over many builders, each a little wrong "
    "in their own way as the season's build cards show. What the best drawing is worth is told on builders the search "
    "never saw; if nothing is surely better it says so. Ctrl-C ends the search and weighs the best so far.",
    options=(
        Option(flag="KIT", does="a kit of the season", must=True),
        SEED,
        Option(flag="--quick", does="a third of the builders: rough"),
    ),
    example='forgive "Fold 50"',
    answer=answer,
)
