"""From words on the command line to values, or one sentence saying which word is wrong."""

from __future__ import annotations

import argparse
import difflib
import re
from collections.abc import Sequence
from typing import Any, NoReturn

from skimwright.base import InputError, Where
from skimwright.cli.help import COMMON, usage
from skimwright.cli.verb import Option, Verb


def parse(verb: Verb, words: Sequence[str]) -> dict[str, Any]:
    """Each option of the verb and those of every verb, by name.

    Raises
    ------
    InputError
        A word is unknown, missing, or not what it should be.
    """
    parser = _Parser(verb)
    options = [*verb.options, *COMMON]
    for option in options:
        if option.is_thing:
            parser.add_argument(option.name, nargs="*" if option.many else "?")
        elif option.value:
            parser.add_argument(option.flag, dest=option.name, metavar=option.value)
        else:
            parser.add_argument(option.flag, dest=option.name, action="store_true")
    given = vars(parser.parse_intermixed_args(list(words)))
    if given["help"]:
        return given
    return {option.name: _read(option, given[option.name], verb) for option in options}


def _read(option: Option, said: Any, verb: Verb) -> Any:
    where = Where(field=option.flag)
    if said is None or said == []:
        if option.must:
            raise InputError(
                what="it is missing",
                allowed=option.does,
                do=f"Type `skimwright {usage(verb)}`.",
                where=where,
            )
        return [] if option.many else option.usual
    if isinstance(said, bool):
        return said
    if isinstance(said, list):
        return [option.read(each, where) for each in said]
    return option.read(said, where)


class _Parser(argparse.ArgumentParser):
    """argparse, with our sentences."""

    def __init__(self, verb: Verb) -> None:
        super().__init__(prog=f"skimwright {verb.name}", add_help=False, allow_abbrev=False)
        self._verb = verb

    def error(self, message: str) -> NoReturn:
        """Every fault argparse can find, in a sentence of ours."""
        help_line = f"`skimwright {self._verb.name} --help` lists what there is."
        if found := re.search(r"unrecognized arguments: (.*)", message):
            word = found[1].split()[0].split("=")[0]
            flags = [option.flag for option in (*self._verb.options, *COMMON) if not option.is_thing]
            close = difflib.get_close_matches(word, flags, n=1)
            raise InputError(
                what=f"{self._verb.name} does not know this word",
                got=f'"{word}"',
                do=f"Did you mean {close[0]}?" if close else f"Leave it out; {help_line}",
            )
        if found := re.search(r"argument ([^:]*): expected .*argument", message):
            raise InputError(
                what="a value is missing behind it",
                do=f"Write it after the word, or as {found[1]}=VALUE if it begins with a minus; {help_line}",
                where=Where(field=found[1]),
            )
        raise InputError(
            what=f"{self._verb.name} cannot make out these words", do=f"{help_line.capitalize()}"
        )
