"""The list of verbs.  A new verb is a file with a ``VERB`` in it, and its name here."""

from __future__ import annotations

from importlib import import_module

from skimwright.cli.verb import Verb

FILES = (
    "demo",
    "new",
    "import_season",
    "export_season",
    "keep",
    "forecast",
    "shape",
    "float_boat",
    "check",
    "weigh",
    "trim",
    "course",
    "limits",
    "hold",
    "permit",
    "sheets",
    "print_templates",
    "guide",
    "labels",
    "order",
    "log",
    "learn",
    "gate",
    "lesson",
    "explain",
    "experiment",
    "notes",
    "training",
    "wall",
    "thrust",
    "lots",
    "points",
    "host",
    "handicap",
    "rehearse",
    "call",
    "finish",
    "mend",
    "crew",
    "forget",
    "results",
    "certificates",
    "report",
    "cite",
    "selfcheck",
)  # in the order of the help


def all_verbs() -> dict[str, Verb]:
    """Every verb by name.  Their files import the rooms below only when asked to answer."""
    found = [import_module(f"skimwright.cli.{file}").VERB for file in FILES]
    return {verb.name: verb for verb in found}
