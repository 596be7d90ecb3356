"""Help in plain words, made from the verbs; ``docs/cli.md`` is made from the same."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from skimwright.cli.verb import Option, Verb

WIDTH = 96
COMMON = (
    Option(
        flag="--season",
        value="FILE",
        does="the season, NAME.season or a folder; else SKIMWRIGHT_SEASON, else the only one here",
    ),
    Option(flag="--json", does="the answer as one JSON object and nothing else"),
    Option(flag="--plain", does="the answer as one line"),
    Option(flag="--progress", does="say how far it has come even when nobody watches a screen"),
    Option(flag="--debug", does="show the whole trace of a fault of the program"),
    Option(flag="--help", does="this page"),
)


def front_page(shelves: Mapping[str, Sequence[Verb]]) -> str:
    """What ``skimwright --help`` prints."""
    wide = max(len(verb.name) for verbs in shelves.values() for verb in verbs)
    lines = [
        "skimwright: what this foam-board boat, as built, will do on the water, and what to change.",
        "",
        "  skimwright VERB [THING] [options]",
        *(
            line
            for shelf, verbs in shelves.items()
            for line in ("", shelf, *(f"  {verb.name:<{wide}}  {verb.does}" for verb in verbs))
        ),
        "",
        "`skimwright VERB --help` tells more about a verb; `skimwright --version` says which edition this is.",
    ]
    return "\n".join(lines)


def verb_page(verb: Verb) -> str:
    """What ``skimwright VERB --help`` prints."""
    things, options = split(verb.options)
    lines = [
        f"  skimwright {usage(verb)}",
        "",
        f"{verb.does[0].upper()}{verb.does[1:].rstrip('?')}{'?' if verb.does.endswith('?') else '.'}",
    ]
    if verb.tells:
        lines += ["", textwrap.fill(verb.tells, WIDTH)]
    lines += ["", *_list([*things, *options]), "", "With every verb:", *_list(COMMON)]
    if verb.example:
        lines += ["", f"For example: `skimwright {verb.example}`"]
    return "\n".join(line for line in lines)


def usage(verb: Verb) -> str:
    """``shape KIT [options]``."""
    things, options = split(verb.options)
    words = [thing.flag + ("..." if thing.many else "") for thing in things]
    words = [word if thing.must else f"[{word}]" for word, thing in zip(words, things, strict=True)]
    return " ".join([verb.name, *words, *(["[options]"] if options else [])])


def split(options: Sequence[Option]) -> tuple[list[Option], list[Option]]:
    """Things, and options proper."""
    return [o for o in options if o.is_thing], [o for o in options if not o.is_thing]


def _list(options: Sequence[Option]) -> list[str]:
    names = [f"{option.flag} {option.value}".strip() for option in options]
    wide = max(map(len, names), default=0)
    return [
        textwrap.fill(
            option.does, WIDTH, initial_indent=f"  {name:<{wide}}  ", subsequent_indent=" " * (wide + 4)
        )
        for name, option in zip(names, options, strict=True)
    ]


def commands_page(shelves: Mapping[str, Sequence[Verb]]) -> str:
    """``docs/cli.md``."""
    lines = [
        "# Commands",
        "",
        "Made from the commands' own help: `python -m skimwright.cli > docs/cli.md`; a test says when it is stale.",
        "",
        "Exit status: 0 done; 2 something typed or written is wrong, and one sentence says what; 1 it could not",
        "be done; 130 stopped by Ctrl-C. Another unit may stand behind a number: `--mass-g 9.5oz`.",
        "",
        "```",
        front_page(shelves),
        "```",
    ]
    for verb in (verb for verbs in shelves.values() for verb in verbs):
        lines += ["", f"## {verb.name}", "", "```", verb_page(verb), "```"]
    return "\n".join(lines) + "\n"
