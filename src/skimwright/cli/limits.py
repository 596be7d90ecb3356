"""``skimwright limits``: the limits card of the day."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skimwright.base import MissingError
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity, whole


def answer(ask: Ask) -> Answer:
    """Limits from the least steady boat and the site."""
    from dataclasses import replace

    from skimwright import desk

    season, folder = ask.season(), ask.files.season_folder(ask.season_chosen)
    path = folder / "limits.toml"
    if not ask.files.is_file(path):
        raise MissingError(
            what="this season has no limits.toml, so the event page stays shut",
            allowed="limits.toml with [wind], [heat], [water] and [people]",
            do="Ask the water's owner and the safety officer for the site's limits and write them down.",
        )
    site = desk.read_site_limits(ask.files.table(path))
    given = ask.given
    changes = {
        name: given[flag]
        for flag, name in (
            ("wind_m_s", "wind_speed"),
            ("gust_m_s", "wind_gust"),
            ("wind_from_deg", "wind_from"),
        )
        if given[flag] is not None
    }
    if changes:
        if "wind_speed" in changes and "wind_gust" not in changes:
            changes["wind_gust"] = None
        season = replace(season, conditions=replace(season.conditions, **changes))
    ask.ready_model()
    boats = desk.steadiness(
        season, seed=given["seed"], progress=lambda d, t: ask.progress.update(d, t, "boats")
    )
    humidity = None if given["humidity_percent"] is None else given["humidity_percent"] / 100.0
    card = desk.limits_card(season, site, boats, without=given["without"] or (), humidity=humidity)
    files = []
    if given["out"]:
        foot = f"Skimwright, {ask.files.today()}. Ask a person: the {site.officer}."
        made = ask.files.as_html(desk.limits_page(card, foot=foot))
        files = [str(ask.files.write(Path(given["out"]) / "limits.html", made))]
    rows = [
        [line.word.upper() if line.word != "go" else "ok", line.what, line.watch, line.stop, line.now]
        for line in card.lines
    ]
    worst = [
        [b.label, f"{b.lifts_at:.1f}", f"{b.fastest:.1f}", f"{max(b.gust, 0.0):.1f}"] for b in card.boats[:4]
    ]
    text = "\n".join(
        [
            f"{season.site.name}: mean {card.mean:.1f} m/s, gust {card.gust:.1f} m/s at most, from {card.rests_on}.",
            "",
            table(["", "limit", "watch", "stop", "now"], rows),
            "",
            table(["least steady", "lifts off m/s", "runs m/s", "bears gust m/s"], worst),
            "",
            f"The wind limits hold within 45 deg of where the wind is now; wherever it turns to: gusts up to "
            f"{card.gust_any:.1f} m/s.",
            f"The program reminds; the {site.officer} decides.",
            *([f"Written: {files[0]}"] if files else []),
        ]
    )
    plain = (
        f"{card.word}: mean wind up to {card.mean:.1f} m/s, gusts up to {card.gust:.1f} m/s ({card.rests_on})"
    )
    return Answer(data=_data(card, files), text=text, plain=plain, findings=card.findings)


def _data(card: Any, files: list[str]) -> dict[str, Any]:
    return {
        "word": card.word,
        "wind_mean_limit_m_s": round(card.mean, 2),
        "wind_gust_limit_m_s": round(card.gust, 2),
        "wind_gust_any_direction_m_s": round(card.gust_any, 2),
        "rests_on": card.rests_on,
        "officer": card.site.officer,
        "lines": [
            {
                "what": x.what,
                "watch": x.watch,
                "stop": x.stop,
                "now": x.now,
                "word": x.word,
                "rests_on": x.rests_on,
            }
            for x in card.lines
        ],
        "boats": [
            {
                "boat": b.label,
                "lifts_at_m_s": round(b.lifts_at, 2),
                "fastest_m_s": round(b.fastest, 2),
                "gust_m_s": round(b.gust, 2),
            }
            for b in card.boats
        ],
        "files": files,
        "findings": [finding.as_dict() for finding in card.findings],
    }


def numbers(given: str, where: Any) -> tuple[int, ...]:
    """Reads ``18,22``."""
    return tuple(whole(low=1, high=9999)(part.strip(), where) for part in given.split(","))


VERB = Verb(
    name="limits",
    does="the day's limits card: wind, thunder, heat, water",
    tells="The wind limit is that of the least steady boat that will run, launched into the wind, and never above the "
    "site's own in limits.toml. Mean is the mean of ten minutes, gust the strongest of them.",
    options=(
        Option(
            flag="--wind-m-s", value="W", does="mean wind now", read=quantity("speed", "m/s", low=0, high=20)
        ),
        Option(
            flag="--gust-m-s",
            value="G",
            does="strongest gust now",
            read=quantity("speed", "m/s", low=0, high=30),
        ),
        Option(
            flag="--wind-from-deg",
            value="A",
            does="where it comes FROM, clockwise from north",
            read=quantity("angle", "deg", low=0, high=360),
        ),
        Option(
            flag="--humidity-percent",
            value="H",
            does="relative humidity, for the heat index",
            read=whole(low=0, high=100),
        ),
        Option(flag="--without", value="N,N", does="boats that stay ashore", read=numbers),
        Option(
            flag="--seed",
            value="S",
            does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1),
            usual=30480,
        ),
        Option(flag="--out", value="DIR", does="write the card there"),
    ),
    example="limits --wind-m-s 3.6 --gust-m-s 6 --without 18",
    answer=answer,
)
