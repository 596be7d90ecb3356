"""What to do by hand, in plain words: hold, all clear, finish, ties, protests, redraw.  The site's rules come first."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.desk.water.limits import SiteLimits
from skimwright.pond import AFTER_THUNDER, FLASH_TO_THUNDER, MISFIRE

FIRST = (
    "These sheets lift no limit and permit nothing. The site's own rules, the water's owner, the law of the "
    "place and "
    "people licensed for their work come first; where they differ from this page, they are right. What "
    "follows is for "
    "whatever they leave open."
)
PRIVATE = (
    "Only boat numbers and boat names on these sheets. Notes about a person who was hurt or upset stay with "
    "the "
    "first aider."
)


@dataclass(frozen=True, kw_only=True)
class Section:
    """A heading and its sentences; numbered ones are done in that order."""

    title: str
    lines: tuple[str, ...]
    numbered: bool = False


START = Section(
    title="When the electricity goes",
    numbered=True,
    lines=(
        "The heat on the water is finished as usual. Then one hold, until everybody has paper.",
        "The director takes the order of heats and crosses out what has been raced. Planned times no longer "
        "bind; the "
        "order does.",
        "Start, marshal and scorer take the heat sheets; each finish judge tears off the own slip, A or B. "
        "No sheet for "
        "a heat: take a blank one and copy the lanes from the order of heats.",
        "Hang the next three heats on the call board. Cards go out two heats ahead.",
        "After each heat: slips A and B side by side. Alike: copy them into What counts. Not alike: both are "
        "kept, and "
        "the marshal decides.",
        "The scorer writes place and points on the score sheet. Every sheet goes into the box, dry, in the "
        "order of heats.",
        "Every hold, withdrawal, protest and changed result is a line in the day's log, with a reason.",
        "When the laptop is back, type the sheets in as the last page says. Nothing on paper is thrown away "
        "before the results "
        "are out.",
    ),
)

WRITING = Section(
    title="Paper in the rain",
    lines=(
        "Soft pencil, on a board with a clip, in a clear bag open at the bottom. Print or copy these on a "
        "laser "
        "printer: ink from a jet runs. (Common practice.)",
        "A mistake is struck out once, so that it can still be read, and initialled. Nothing is rubbed out.",
        "A corner that is lost stays a gap. Write ? and ask; do not fill it from memory.",
    ),
)

WITHDRAWN = Section(
    title="A boat withdraws",
    numbered=True,
    lines=(
        "Heats already raced stand, and the next heat if its cards are out.",
        "Strike the boat out of every later heat. Its lane stays empty. Nobody else moves yet.",
        "Look at each later round by itself. If one of its heats now has two boats fewer than another, one "
        "boat of the "
        "fullest heat moves to the smallest: the one that has met the fewest of those it would now meet. It "
        "takes an "
        "empty lane, if there is one that it has not had.",
        "If all boats of the round fit into one heat fewer, deal the boats of the smallest heat into the "
        "others, "
        "smallest first.",
        "Otherwise change nothing: every change is a crew that must be told.",
        "Write who left, from which heat, why, and every boat that moved, in the day's log. Tell those "
        "crews; mend the board.",
    ),
)

LATE = Section(
    title="A boat comes late",
    lines=(
        "Only with the inspector's and the pit steward's tick. In each round that still has heats to come it "
        "joins the "
        "smallest of them, in an empty lane. If all are full, the round gets one heat more at its end. A "
        "round it missed "
        "counts as not come to the start.",
    ),
)

FINISH = Section(
    title="Finish",
    lines=(
        "A boat has finished when the first part of it crosses the line between the two finish posts, going "
        "forward, "
        "with nobody touching it. Your own class rule, if it says otherwise, comes first.",
        "A and B stand apart and do not talk before both have written.",
        "Write lane numbers, first to last. Together, and neither judge can part them: both lanes in one "
        "box, and the "
        "next box is struck out. Three together: strike out two.",
        "- not started: did not leave when it was let go.   / not finished: left, but did not cross.   x out: "
        "disqualified by the marshal, and the reason in writing.",
        "Not seen: write ? in that box. A judge who did not see does not guess.",
    ),
)

RERUN = Section(
    title="Raced again, protest, correction",
    lines=(
        "A heat is raced again only if something that was nobody's fault spoilt it for a boat: a false start "
        "signal, a "
        "hold during the run, a wave from the retrieval boat. The marshal decides, and writes why.",
        "A protest is said to the marshal before the next heat but one, and written down. The heat counts "
        "until it is ruled on.",
        "A correction is a new line in the log: what was, what is, who, when, why. The old one stays readable.",
    ),
)


def hold_rules(site: SiteLimits | None) -> Section:
    """Hold and all clear, with the clocks of the program and the limits of the site."""
    officer = site.officer if site else "safety officer"
    thunder = AFTER_THUNDER.total_seconds() / 60
    return Section(
        title="Hold and all clear",
        lines=(
            "Anybody may call a hold: whistle three times, arms crossed, and the flag up. Everybody stops; "
            "devices off, "
            "plugs out; the retrieval boat stays or goes in as its crew says.",
            "Who held it clears it. Two holds: both must clear. Then the "
            f"{officer} says all clear, nobody else. Write both times down.",
            f"Lightning, 30/30: thunder within {FLASH_TO_THUNDER:g} seconds of the flash is too near, and "
            "newer advice "
            f"is to go at any thunder. Everybody under cover, nobody at the water. Not before {thunder:g} "
            "minutes after the "
            "last thunder; new thunder starts the clock again.",
            f"A device that should have fired and did not: nobody near it for {MISFIRE.total_seconds():g} "
            "seconds, longer "
            "if its maker says so; then one adult.",
            *_limits(site, officer),
            "Somebody in the water, or hurt: hold at once, first aider, emergency number. Racing does not go "
            "on until "
            f"the {officer} says so.",
        ),
    )


def _limits(site: SiteLimits | None, officer: str) -> tuple[str, ...]:
    if site is None:
        return (
            "The site's limits (write them here before the day): mean wind ______ m/s, gust ______ m/s, heat "
            "______, "
            "water ______.",
        )
    return (
        f"The site's own limits: mean wind {site.wind_mean:.1f} m/s, gust {site.wind_gust:.1f} m/s, heat index "
        f"{site.heat_stop - 273.15:.0f} °C, water not below {site.water_stop - 273.15:.0f} °C. The limits "
        "card of the "
        f"day may be lower, and then it counts. Children to an adult: {site.ratio}. The {officer} decides.",
    )


TYPING = Section(
    title="Typing the sheets in",
    numbered=True,
    lines=(
        "Open type-back.csv in any spreadsheet. It has a line for each heat. Under lanes, type the lane numbers "
        "as they stand in What counts, first to last; nothing else needs typing. Save it as CSV.",
        "Then: skimwright finish --file type-back.csv",
        "A sheet that cannot be read in one place: type ? there. A lane you do not name stays a gap, and its heat "
        "waits until somebody says. Nothing is worked out for you.",
        "A heat may be typed twice. The two are shown side by side, and the first is kept until the marshal "
        "decides. So is a heat that the finish phones have sent differently.",
        "Boats in other lanes than the program thinks, because lots were mended by hand: head the column boats, and "
        "type boat numbers with spaces between.",
    ),
)
EXAMPLES = (
    ("lane 3 first, then 1, 5, 2, 4, 6", "315246", ""),
    ("the same, if there are ten lanes or more", "3 1 5 2 4 6", ""),
    ("3 first, 1 and 5 together, then 2, 4, 6", "31=5246", ""),
    ("then 6 not started, 4 not finished", "3152-6/4", ""),
    ("6 disqualified", "31524x6", "cut lane 5 off"),
    ("second place cannot be read", "3?5246", "torn"),
    ("the heat was not raced", "leave it blank", ""),
)
