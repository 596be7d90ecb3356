"""``skimwright cite --boat N``: what a boat's forecast rests on."""

from __future__ import annotations

import textwrap

from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Verb


def answer(ask: Ask) -> Answer:
    """The sources of one boat's forecast, or all there are."""
    from skimwright import desk

    number = ask.given["boat"]
    if number is None:
        who, cited = "Skimwright", desk.all_sources()
    else:
        season = ask.season()
        entry = season.boat(number)
        who, cited = f"The forecast of {entry.label}", desk.sources_of_forecast(season.devices[entry.device])
    rows = [
        [c.use, c.key, c.status, textwrap.shorten("; ".join(c.places), 60, placeholder=" ...")] for c in cited
    ]
    keys = {c.key: c for c in cited}
    held = sum(1 for c in keys.values() if c.is_evidence)
    lines = [
        f"{who} rests on {len(keys)} sources; {held} of them were read or worked out, "
        "the others are quoted or remembered and hold up no test.",
        "",
        table(["for", "source", "status", "where in it"], rows),
        "",
        *(f"{c.key}: {c.reference}" for c in keys.values() if c.reference),
    ]
    data = {
        "boat": number,
        "sources": [
            {
                "key": c.key,
                "where": "; ".join(c.places),
                "status": c.status,
                "use": c.use,
                "reference": c.reference,
            }
            for c in cited
        ],
    }
    return Answer(
        data=data, text="\n".join(lines), plain=f"{who}: {len(keys)} sources, {held} read or worked out"
    )


VERB = Verb(
    name="cite",
    does="the sources a boat's forecast rests on, with how well each is known",
    tells="seen: read in the source itself. second-hand: as somebody else quotes it. derived: worked out here "
    "from a stated law. memory: written down from memory. Only seen and derived hold up a test. "
    "Without --boat: every source there is.",
    options=(BOAT,),
    example="cite --boat 7",
    answer=answer,
)
