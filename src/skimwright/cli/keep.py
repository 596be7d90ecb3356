"""``skimwright keep``: a copy that was tried before anyone relies on it."""

from __future__ import annotations

import re
from pathlib import Path

from skimwright.base import SkimwrightError
from skimwright.cli.export_season import as_findings
from skimwright.cli.import_season import season_file
from skimwright.cli.new import counted
from skimwright.cli.verb import Answer, Ask, Option, Verb


def answer(ask: Ask) -> Answer:
    """Copy, restore the copy elsewhere, compare, and only then say done."""
    season = season_file(ask)
    place = Path(ask.given["dest"]) if ask.given["dest"] else None
    stamp = re.sub(r"[T:]", "-", ask.files.now()[:19])
    kept = ask.files.keep_season(season, place, stamp)
    boats, logged, trouble = _counted(ask, kept.path)
    runs = logged + sum(event.kind == "run" for event in kept.contents.events)
    events = len(kept.contents.events)
    held = [
        *([] if boats is None else [counted(boats, "boat")]),
        counted(runs, "run"),
        counted(events, "event"),
    ]
    said = f"{kept.path}: {kept.size / 1000:.0f} kB, {', '.join(held)}; opened again and whole."
    text = [
        said,
        *([f"Kept as it is, though it cannot be read as a season yet: {trouble}"] if trouble else []),
    ]
    data = {
        "season": str(season), "kept": kept.path, "size_bytes": kept.size, "boats": boats, "runs": runs,
        "events": events, "files": sorted(kept.contents.files), "restored": True, "trouble": trouble,
    }  # fmt: skip
    return Answer(data=data, text="\n".join(text), plain=said, findings=as_findings(kept.contents, season))


def _counted(ask: Ask, path: str) -> tuple[int | None, int, str]:
    """How many boats and runs the copy holds, or what stops it from being read."""
    from skimwright import desk

    try:
        season = ask.files.season(path)
        log = desk.read_runs(ask.files.runs(path), season)
        return len(season.boats), len(log.book.runs), ""
    except SkimwrightError as error:
        return None, 0, error.sentence()


VERB = Verb(
    name="keep",
    does="copy the season safely, while it is in use, and try the copy",
    tells="DEST is a folder, such as a stick, or a new file's name; without it the copy goes into the folder `kept` "
    "beside the season. The copy is restored in another place and compared before this says done. No copy is "
    "ever written over.",
    options=(Option(flag="DEST", does="where to: a folder that is there, or NAME.season"),),
    example="keep /media/stick --season our.season",
    answer=answer,
)
