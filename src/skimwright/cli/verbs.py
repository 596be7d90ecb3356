"""The list of verbs.  A new verb is a file with a ``VERB`` in it, and its name here on its shelf."""

from __future__ import annotations

from importlib import import_module

from skimwright.cli.verb import Verb

SHELVES: dict[str, tuple[str, ...]] = {
    "The season, and the demonstration": (
        "demo",
        "host",
        "new",
        "import_season",
        "export_season",
        "keep",
    ),
    "Draw and build a kit": (
        "shape",
        "compare",
        "forgive",
        "sheets",
        "print_templates",
        "guide",
        "labels",
        "order",
        "thrust",
    ),
    "One boat, as built": (
        "check",
        "weigh",
        "float_boat",
        "forecast",
        "trim",
    ),
    "Trials": (
        "log",
        "learn",
        "gate",
    ),
    "The water": (
        "course",
        "limits",
        "hold",
        "permit",
    ),
    "Race day": (
        "lots",
        "call",
        "finish",
        "mend",
        "points",
        "handicap",
        "rehearse",
    ),
    "People and records": (
        "crew",
        "forget",
        "results",
        "certificates",
        "report",
    ),
    "Lessons": (
        "lesson",
        "explain",
        "experiment",
        "notes",
        "wall",
        "training",
    ),
    "What it rests on": (
        "cite",
        "selfcheck",
    ),
}  # in the order of the help


def shelved_verbs() -> dict[str, tuple[Verb, ...]]:
    """Every verb on its shelf.  Their files import the rooms below only when asked to answer."""
    return {
        shelf: tuple(import_module(f"skimwright.cli.{file}").VERB for file in files)
        for shelf, files in SHELVES.items()
    }


def all_verbs() -> dict[str, Verb]:
    """Every verb by name."""
    return {verb.name: verb for verbs in shelved_verbs().values() for verb in verbs}
