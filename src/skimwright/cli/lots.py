"""``skimwright lots ENTRIES``: who races whom, in which heat and lane."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import Lots

MOST_SEED = 999_999_999


def steps(given: str, where: Where) -> tuple[tuple[int, int], ...]:
    """Reads ``24@3,7``: boats, each with the last heat raced before it left or came; 0 if not said."""
    found = []
    for part in given.split(","):
        match = re.fullmatch(r"\s*([0-9]{1,4})\s*(?:@\s*([0-9]{1,4})\s*)?", part)
        if match is None or int(match[1]) == 0:
            raise InputError(
                what="not a boat, or a boat and a heat",
                got=f'"{part.strip()}"',
                allowed="boat numbers with commas between, each with @ and a heat behind it if wanted: 24@3,7",
                do="Write it so.",
                where=where,
            )
        found.append((int(match[1]), int(match[2] or 0)))
    boats = [boat for boat, _ in found]
    for boat in boats:
        if boats.count(boat) > 1:
            raise InputError(what=f"boat {boat} is named twice", do="Name it once.", where=where)
    return tuple(found)


def path_meant(ask: Ask, given: str | None, name: str) -> Path:
    """The file given, or the season's own of this name."""
    return Path(given) if given else ask.files.season_folder(ask.season_chosen) / name


def answer(ask: Ask) -> Answer:
    """The draw, and what changed."""
    from skimwright import desk

    given, path = ask.given, path_meant(ask, ask.given["entries"], "entries.csv")
    entries = desk.read_entries(ask.files.rows(path))
    lots = desk.draw_entries(
        entries,
        group=given["group"],
        rounds=given["rounds"],
        lanes=given["lanes"],
        seed=given["seed"],
        without=[desk.Step(boat=boat, after_heat=heat) for boat, heat in given["without"]],
        late=[desk.Step(boat=boat, after_heat=heat) for boat, heat in given["late"]],
        mark=given["mark"],
    )
    redo = _redo(ask, path)
    counts, bound = lots.draw.counts, lots.draw.bound
    plain = (
        f"{path.name}: {len(lots.draw.boats)} boats in {len(lots.draw.heats)} heats, repeat cost {counts.repeats}, "
        f"bound {bound}, mark {lots.draw.mark}"
    )
    status = 1 if any(finding.severity == "stop" for finding in lots.findings) else 0
    return Answer(
        data=as_data(lots, redo),
        text=_text(lots, given["group"], redo),
        plain=plain,
        findings=lots.findings,
        status=status,
    )


def _redo(ask: Ask, path: Path) -> str:
    """The words that give the same lots again."""
    given = ask.given
    words = [f"skimwright lots {path.name}"]
    words += (
        [f'--group "{given["group"]}"' if " " in given["group"] else f"--group {given['group']}"]
        if given["group"]
        else []
    )
    words += [f"--rounds {given['rounds']} --lanes {given['lanes']} --seed {given['seed']}"]
    for name in ("without", "late"):
        words += [f"--{name} " + ",".join(f"{b}@{h}" for b, h in given[name])] if given[name] else []
    return " ".join(words)


def _text(lots: Lots, group: str | None, redo: str) -> str:
    draw, names = lots.draw, {row.boat: row.label for row in lots.entries}
    first = draw.of_round(1)
    lines = [
        f"Lots{f' for {group}' if group else ''}: {len(draw.boats)} boats, {draw.rounds} rounds of "
        f"{len(first)} {'heat' if len(first) == 1 else 'heats'}, seed {draw.seed}, mark {draw.mark}"
    ]
    for turn in range(1, draw.rounds + 1):
        rows = [
            [str(heat.number), *(names.get(boat, f"{boat:02d}") if boat else "-" for boat in heat.lanes)]
            for heat in draw.of_round(turn)
        ]
        heading = ["heat", *(f"lane {lane}" for lane in range(1, draw.lanes + 1))]
        lines += ["", f"Round {turn}", _left(heading, rows)]
    if lots.published is not draw:
        lines += ["", f"Changed since the lots with mark {lots.published.mark} were published"]
        lines += [
            _left(
                ["boat", "round", "was", "is now"],
                [
                    [names.get(c.boat, f"{c.boat:02d}"), str(c.round), _spot(c.was), _spot(c.now)]
                    for c in lots.changes
                ],
            )
            if lots.changes
            else "Nothing."
        ]
    return "\n".join([*lines, "", *_in_words(lots), "", f"Anyone can redo this: {redo}"])


def _left(heading: list[str], rows: list[list[str]]) -> str:
    """A table of words, all to the left."""
    rows = [[f"\u200b{cell}" for cell in row] for row in rows]  # a mark that no cell begins like a number
    return table([f"\u200b{cell}" for cell in heading], rows).replace("\u200b", "")


def _spot(spot: tuple[int, int] | None) -> str:
    return "no race" if spot is None else f"heat {spot[0]}, lane {spot[1]}"


def _in_words(lots: Lots) -> list[str]:
    draw, counts = lots.draw, lots.draw.counts
    gap = counts.repeats - draw.bound
    met = f"Repeat meetings {counts.repeats} (a pair that meets m times counts m(m-1)/2): "
    if gap == 0:
        met += "no draw of this shape has fewer." if counts.repeats else "nobody meets twice."
    else:
        met += f"none can have fewer than {draw.bound}, so {gap} more than is proven to be needed."
    lanes = (
        "no boat has a lane more often than its fair share."
        if counts.lane_excess == 0
        else f"{counts.lane_excess} starts are in a lane a boat has had its share of."
    )
    shortest, longest = counts.shortest_wait, counts.longest_wait
    waits = f"{shortest}" if shortest == longest else f"{shortest} to {longest}"
    return [
        met,
        f"A pair meets at most {counts.most_meetings} times. Lanes: {lanes}",
        *(
            [f"From one race of a boat to its next: {waits} {'heat' if waits == '1' else 'heats'}."]
            if draw.rounds > 1
            else []
        ),
        f"Meetings: {draw.how}.",
    ]


def as_data(lots: Lots, redo: str) -> dict[str, Any]:
    """For --json; boats of a heat stand in the order of their lanes."""
    draw, counts = lots.draw, lots.draw.counts
    turns = range(1, draw.rounds + 1)
    return {
        "rounds": [[list(heat.boats) for heat in draw.of_round(turn)] for turn in turns],
        "heats": [{"heat": h.number, "round": h.round, "lanes": list(h.lanes)} for h in draw.heats],
        "repeat_cost": counts.repeats,
        "bound": draw.bound,
        "gap": counts.repeats - draw.bound,
        "most_meetings": counts.most_meetings,
        "lane_balance": {
            "excess": counts.lane_excess,
            "most_in_one_lane": counts.most_in_one_lane,
            "perfect": counts.lane_excess == 0,
        },
        "waits": {
            "shortest_heats": counts.shortest_wait,
            "longest_heats": counts.longest_wait,
            "spread_heats": round(counts.wait_spread, 4),
            "early_or_late": round(counts.lean, 4),
        },
        "how": draw.how,
        "seed": draw.seed,
        "mark": draw.mark,
        "published_mark": lots.published.mark,
        "changes": [
            {"boat": c.boat, "round": c.round, "was": _spot_data(c.was), "now": _spot_data(c.now)}
            for c in lots.changes
        ],
        "redo": redo,
        "findings": [finding.as_dict() for finding in lots.findings],
    }


def _spot_data(spot: tuple[int, int] | None) -> dict[str, int] | None:
    return None if spot is None else {"heat": spot[0], "lane": spot[1]}


VERB = Verb(
    name="lots",
    does="draw lots: who races whom, in which heat and lane",
    tells="ENTRIES is a list with the column boat, and if wanted name, group and also (further races, parted by "
    "semicolons). Each boat races once a round. Repeat meetings are as few as can be found, and the least that "
    "is possible is printed beside them; no boat gets a lane twice before it has had them all. The same seed "
    "gives the same lots to everyone. After a withdrawal or a late entry, heats already raced stand.",
    options=(
        Option(flag="ENTRIES", does="the list of entries; the season's entries.csv unless given"),
        Option(flag="--group", value="NAME", does="one group; everybody together unless given"),
        Option(
            flag="--rounds",
            value="R",
            does="how often each boat races",
            read=whole(low=1, high=40),
            must=True,
        ),
        Option(
            flag="--lanes",
            value="L",
            does="most boats in a heat; 6 unless given",
            read=whole(low=2, high=16),
            usual=6,
        ),
        Option(
            flag="--seed",
            value="S",
            does="a public number, best thrown with dice before everybody; 1 unless given",
            read=whole(low=0, high=MOST_SEED),
            usual=1,
        ),
        Option(
            flag="--without",
            value="N@H,...",
            does="boats that withdrew, each with the last heat raced before it did: 24@3",
            read=steps,
            usual=(),
        ),
        Option(
            flag="--late",
            value="N@H,...",
            does="boats that came late, each with the last heat raced before it came",
            read=steps,
            usual=(),
        ),
        Option(
            flag="--mark",
            value="MARK",
            does="the mark of the published lots: says if these are others",
            usual="",
        ),
    ),
    example="lots entries.csv --group Rush --rounds 4 --lanes 6 --seed 1906",
    answer=answer,
)
