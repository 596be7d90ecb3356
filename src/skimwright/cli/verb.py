"""What a verb is: plain data, so that help, docs and tests can walk it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from skimwright.base import Finding, InputError, Kind, Where, parse_quantity
from skimwright.base.drawing import Drawing
from skimwright.base.page import Page
from skimwright.cli.progress import Progress

if TYPE_CHECKING:
    from skimwright.desk import (
        CutSheet,
        KeptSeason,
        Rows,
        Season,
        SeasonContents,
        SeasonEvent,
        StripPacker,
        Template,
    )

Reader = Callable[[str, Where], Any]


class Files(Protocol):
    """What a verb may ask of the disk."""

    def season(self, chosen: str | None, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
        """The season folder asked for, or the one found."""

    def season_folder(self, chosen: str | None) -> Path:
        """Where that season is."""

    def runs(self, chosen: str | None) -> Rows | None:
        """The run log of the season asked for, or the one found; None if it has none."""

    def add_rows(self, path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> Path:
        """Rows added to a list, all of them or none."""

    def change_row(self, path: Path, column: str, key: str, cells: Mapping[str, str]) -> dict[str, str]:
        """Some cells of one row of a list; what stood in them is returned."""

    def serve(
        self, path: Path, *, at_pond: bool, port: int, new_password: bool, copies: Path | None,
        say: Callable[[str], None],
    ) -> None:  # fmt: skip
        """Show a season in the browser until stopped."""

    def table(self, path: Path) -> dict[str, Any]:
        """A TOML file."""

    def grid(self, path: Path) -> list[list[str]]:
        """A CSV file as bare cells, blank rows kept."""

    def text(self, path: Path) -> str:
        """A text file."""

    def now(self) -> str:
        """The moment, with its difference from UTC."""

    def rows(self, path: Path) -> Rows:
        """A CSV file as rows under their heading."""

    def demo_season(self) -> Path:
        """The folder of the demonstration season that comes with the program."""

    def is_file(self, path: Path) -> bool:
        """Whether there is such a file, on the disk or in a season file."""

    def plain_files(
        self, folder: Path, *, is_season: bool = True
    ) -> tuple[dict[str, bytes], tuple[str, ...]]:
        """The files of a folder that a season takes in, and the names of the others."""

    def season_contents(self, path: Path) -> SeasonContents:
        """Everything in a season file."""

    def new_season(self, path: Path, contents: SeasonContents) -> Path:
        """A new season file."""

    def write_season(
        self, path: Path, files: Mapping[str, bytes | None], events: Sequence[SeasonEvent]
    ) -> tuple[str, ...]:
        """Put files into a season file, or take out those that are None; the names that changed."""

    def erase(
        self, season: Path, files: Mapping[str, bytes], events: Mapping[str, SeasonEvent]
    ) -> tuple[str, ...]:
        """Files and events of a season written anew, with nothing left of what stood there; the files that changed."""

    def keep_season(self, path: Path, place: Path | None, stamp: str) -> KeptSeason:
        """A copy of a season in use, tried out."""

    def write(self, path: Path, content: str | bytes) -> Path:
        """A new file; folders are made as needed."""

    def copy_demo_season(self, folder: Path, without: Sequence[str] = ()) -> tuple[list[Path], list[Path]]:
        """Lay the demonstration season's plain files out; those copied, and those left as somebody changed them."""

    def as_svg(self, drawing: Drawing) -> str:
        """A drawing as SVG."""

    def as_html(self, page: Page) -> str:
        """A page as one HTML file."""

    def as_pdf(self, drawings: Sequence[Drawing], *, title: str, language: str) -> bytes:
        """Drawings as one PDF, a page each, true to size."""

    def guide_languages(self) -> Mapping[str, Path]:
        """The files of words for the build guide by their two letters."""

    def lesson_languages(self) -> Mapping[str, Path]:
        """The files of words for lessons by their two letters."""

    def as_tiles(self, template: Template, paper: str, foot: str) -> tuple[Drawing, ...]:
        """A large drawing on pages of small paper."""

    def as_cutter_svg(self, sheet: CutSheet) -> str:
        """A sheet for a laser or knife cutter, as SVG."""

    def as_cutter_dxf(self, sheet: CutSheet, version: str) -> str:
        """A sheet for a laser or knife cutter, as DXF."""

    def packer(self) -> StripPacker:
        """The packing library, in a process of its own."""

    def json(self, path: Path) -> Any:
        """A JSON file."""

    def edition(self) -> str:
        """Which program, and which laws in it, made a forecast."""

    def today(self) -> str:
        """The day's date, for the foot of a page."""

    def kernels_are_cold(self) -> bool:
        """Whether the model must first be compiled on this machine."""

    def warm_kernels(self) -> None:
        """Compile the model in a process of its own, so that this one answers as every later one will."""

    def write_table(self, path: Path, table: Mapping[str, Any]) -> Path:
        """A new TOML file."""


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One question as typed, with what is needed to answer it."""

    given: Mapping[str, Any]  # options by name: "--mass-g" is given["mass_g"], "KIT" is given["kit"]
    files: Files
    progress: Progress
    season_chosen: str | None = None

    def season(self, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
        """The season meant."""
        return self.files.season(self.season_chosen, answers)

    def ready_model(self) -> None:
        """Compile the model if that was never done here, and say so."""
        if self.files.kernels_are_cold():
            self.progress.say("Getting the model ready: about 15 seconds, this once.")
            self.files.warm_kernels()


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One answer in its three forms."""

    data: Mapping[str, Any]  # for --json
    text: str  # a table and a sentence
    plain: str  # one line
    findings: tuple[Finding, ...] = ()  # shown below the text; `data` holds them itself
    status: int = 0


def text(given: str, where: Where) -> str:
    """Words as typed."""
    return given


@dataclass(frozen=True, kw_only=True)
class Option:
    """A thing (``KIT``), a value (``--mass-g M``) or a switch (``--json``)."""

    flag: str
    does: str
    value: str = ""  # what stands for the value in the help; blank for a thing or a switch
    read: Reader = text
    usual: Any = None  # taken when it is not given
    must: bool = False
    many: bool = False  # a thing that may be given several times

    @property
    def name(self) -> str:
        """Under which the value is handed on."""
        return self.flag.lstrip("-").lower().replace("-", "_")

    @property
    def is_thing(self) -> bool:
        """Given by its place, without a flag."""
        return not self.flag.startswith("-")


@dataclass(frozen=True, kw_only=True)
class Verb:
    """One command."""

    name: str
    does: str  # one line, for the list of verbs
    tells: str = ""  # a few sentences more, for its own help
    options: tuple[Option, ...] = ()
    example: str = ""
    answer: Callable[[Ask], Answer] = field(repr=False)


def quantity(kind: Kind, unit: str, *, low: float, high: float) -> Reader:
    """Reads one quantity; a unit may stand behind it.  Limits are in that unit; the value is SI."""

    def read(given: str, where: Where) -> float:
        value = parse_quantity(given, kind, default_unit=unit, where=where)
        ends = (parse_quantity(low, kind, default_unit=unit), parse_quantity(high, kind, default_unit=unit))
        if not ends[0] <= value <= ends[1]:
            raise InputError(
                what="out of range",
                got=given,
                allowed=f"{low:g} to {high:g} {unit}",
                do="Check the number.",
                where=where,
            )
        return value

    return read


def whole(*, low: int, high: int) -> Reader:
    """Reads a whole number."""

    def read(given: str, where: Where) -> int:
        digits = given.removeprefix("-")
        if not (digits.isascii() and digits.isdigit()) or not low <= int(given) <= high:
            raise InputError(
                what="not such a number",
                got=f'"{given}"',
                allowed=f"a whole number from {low} to {high}",
                do="Check the number.",
                where=where,
            )
        return int(given)

    return read


def place_mm(given: str, where: Where) -> tuple[float, float, float]:
    """Reads ``X,Y,Z`` in millimetres.  [m]"""
    parts = given.split(",")
    if len(parts) != 3:
        raise InputError(
            what="not a place",
            got=f'"{given}"',
            allowed="three numbers in mm with commas between, such as 345,0,45",
            do="Write it so, with a full stop as decimal sign; behind an = if the first is negative.",
            where=where,
        )
    x, y, z = (parse_quantity(part, "length", default_unit="mm", where=where) for part in parts)
    return x, y, z


BOAT = Option(
    flag="--boat", value="N", does="a boat of the season, by its number", read=whole(low=1, high=9999)
)
