"""From words typed to an answer printed and an exit status: the same way for every verb."""

from __future__ import annotations

import difflib
import json
import os
import sys
import tempfile
import traceback
import uuid
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from skimwright import __version__
from skimwright.base import InputError, SkimwrightError
from skimwright.cli.help import front_page, verb_page
from skimwright.cli.parse import parse
from skimwright.cli.progress import Progress
from skimwright.cli.show import show_finding
from skimwright.cli.verb import Answer, Ask, Files, Verb
from skimwright.cli.verbs import all_verbs, shelved_verbs

STOPPED = 130  # as shells report Ctrl-C


def run(argv: Sequence[str], *, files: Files) -> int:
    """Answer one command line.

    Parameters
    ----------
    argv : sequence of str
        The words behind ``skimwright``.
    files : Files
        What stands between the verbs and the disk.

    Returns
    -------
    int
        0 done, 2 bad input, 1 could not, 130 stopped; every failure says one sentence on standard error.
    """
    words = list(argv)
    try:
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="replace")  # an old terminal shows ? and goes on
        return _run(words, files)
    except SkimwrightError as error:
        sentence = error.sentence()
        has_place = bool(str(error.where))  # a file's name keeps its own letters
        begins = sentence[0] if has_place else sentence[0].upper()
        return _say(begins + sentence[1:], error.exit_status)
    except KeyboardInterrupt:
        return _say("Stopped. Nothing half done was kept.", STOPPED)
    except BrokenPipeError:  # the reader, such as `head`, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as fault:
        if "--debug" in words:
            raise
        return _say(_report(fault, words), 1)


def _run(words: list[str], files: Files) -> int:
    verbs = all_verbs()
    if not words or words[0] in ("--help", "-h", "help"):
        verb = verbs.get(words[1]) if len(words) > 1 else None
        print(verb_page(verb) if verb else front_page(shelved_verbs()))
        return 0
    if words[0] == "--version":
        print(f"skimwright {__version__}")
        return 0
    verb = _verb(words[0], verbs)
    given = parse(verb, ["--help" if word == "-h" else word for word in words[1:]])
    if given["help"]:
        print(verb_page(verb))
        return 0
    answer = _answer(verb, given, files)
    if given["json"]:
        print(json.dumps(answer.data, ensure_ascii=False, allow_nan=False, default=_plain))
    else:
        print(answer.plain if given["plain"] else _with_findings(answer))
    sys.stdout.flush()
    return answer.status


def _verb(word: str, verbs: dict[str, Verb]) -> Verb:
    if word in verbs:
        return verbs[word]
    close = difflib.get_close_matches(word.casefold(), verbs, n=1, cutoff=0.5)
    raise InputError(
        what="there is no such verb",
        got=f'"{word}"',
        allowed=", ".join(verbs),
        do=f"Did you mean `{close[0]}`?" if close else "`skimwright --help` says what each of them does.",
    )


def _answer(verb: Verb, given: dict[str, Any], files: Files) -> Answer:
    is_terminal = sys.stderr.isatty()
    progress = Progress(sys.stderr if is_terminal or given["progress"] else None, is_terminal=is_terminal)
    try:
        return verb.answer(Ask(given=given, files=files, progress=progress, season_chosen=given["season"]))
    finally:
        progress.close()


def _with_findings(answer: Answer) -> str:
    return "\n".join([answer.text, *(["", *map(show_finding, answer.findings)] if answer.findings else [])])


def _plain(value: Any) -> Any:
    """Numbers and lists of other libraries as plain ones."""
    if hasattr(value, "tolist"):
        return value.tolist()
    raise TypeError(f"cannot put {type(value).__name__} into JSON")


def _say(sentence: str, status: int) -> int:
    print(" ".join(sentence.split()), file=sys.stderr)
    return status


def _report(fault: Exception, words: list[str]) -> str:
    """Keep the trace of a fault of ours, and a sentence with its number."""
    number = uuid.uuid4().hex[:6]
    path = Path(tempfile.gettempdir()) / f"skimwright-{number}.log"
    kept = "add --debug to see its trace"
    try:
        path.write_text(
            f"skimwright {__version__}: {words}\n{''.join(traceback.format_exception(fault))}", "utf8"
        )
        kept = f"its trace is in {path}"
    except OSError:
        pass
    return (
        f"Skimwright met a fault of its own, number {number}, and could not answer; {kept}. Please report it."
    )
