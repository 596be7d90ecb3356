"""``boats.csv``: one row a boat, to an `Entry`; what looks wrong but can be read becomes a question."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from skimwright.base import Finding, InputError, Kind, Where, parse_quantity
from skimwright.boat import AsBuilt
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.tables import Row, Rows

Answers = Mapping[tuple[int, str], str]


@dataclass(frozen=True, kw_only=True)
class Column:
    """A measured column: what it is, and what no boat of any kit can exceed."""

    quantity: str  # its name in AsBuilt
    kind: Kind
    unit: str
    low: float  # in the column's own unit
    high: float


def _angle(quantity: str) -> Column:
    return Column(quantity=quantity, kind="angle", unit="deg", low=-45, high=45)


def _length(quantity: str, low: float, high: float) -> Column:
    return Column(quantity=quantity, kind="length", unit="mm", low=low, high=high)


NAMES = ("boat", "name", "group", "crew", "kit", "device")
MEASURED = {
    "mass_g": Column(quantity="mass", kind="mass", unit="g", low=0.1, high=20_000),
    "balance_x_mm": _length("balance_x", 0, 5000),
    "balance_y_mm": _length("balance_y", -1000, 1000),
    "balance_z_mm": _length("balance_z", -1000, 1000),
    "pad_left_err_deg": _angle("pad_angle_left"),
    "pad_right_err_deg": _angle("pad_angle_right"),
    "pad_left_toe_deg": _angle("pad_toe_left"),
    "pad_right_toe_deg": _angle("pad_toe_right"),
    "pad_left_cant_deg": _angle("pad_cant_left"),
    "pad_right_cant_deg": _angle("pad_cant_right"),
    "fin_yaw_deg": _angle("blade_yaw"),
    "floor_twist_deg": _angle("floor_twist"),
    "device_offset_y_mm": _length("device_y", -1000, 1000),
    "deck_length_mm": _length("deck_length", 1, 5000),
    "water_gain_g_per_run": Column(quantity="water_gain", kind="mass", unit="g", low=0, high=5000),
}
HELP = ("none", "some", "a lot")  # of an adult, in building: for the choice of class only, never public
COLUMNS = (*NAMES, *MEASURED, "adult_help", "note")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One boat of the season: who it is, what it was drawn as, what was measured on it."""

    number: int
    name: str
    group: str
    crew: str
    kit: str
    device: str
    built: AsBuilt  # a value in question is left unmeasured here
    adult_help: str = ""  # one of HELP; blank: not recorded, never guessed
    note: str = ""
    row: int = 0  # of boats.csv
    findings: tuple[Finding, ...] = ()

    @property
    def is_stopped(self) -> bool:
        """A question about this boat must be answered before anything is worked out for it."""
        return any(finding.severity == "stop" for finding in self.findings)

    @property
    def label(self) -> str:
        """``boat 07 Gravel``."""
        return f"boat {self.number:02d} {self.name}"


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One measured cell as typed and as read."""

    column: str
    text: str
    value: float  # SI
    has_unit: bool  # the writer put a unit behind the number

    @property
    def typed(self) -> str:
        """With its unit, as a person would say it."""
        return self.text if self.has_unit else f"{self.text} {MEASURED[self.column].unit}"


Check = Callable[["Cell", Entry], Finding | None]


def read_boats(
    rows: Rows, *, groups: Iterable[str], kits: Iterable[str], devices: Iterable[str],
    checks: Mapping[str, Check], answers: Answers,
) -> tuple[Entry, ...]:  # fmt: skip
    """Every row of ``boats.csv`` as an `Entry`.

    Parameters
    ----------
    rows : Rows
        The list as read.
    groups, kits, devices : names
        What a row may name.
    checks : mapping
        By column: a function from the cell and its boat to a question, or None.
    answers : mapping
        ``{(20, "mass_g"): "13.5 oz"}``: read this in place of the cell.

    Raises
    ------
    InputError
        A column is missing or unknown, a cell cannot be read, a row names a thing that is not there.
    """
    _check_columns(rows)
    known = {"group": list(groups), "kit": list(kits), "device": list(devices)}
    entries: list[Entry] = []
    for row in rows.rows:
        entry = _read_row(row, rows.file, known, checks, answers)
        _refuse_same_number(entry, entries, rows.file)
        entries.append(entry)
    if not entries:
        raise InputError(
            what="no boats below the heading",
            allowed="one row for each boat",
            do="Write a row.",
            where=Where(file=rows.file),
        )
    _refuse_stray_answers(answers, entries, rows)
    same = _same_names(entries)
    return tuple(
        replace(e, findings=(*e.findings, *same[e.number], *_ask_surname(e, entries))) for e in entries
    )


def _check_columns(rows: Rows) -> None:
    for name in NAMES:
        if name not in rows.columns:
            raise InputError(
                what="this column is missing",
                allowed=f"columns {', '.join(NAMES)}, then what was measured",
                do=f"Add a column headed {name}.",
                where=Where(file=rows.file, row=1, field=name),
            )
    for name in rows.columns:
        if name not in COLUMNS:
            raise InputError(
                what="unknown column",
                allowed=", ".join(COLUMNS),
                do=f'{nearest(name, COLUMNS)} Another unit goes behind the number: "13.5 oz".'.strip(),
                where=Where(file=rows.file, row=1, field=name),
            )


def _help(text: str, where: Where) -> str:
    said = " ".join(text.split()).casefold()
    if said and said not in HELP:
        raise InputError(what="no such word for an adult's help", got=f'"{text}"',
                         allowed=f"{', '.join(HELP)}, or blank", do="Write one of these.", where=where)  # fmt: skip
    return said


def _read_row(
    row: Row, file: str, known: Mapping[str, list[str]], checks: Mapping[str, Check], answers: Answers
) -> Entry:
    number = _boat_number(row, file)
    answered = {field: text for (boat, field), text in answers.items() if boat == number}
    cells = {**row.cells, **answered}
    chosen = {
        name: _chosen(cells, name, known[name], Where(file=file, row=row.number, field=name))
        for name in known
    }
    if not cells["name"]:
        raise InputError(
            what="this boat has no name",
            allowed="a name for each boat",
            do=f'Write one, for example "Boat {number}".',
            where=Where(file=file, row=row.number, field="name"),
        )
    read = [
        _measured(name, cells[name], Where(file=file, row=row.number, field=name))
        for name in MEASURED
        if cells.get(name)
    ]
    entry = Entry(
        number=number,
        name=" ".join(cells["name"].split()),
        group=chosen["group"],
        crew=cells["crew"],
        kit=chosen["kit"],
        device=chosen["device"],
        built=AsBuilt(boat=f"{number:02d}"),
        adult_help=_help(cells.get("adult_help", ""), Where(file=file, row=row.number, field="adult_help")),
        note=cells.get("note", ""),
        row=row.number,
    )
    asked = [(cell, checks[cell.column](cell, entry)) for cell in read if cell.column in checks]
    doubted = {cell.column for cell, finding in asked if finding and finding.severity == "stop"}
    values = {MEASURED[cell.column].quantity: cell.value for cell in read if cell.column not in doubted}
    return replace(
        entry,
        built=AsBuilt(boat=entry.built.boat, **values),
        findings=tuple(finding for _, finding in asked if finding),
    )


def _boat_number(row: Row, file: str) -> int:
    text = row.cells["boat"]
    if not re.fullmatch(r"\d{1,4}", text) or int(text) == 0:
        raise InputError(
            what="not a boat number",
            got=f'"{text}"',
            allowed="a whole number from 1 to 9999",
            do="Write the number painted on the boat.",
            where=Where(file=file, row=row.number, field="boat"),
        )
    return int(text)


def _chosen(cells: Mapping[str, str], name: str, known: list[str], where: Where) -> str:
    text = cells[name]
    for each in known:
        if each.casefold() == text.casefold():
            return each
    raise InputError(
        what=f"no {name} of this name in this season" if text else f"this boat has no {name}",
        got=f'"{text}"' if text else "",
        allowed=", ".join(known),
        do=nearest(text, known)
        if text and not nearest(text, known).startswith("There")
        else "Write one of these.",
        where=where,
    )


def _measured(column: str, text: str, where: Where) -> Cell:
    """A cell in SI, refused when no boat could be so."""
    c = MEASURED[column]
    value = parse_quantity(text, c.kind, default_unit=c.unit, where=where)
    low, high = (parse_quantity(end, c.kind, default_unit=c.unit) for end in (c.low, c.high))
    cell = Cell(column=column, text=text, value=value, has_unit=bool(re.search(r"[^\d\s.,+\-−eE]", text)))
    if not low <= value <= high:
        raise InputError(
            what="out of range",
            got=cell.typed,
            allowed=f"{c.low:g} to {c.high:g} {c.unit}, or blank if it was not measured",
            do="Measure it again, or leave the cell blank.",
            where=where,
        )
    return cell


def _refuse_same_number(entry: Entry, earlier: list[Entry], file: str) -> None:
    for other in earlier:
        if other.number == entry.number:
            raise InputError(
                what=f'number {entry.number} is taken by "{other.name}" in row {other.row}',
                got=f'"{entry.name}" with the same number',
                allowed="each number once",
                do="Give one of the two another number.",
                where=Where(file=file, row=entry.row, field="boat"),
            )


def _refuse_stray_answers(answers: Answers, entries: list[Entry], rows: Rows) -> None:
    numbers = {entry.number for entry in entries}
    for boat, field in answers:
        if boat not in numbers or field not in rows.columns or field == "boat":
            raise InputError(
                what="an answer to a question that nobody asked",
                got=f"boat {boat}, {field}",
                allowed="a boat and a column of the list",
                do="Check the number and the column's name.",
                where=Where(file=rows.file),
            )


def _same_names(entries: list[Entry]) -> dict[int, tuple[Finding, ...]]:
    """A question to each boat whose name another has too."""
    found: dict[int, tuple[Finding, ...]] = {}
    for entry in entries:
        others = [
            o for o in entries if o.number != entry.number and o.name.casefold() == entry.name.casefold()
        ]
        numbers = " and ".join(f"{other.number:02d}" for other in others)
        found[entry.number] = (
            (
                Finding(
                    code="name-taken-twice",
                    severity="warning",
                    what=f'The name "{entry.name}" is also that of boat {numbers}.',
                    why="Calls and results go by number, but people cheer for a name.",
                    do="Which crew asked first? Ask the other for a new name.",
                    where=entry.label,
                ),
            )
            if others
            else ()
        )
    return found


# First names of many classrooms, for one question only: is the word behind it a surname?  [choice]
FIRST_NAMES = frozenset(
    """adam aisha alex alice amelia amir amy anna ava ben carlos charlie chloe daniel david ella emily emma
    ethan eva fatima finn freya george grace hannah harry henry isla ivy jack jacob james jonas
    joseph kai leah leo lily lucas lucy maria maya mia mohammed nina noah nora oliver olivia omar
    oscar peter priya ruby sam sara sofia sophie theo thomas tom tomas william yusuf zara zoe""".split()  # noqa: SIM905
)


def surname_in(text: str, *, known: Iterable[str] = ()) -> str:
    """The word that may be a surname, behind a first name or an initial; blank if there is none.

    Parameters
    ----------
    text : str
        What would be shown.
    known : names
        First names to know besides our own.

    Examples
    --------
    >>> surname_in("Emma Barrowby"), surname_in("Copper Spoon"), surname_in("Wren Barrowby", known=["Wren"])
    ('Barrowby', '', 'Barrowby')
    """
    first_names = FIRST_NAMES | {name.casefold() for name in known}
    words: list[str] = re.findall(r"[^\W\d_]+(?:['’-][^\W\d_]+)*\.?", text)
    for first, second in itertools.pairwise(words):
        is_initial = len(first) == 2 and first.endswith(".")
        if (first.casefold() in first_names or is_initial) and len(second) > 2 and second[0].isupper():
            return second
    return ""


def _ask_surname(entry: Entry, entries: list[Entry]) -> tuple[Finding, ...]:
    """A boat called like a child: first name, then a word that looks like a surname."""
    crews = {word for each in entries for word in re.findall(r"[^\W\d_]{2,}", each.crew)}
    for place, text, known in (("boat name", entry.name, crews), ("crew", entry.crew, set())):
        surname = surname_in(text, known=known)
        if surname:
            finding = Finding(
                code="surname-in-name",
                severity="warning",
                what=f'The {place} "{text}" may hold a surname.',
                why="The name is shown to everybody; a child's surname must not be.",
                do=f'Is "{surname}" a surname? Then write another name, or a first name and an initial.',
                where=entry.label,
            )
            return (finding,)
    return ()


def ask(
    cell: Cell, entry: Entry, *, code: str, fits: Callable[[float], bool], doubt: str, tries: tuple[str, ...],
    show: Callable[[float], str], otherwise: str, slips: bool = True,
) -> Finding | None:  # fmt: skip
    """A question about a value that does not fit, with the reading that would; None if it fits.

    A value whose writer gave it a unit is believed: the question stays as a warning.
    """
    if fits(cell.value):
        return None
    column = MEASURED[cell.column]
    number = cell.value / _factor(column.kind, column.unit)
    readings = [(f"{cell.text} {unit}", number * _factor(column.kind, unit), True) for unit in tries]
    if slips:
        readings += [(f"{number * by:g} {column.unit}", by * cell.value, False) for by in (10, 0.1)]
    likely = next((each for each in readings if fits(each[1])), None) if not cell.has_unit else None
    question, do = otherwise, f"Measure it again and correct {cell.column} in row {entry.row} of boats.csv."
    if likely:
        text, value, is_unit = likely
        question = f"Is it {text} = {show(value)}?" if is_unit else f"Is it {text}?"
        do = f'If so, write "{text}" ({cell.column}, row {entry.row} of boats.csv); if not, measure it again.'
    return Finding(
        code=code,
        severity="warning" if cell.has_unit else "stop",
        what=f"{cell.typed} {doubt}.",
        why=question,
        do=do,
        where=entry.label,
    )


def _factor(kind: Kind, unit: str) -> float:
    return parse_quantity(1, kind, default_unit=unit)
