"""What the files of a season say, before anyone has judged it: plain mappings and rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of a list, by column name."""

    number: int  # as a spreadsheet numbers it: the heading is row 1
    cells: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A list of rows under one heading."""

    file: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, kw_only=True)
class SeasonTables:
    """Every file of a season folder."""

    season: Mapping[str, Any]  # season.toml
    kits: Mapping[str, Mapping[str, Any]]  # by file name
    devices: Mapping[str, Mapping[str, Any]]  # by file name
    boats: Rows  # boats.csv
    pond: Mapping[str, Any] | None = None  # pond.toml
    runs: Rows | None = None  # runs.csv
