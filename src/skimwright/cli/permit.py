"""``skimwright permit``: which devices are open, and what the others wait for."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from skimwright.base import InputError, MissingError, Where
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb


def answer(ask: Ask) -> Answer:
    """Every device's sheet on a day."""
    from skimwright import desk

    season = ask.season()
    path = ask.files.season_folder(ask.season_chosen) / "permits.toml"
    written = ask.files.table(path) if ask.files.is_file(path) else {}
    grants = desk.read_grants(written, devices=tuple(season.devices))
    day = ask.given["day"] or season.regatta
    sheets = desk.permission_sheets(season, grants, day)
    if ask.given["device"]:
        sheets = tuple(s for s in sheets if s.device.name.casefold() == ask.given["device"].casefold())
        if not sheets:
            raise MissingError(
                what="no device of this name in this season",
                got=f'"{ask.given["device"]}"',
                allowed=", ".join(season.devices),
                do="Give one of these.",
                where=Where(field="--device"),
            )
    files = []
    if ask.given["out"]:
        foot = f"Skimwright, {ask.files.today()}. Ask a person: the safety officer."
        for sheet in sheets:
            if sheet.is_needed:
                name = f"permission-{sheet.device.name.casefold().replace(' ', '-')}.html"
                page = ask.files.as_html(desk.sheet_page(season, sheet, day, foot=foot))
                files.append(str(ask.files.write(Path(ask.given["out"]) / name, page)))
    usual = {True: "all in date", False: "needs no sheet"}
    rows = [
        [s.device.name, "open" if s.is_open else "SHUT", "; ".join(s.lacks) or usual[s.is_needed]]
        for s in sheets
    ]
    shut = [sheet.device.name for sheet in sheets if not sheet.is_open]
    text = "\n".join(
        [
            f"{season.site.name}, {day}",
            "",
            table(["device", "", "why"], rows),
            "",
            "The sheet collects what others allow; it allows nothing itself.",
            *([f"Written: {', '.join(files)}"] if files else []),
        ]
    )
    data: dict[str, Any] = {
        "day": str(day),
        "devices": [
            {
                "device": sheet.device.name,
                "kind": sheet.device.kind,
                "needed": sheet.is_needed,
                "open": sheet.is_open,
                "permissions": [{"of": of, "status": status} for of, status, _ in sheet.rows],
            }
            for sheet in sheets
        ],
        "shut": shut,
        "files": files,
    }
    return Answer(data=data, text=text, plain=f"shut on {day}: {', '.join(shut) or 'none'}")


def day(given: str, where: Where) -> datetime.date:
    """Reads a date."""
    try:
        return datetime.date.fromisoformat(given)
    except ValueError:
        raise InputError(
            what="not a date",
            got=f'"{given}"',
            allowed="year-month-day, such as 2027-05-22",
            do="Write it so.",
            where=where,
        ) from None


VERB = Verb(
    name="permit",
    does="which devices are open, and what the others wait for",
    tells="Motors and gas stay shut until the authority having jurisdiction, the water owner, the insurer, the "
    "school and the maker's permitted use are each ticked, dated and in date in permits.toml; an expired one shuts "
    "the class again.",
    options=(
        Option(flag="--device", value="D", does="one device of the season; all unless given"),
        Option(flag="--day", value="DATE", does="the day it is for; the regatta unless given", read=day),
        Option(flag="--out", value="DIR", does="write the sheets to carry round and have signed"),
    ),
    example='permit --device "Lantern 3" --out sheets',
    answer=answer,
)
