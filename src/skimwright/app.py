"""The bootstrap: the only place that joins the rooms to the disk and the environment."""

from __future__ import annotations

import datetime
import hashlib
import os
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from skimwright.base.drawing import Drawing
    from skimwright.base.page import Page
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


def run(argv: Sequence[str]) -> int:
    """Answer one command line; the exit status is returned."""
    from skimwright import cli

    keep_kernels()
    return cli.run(argv, files=Disk())


def keep_kernels() -> None:
    """Keep compiled kernels in a folder named for the sources they were made from.

    The compiler looks only at the file a kernel stands in; a law edited in another file would otherwise go on
    running in its old form.
    """
    home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    os.environ.setdefault("NUMBA_CACHE_DIR", str(home / "skimwright" / model_digest()[:16]))


def model_digest() -> str:
    """Letters that differ when any law of the model does."""
    source = Path(__file__).parent
    digest = hashlib.sha256()
    for room in ("physics", "run"):
        for path in sorted((source / room).glob("*.py")):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def warm(season: str) -> None:
    """Run one short forecast, so that everything it needs is compiled and kept."""
    from skimwright import desk

    read = Disk().season(season)
    question = desk.question_about(read, read.boat(7), runs=20, seed=1)
    desk.forecast_boat(question, name="")


class Disk:
    """The real files.  Nothing is imported before it is asked for, so that help comes at once."""

    def season(self, chosen: str | None, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
        """The season folder asked for, or the one found."""
        from skimwright import store

        return store.read_season_folder(self.season_folder(chosen), answers=answers)

    def season_folder(self, chosen: str | None) -> Path:
        """Where that season is."""
        from skimwright import store

        return store.find_season(chosen, environment=os.environ, here=Path.cwd())

    def runs(self, chosen: str | None) -> Rows | None:
        """The run log of the season asked for, or the one found; None if it has none."""
        path = self.season_folder(chosen) / "runs.csv"
        return self.rows(path) if self.is_file(path) else None

    def add_rows(self, path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> Path:
        """Rows added to a list, all of them or none."""
        from skimwright import store

        return store.add_rows(path, columns, rows)

    def change_row(self, path: Path, column: str, key: str, cells: Mapping[str, str]) -> dict[str, str]:
        """Some cells of one row of a list; what stood in them is returned."""
        from skimwright import store

        return store.change_row(path, column, key, cells)

    def serve(
        self, path: Path, *, at_pond: bool, port: int, new_password: bool, copies: Path | None,
        say: Callable[[str], None],
    ) -> None:  # fmt: skip
        """Show a season in the browser until stopped."""
        from skimwright import web

        web.serve(
            self, path, at_pond=at_pond, port=port, new_password=new_password, copies=copies, say=say
        )

    def table(self, path: Path) -> dict[str, Any]:
        """A TOML file."""
        from skimwright import store

        return store.read_table(path)

    def grid(self, path: Path) -> list[list[str]]:
        """A CSV file as bare cells, blank rows kept."""
        from skimwright import store

        return store.read_grid(path)

    def text(self, path: Path) -> str:
        """A text file."""
        from skimwright.store.text import read_text

        return read_text(path)

    def now(self) -> str:
        """The moment, with its difference from UTC."""
        return datetime.datetime.now().astimezone().isoformat(timespec="seconds")

    def rows(self, path: Path) -> Rows:
        """A CSV file as rows under their heading."""
        from skimwright import store

        return store.read_rows(path)

    def demo_season(self) -> Path:
        """The folder of the demonstration season that comes with the program."""
        return Path(__file__).parent / "demo_season"

    def is_file(self, path: Path) -> bool:
        """Whether there is such a file, on the disk or in a season file."""
        from skimwright import store

        return store.is_file(path)

    def plain_files(
        self, folder: Path, *, is_season: bool = True
    ) -> tuple[dict[str, bytes], tuple[str, ...]]:
        """The files of a folder that a season takes in, and the names of the others."""
        from skimwright import store

        return store.plain_files(folder, is_season=is_season)

    def season_contents(self, path: Path) -> SeasonContents:
        """Everything in a season file."""
        from skimwright.store.season_file import read_contents

        return read_contents(path)

    def new_season(self, path: Path, contents: SeasonContents) -> Path:
        """A new season file."""
        from skimwright.store.season_file import new_season

        return new_season(path, contents.files, contents.events)

    def write_season(
        self, path: Path, files: Mapping[str, bytes | None], events: Sequence[SeasonEvent]
    ) -> tuple[str, ...]:
        """Put files into a season file, or take out those that are None; the names that changed."""
        from skimwright.store.season_file import write_files

        return write_files(path, files, events)

    def erase(
        self, season: Path, files: Mapping[str, bytes], events: Mapping[str, SeasonEvent]
    ) -> tuple[str, ...]:
        """Files and events of a season written anew, with nothing left of what stood there; the files that changed."""
        from skimwright import store

        return store.erase(season, files, events)

    def keep_season(self, path: Path, place: Path | None, stamp: str) -> KeptSeason:
        """A copy of a season in use, tried out."""
        from skimwright.store.season_file import keep_season

        return keep_season(path, place, stamp=stamp)

    def write(self, path: Path, content: str | bytes) -> Path:
        """A new file; folders are made as needed."""
        from skimwright import store

        return store.write_file(path, content)

    def copy_demo_season(self, folder: Path, without: Sequence[str] = ()) -> tuple[list[Path], list[Path]]:
        """Lay the demonstration season's plain files out; those copied, and those left as somebody changed them."""
        from skimwright import store

        return store.copy_files(self.demo_season(), folder, ("*.toml", "*.csv"), without)

    def as_svg(self, drawing: Drawing) -> str:
        """A drawing as SVG."""
        from skimwright import paper

        return paper.svg(drawing)

    def as_html(self, page: Page) -> str:
        """A page as one HTML file."""
        from skimwright import paper

        return paper.html(page)

    def as_pdf(self, drawings: Sequence[Drawing], *, title: str, language: str) -> bytes:
        """Drawings as one PDF, a page each, true to size."""
        from skimwright import paper

        return paper.pdf(drawings, title=title, language=language)

    def guide_languages(self) -> Mapping[str, Path]:
        """The files of words for the build guide by their two letters."""
        folder = Path(__file__).parent / "kit" / "words"
        return {path.stem: path for path in sorted(folder.glob("*.toml"))}

    def lesson_languages(self) -> Mapping[str, Path]:
        """The files of words for lessons by their two letters."""
        folder = Path(__file__).parent / "teach" / "words"
        return {path.stem: path for path in sorted(folder.glob("*.toml"))}

    def as_tiles(self, template: Template, paper: str, foot: str) -> tuple[Drawing, ...]:
        """A large drawing on pages of small paper."""
        from skimwright.paper import tiles

        return tiles(template.drawing, paper=paper, areas=template.areas, foot=foot)  # type: ignore[arg-type]

    def as_cutter_svg(self, sheet: CutSheet) -> str:
        """A sheet for a laser or knife cutter, as SVG."""
        from skimwright import paper

        return paper.cutter_svg(sheet)

    def as_cutter_dxf(self, sheet: CutSheet, version: str) -> str:
        """A sheet for a laser or knife cutter, as DXF."""
        from skimwright import paper

        return paper.cutter_dxf(sheet, version=version)  # type: ignore[arg-type]

    def packer(self) -> StripPacker:
        """The packing library, in a process of its own."""
        from skimwright.packer import ChildPacker

        return ChildPacker()

    def json(self, path: Path) -> Any:
        """A JSON file."""
        from skimwright import store

        return store.read_json(path)

    def edition(self) -> str:
        """Which program, and which laws in it, made a forecast."""
        from skimwright import __version__

        return f"{__version__}+{model_digest()[:8]}"

    def today(self) -> str:
        """The day's date."""
        return datetime.date.today().isoformat()

    def kernels_are_cold(self) -> bool:
        """Whether the model must first be compiled on this machine."""
        return not any(Path(os.environ["NUMBA_CACHE_DIR"]).rglob("*.nbi"))

    def warm_kernels(self) -> None:
        """Compile the model in a process of its own, so that this one answers as every later one will."""
        code = "import sys; from skimwright.app import warm; warm(sys.argv[1])"
        subprocess.run([sys.executable, "-c", code, str(self.demo_season())], check=False)

    def write_table(self, path: Path, table: Mapping[str, Any]) -> Path:
        """A new TOML file."""
        from skimwright import store

        return store.write_file(path, store.toml_text(table))
