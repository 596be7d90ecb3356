"""``skimwright host``: the workbench, for a browser."""

from __future__ import annotations

from pathlib import Path

from skimwright.base import MissingError
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

DEMO = Path("demo-season") / "season"


def answer(ask: Ask) -> Answer:
    """Show the season until stopped; the demonstration season if there is none."""
    try:
        path = ask.files.season_folder(ask.season_chosen)
    except MissingError:
        if ask.season_chosen is not None:
            raise
        path = _demonstration(ask)
    ask.files.season(str(path))  # a season that cannot be read is refused here, in one sentence
    ask.files.serve(
        path, at_pond=ask.given["pond"], port=ask.given["port"], new_password=ask.given["new_password"],
        copies=Path(ask.given["copies"]) if ask.given["copies"] else None, say=_say,
    )  # fmt: skip
    return Answer(data={"season": str(path), "files": []}, text="Closed.", plain="Closed.")


def _demonstration(ask: Ask) -> Path:
    """The demonstration season as last left in this folder, or laid out anew."""
    if not ask.files.is_file(DEMO / "season.toml"):
        ask.files.copy_demo_season(DEMO)
    _say(f"No season is here: showing the demonstration season, in {DEMO}.")
    return DEMO


def _say(sentence: str) -> None:
    import sys

    print(sentence, file=sys.stderr, flush=True)


VERB = Verb(
    name="host",
    does="show the season in a browser: at a desk, or to phones at the pond",
    tells="Only this computer can open it, unless --pond opens it to the network on purpose: then it prints the "
    "address, a code to scan and the organiser's password, once. Phones get one job each by a code. Without a season "
    "here, the demonstration season is shown. Nothing is fetched from the internet.",
    options=(
        Option(flag="--pond", does="open it to every phone on this network"),
        Option(flag="--new-password", does="with --pond: end the organiser's password and show a new one"),
        Option(flag="--copies", value="DIR", does="a copy of the season there after every report, such as on a stick"),
        Option(
            flag="--port", value="P", does="8080 unless given; 0 takes any that is free",
            read=whole(low=0, high=65535), usual=8080,
        ),
    ),
    example="host --season brackenfold.season --pond",
    answer=answer,
)  # fmt: skip
