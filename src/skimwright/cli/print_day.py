"""``skimwright print day``: heat sheets, call board, cards, and the pack for a day without electricity."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright import __version__
from skimwright.base import Finding, InputError, MissingError, Where
from skimwright.cli.day_files import open_day
from skimwright.cli.points import table_meant
from skimwright.cli.verb import Answer, Ask, Option, whole

if TYPE_CHECKING:
    from skimwright.base.drawing import Drawing
    from skimwright.desk import Entries, RaceDay, Season, SiteLimits, day_papers

PAPERS = {
    "day": "all that follow",
    "heats": "a sheet for each heat",
    "blank": "heat sheets to fill in by hand",
    "call-board": "now, next and after on A3 or Tabloid",
    "cards": "one for each crew and heat",
    "pack": "the day without electricity",
    "run-log": "thirty rows on half a page",
    "scales": "cards for boats that were mended, wet or moved",
    "queue": "qualifying with tries left",
    "talk": "the officers' talk before the first run",
}
LARGE = {"a4": "a3", "letter": "tabloid"}
BLANKS = 4


def heat_numbers(given: str, where: Where) -> tuple[int, ...]:
    """Reads ``5-8,12``."""
    found: list[int] = []
    for part in given.split(","):
        match = re.fullmatch(r"\s*([0-9]{1,4})\s*(?:-\s*([0-9]{1,4})\s*)?", part)
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        if not 1 <= first <= last:
            raise InputError(
                what="not the numbers of heats",
                got=f'"{part.strip()}"',
                allowed="numbers with commas between, or from and to: 5-8,12",
                do="Write it so.",
                where=where,
            )
        found += range(first, last + 1)
    return tuple(dict.fromkeys(found))


DAY_OPTIONS = (
    Option(flag="--heats", value="N-M,N", does="papers of the day: only these heats", read=heat_numbers, usual=()),
    Option(
        flag="--now", value="N", does="call board: the heat on the water; without it, every heat once, to cut apart",
        read=whole(low=1, high=9999),
    ),
    Option(
        flag="--table", value="TABLE", does="pack: powerboat (unless given), low-point, or a TOML file of your own",
        usual="powerboat",
    ),
)  # fmt: skip


class _Day:
    """The season's day, each part read when it is first needed."""

    def __init__(self, ask: Ask) -> None:
        from skimwright import desk

        self.ask = ask
        self.season: Season = ask.season()
        self.folder = ask.files.season_folder(ask.season_chosen)
        self.entries: Entries = desk.read_entries(ask.files.rows(self.folder / "entries.csv"))
        self.paper = "letter" if ask.given["paper"] == "letter" else "a4"
        self.race: RaceDay | None = self._race()
        self.findings: list[Finding] = [*self.race.published.findings] if self.race else []

    def _race(self) -> RaceDay | None:
        """The day as it stands now; None without a plan."""
        if not self.ask.files.is_file(self.folder / "day.toml"):
            return None
        unsaid = dict.fromkeys(("at", "who", "phone", "key"))
        return open_day(replace(self.ask, given={**self.ask.given, **unsaid})).day

    @property
    def site(self) -> SiteLimits | None:
        """The site's limits, if it has written them down."""
        from skimwright import desk

        path = self.folder / "limits.toml"
        return desk.read_site_limits(self.ask.files.table(path)) if self.ask.files.is_file(path) else None

    @property
    def day(self) -> day_papers.PaperDay:
        """The heats as paper shows them; without a plan, a day with none."""
        from skimwright.desk import day_papers

        printed = f"Printed {self.ask.files.today()}, Skimwright {__version__}."
        season, site = self.season.name, self.season.site.name
        if self.race is not None:
            return day_papers.paper_day(self.race, season=season, site=site, printed=printed)
        date = f"{self.season.regatta.day} {self.season.regatta:%B %Y}"
        return day_papers.PaperDay(season=season, site=site, day=date, printed=printed)

    def heats(self) -> tuple[day_papers.PaperHeat, ...]:
        """Those asked for."""
        if self.race is None:
            raise MissingError(
                what="this season has no day.toml, so its heats are not known",
                allowed="day.toml with the sessions of the day",
                do="Write it; or print blank heat sheets: `skimwright print blank`.",
            )
        day = self.day
        known = {heat.number for heat in day.heats}
        for number in (*self.ask.given["heats"], *([self.ask.given["now"]] if self.ask.given["now"] else [])):
            if number not in known:
                raise InputError(
                    what="there is no such heat", got=f"heat {number}", allowed=f"1 to {max(known, default=0)}",
                    do="Look at the order of heats.", where=Where(field="--heats"),
                )  # fmt: skip
        return day.chosen(self.ask.given["heats"])


def answer_day(ask: Ask, named: Sequence[str]) -> Answer:
    """One file a paper."""
    for word in named:
        if word not in PAPERS:
            raise InputError(
                what="a kit and papers of the day are printed by themselves", got=f'"{word}"',
                allowed=", ".join(PAPERS), do="Type two commands.", where=Where(field="WHAT"),
            )  # fmt: skip
    if ask.given["paper"] == "sheet":
        raise InputError(
            what="papers of the day are not printed on a sheet of board", got='"sheet"', allowed="a4, letter",
            do="Take one of these.", where=Where(field="--paper"),
        )  # fmt: skip
    found, out = _Day(ask), Path(ask.given["out"] or "day-papers")
    words = [word for word in PAPERS if word != "day"] if "day" in named else list(dict.fromkeys(named))
    files, counts = [], {}
    for done, word in enumerate(words, 1):
        drawings = DRAWN[word](found)
        title = f"{PAPERS[word]}, {found.season.name}"
        path = out / f"{word}-{LARGE[found.paper] if word == 'call-board' else found.paper}.pdf"
        files.append(ask.files.write(path, ask.files.as_pdf(drawings, language="en", title=title)))
        counts[word] = len(drawings)
        ask.progress.update(done, len(words), "papers of the day")
    if found.race and ({"heats", "pack"} & set(words)):
        files.append(_type_back(found, out))
    return _said(found, counts, files)


def _type_back(found: _Day, out: Path) -> Path:
    from skimwright import desk

    assert found.race is not None
    planned = {heat.number: desk.clock(heat.planned) for heat in found.race.heats}
    lines = desk.blank_lines(found.race.heats, planned)
    return found.ask.files.write(out / "type-back.csv", lines)


def _said(found: _Day, counts: dict[str, int], files: Sequence[Path]) -> Answer:
    pages = sum(counts.values())
    on = "A4" if found.paper == "a4" else "Letter"
    listed = "\n".join(
        f"  {word}: {PAPERS[word]}, {count} page{'' if count == 1 else 's'}" for word, count in counts.items()
    )
    text = (
        f"Papers of the day, {on}, {pages} page{'' if pages == 1 else 's'}:\n{listed}\n"
        f"Written: {', '.join(map(str, files))}\n"
        "Print at actual size, on a laser printer or a copier: ink from a jet runs in the rain. What was "
        "raced on paper "
        "is typed into type-back.csv, one line a heat."
    )
    data: dict[str, Any] = {
        "paper": found.paper,
        "pages": pages,
        "papers": [{"paper": word, "pages": count} for word, count in counts.items()],
        "heats": [heat.number for heat in found.day.heats],
        "files": [str(path) for path in files],
        "findings": [finding.as_dict() for finding in found.findings],
    }
    plain = f"{', '.join(counts)}: {pages} page{'' if pages == 1 else 's'}, {on}"
    return Answer(data=data, text=text, plain=plain, findings=tuple(found.findings))


# each paper


def _heats(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    return day_papers.heat_sheets(found.day, found.heats(), paper=found.paper)  # type: ignore[arg-type]


def _blank(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    return day_papers.blank_heat_sheets(found.day, count=BLANKS, paper=found.paper)  # type: ignore[arg-type]


def _call_board(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    heats = found.heats()
    for heat in heats:
        tall = day_papers.figures_tall(heat, paper=found.paper)  # type: ignore[arg-type]
        if tall < 0.995 * day_papers.FIGURES:
            found.findings.append(
                Finding(
                    code="figures-small",
                    severity="note",
                    what=f"The figures on the call board are {tall:.0f} mm tall, not {day_papers.FIGURES:.0f}.",
                    why="Long boat numbers, or many lanes, leave no room for more.",
                    do="Let crews stand nearer to it.",
                    where=f"heat {heat.number}",
                )
            )
    return day_papers.call_boards(found.day, heats, now=found.ask.given["now"], paper=found.paper)  # type: ignore[arg-type]


def _cards(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    heats = found.heats()
    unfit = {boat.number: boat.unfit for heat in heats for boat in heat.lanes if boat and boat.unfit}
    if found.race and not day_papers.has_ticks(found.race):
        found.findings.append(
            Finding(
                code="no-ticks-yet",
                severity="note",
                what="Nobody has the pit steward's tick yet, so every boat has a card, with a box for it.",
                do="Hand a card out once the steward has ticked it by hand.",
            )
        )
    for number, why in unfit.items():
        found.findings.append(
            Finding(
                code="no-card",
                severity="warning",
                what=f"No card is printed for boat {number}: {why.rstrip('.')}.",
                do="When the pit steward has ticked it, print the cards again.",
                where=f"boat {number}",
            )
        )
    return day_papers.crew_cards(found.day, heats, paper=found.paper)  # type: ignore[arg-type]


def _pack(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    ask = day_papers.pack_for(found.day, table=table_meant(found.ask), site=found.site, blanks=BLANKS)
    return day_papers.day_pack(ask, paper=found.paper)  # type: ignore[arg-type]


def _run_log(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    return [day_papers.run_logs(found.day, paper=found.paper)]  # type: ignore[arg-type]


def _scales(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    return [day_papers.reweigh_cards(found.day, paper=found.paper)]  # type: ignore[arg-type]


def _queue(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    rules = day_papers.queue_rules(found.season, found.entries)
    return day_papers.queue_sheets(found.day, rules, paper=found.paper)  # type: ignore[arg-type]


def _talk(found: _Day) -> list[Drawing]:
    from skimwright.desk import day_papers

    return [day_papers.talk_sheet(found.day, found.site, paper=found.paper)]  # type: ignore[arg-type]


DRAWN: dict[str, Callable[[_Day], list[Drawing]]] = {
    "heats": _heats,
    "blank": _blank,
    "call-board": _call_board,
    "cards": _cards,
    "pack": _pack,
    "run-log": _run_log,
    "scales": _scales,
    "queue": _queue,
    "talk": _talk,
}
