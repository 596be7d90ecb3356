"""The places of the workbench, one file each; a door is found by walking them."""

from __future__ import annotations

from importlib import import_module

from skimwright.web.doors import Door

PLACES = (
    "home",
    "enter",
    "book",
    "classroom",
    "teaching",
    "wall",
    "bench",
    "scales",
    "water",
    "hunch",
    "course",
    "works",
    "office",
    "board",
    "sheets",
    "guide",
    "commands",
    "hold",
    "see",
    "race",
    "race_jobs",
    "race_papers",
    "race_queue",
    "office_papers",
)


def all_doors() -> list[Door]:
    """Every door, in the order in which an address is looked up."""
    return [door for place in PLACES for door in import_module(f"skimwright.web.places.{place}").doors.all]
