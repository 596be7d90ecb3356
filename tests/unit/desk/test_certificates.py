"""Certificates say what the log says, first names only, no place unless wanted."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.base import MissingError
from skimwright.base.drawing import Words
from skimwright.desk import (
    CertificateAsk,
    Certificates,
    Crews,
    day_points,
    make_certificates,
    points_tables,
    read_crews,
    read_entries,
    read_results,
    read_runs,
)
from skimwright.desk.seasons.tables import Row, Rows

DEMO = Path(app.__file__).parent / "demo_season"
SEASON = store.read_season_folder(DEMO)
LOG = store.read_rows(DEMO / "runs.csv")
CREWS = read_crews(store.read_rows(DEMO / "crews.csv"))
ENTRIES = read_entries(store.read_rows(DEMO / "entries.csv"))
POINTS = day_points(
    read_results(store.read_rows(DEMO / "results.csv")), points_tables["powerboat"], entries=ENTRIES
)


def made(
    log: Rows | None = LOG, crews: Crews = CREWS, *, raced: bool = True, **asked: object
) -> Certificates:
    return make_certificates(
        SEASON,
        read_runs(log, SEASON),
        crews,
        POINTS if raced else None,
        CertificateAsk(**asked),  # type: ignore[arg-type]
    )


def words(certificates: Certificates, page: int = 0) -> str:
    return " ".join(mark.text for mark in certificates.pages[page].marks if isinstance(mark, Words))


def test_a_page_for_each_crew_with_first_names_only() -> None:
    every = made()
    assert len(every.pages) == 24
    said = words(every)
    assert "Wren, Tansy and Lowell" in said
    for child in CREWS.children:
        assert f"{child.first_name} {child.initial}" not in said


def test_every_figure_is_that_of_the_log() -> None:
    """Counted anew from the file, without our reader."""
    with (DEMO / "runs.csv").open(encoding="utf8", newline="") as file:
        rows = [
            row for row in csv.DictReader(file) if row["boat"] == "11" and not row["entry"].startswith("corr")
        ]
    said = words(made(boat=11))
    assert f"{len(rows)} runs written down" in said
    assert f"went {max(float(row['distance_m']) for row in rows):.1f} m" in said
    assert f"on {sum(row['ending'] == 'through the gate' for row in rows)} of them" in said
    assert f"{min(float(row['gate_time_s']) for row in rows):.2f} s" in said
    assert "blade 1 deg to port" in said
    assert "0.3 m starboard; after: 2.5 m starboard" in said


def test_no_place_unless_wanted() -> None:
    first = next(one for one in POINTS.groups if one.group == "Rush").standings.rows[0].boat
    assert "Place" not in words(made(boat=first))
    assert "Place 1 of 6 in Rush" in words(made(boat=first, with_place=True))
    without = made(boat=first, with_place=True, raced=False)
    assert "Place" not in words(without)
    assert "no-places" in {finding.code for finding in without.findings}


def test_a_page_for_each_pupil_if_wanted() -> None:
    assert len(made(each_pupil=True).pages) == len(CREWS.children)
    one = made(boat=1, each_pupil=True)
    assert [page.title for page in one.pages] == [
        f"Certificate for {name}" for name in ("Wren", "Tansy", "Lowell")
    ]


def test_without_names_the_boats_name_stands_there() -> None:
    bare = made(boat=7, crews=Crews())
    assert "07 Gravel" in words(bare)
    assert {finding.code for finding in bare.findings} == {"boat-name-instead"}


def test_a_pupil_who_may_have_a_surname_is_left_out_and_asked_about() -> None:
    first, *rest = CREWS.children
    asked = read_crews(
        Rows(
            file="crews.csv",
            columns=("crew", "first_name", "initial"),
            rows=(Row(number=2, cells={"crew": first.crew, "first_name": "Wren Barrowby", "initial": ""}),),
        )
    )
    found = made(boat=1, crews=replace(asked, children=(*asked.children, *rest)))
    assert "Barrowby" not in words(found)
    assert "Tansy and Lowell" in words(found)
    assert "surname-in-roster" in {finding.code for finding in found.findings}


def test_a_crew_without_runs_has_a_page_all_the_same() -> None:
    said = words(made(None, boat=7, raced=False))
    assert "No run was written down." in said
    assert "Not recorded." in said
    assert "gate" not in said


def test_a_second_issue_says_that_it_replaces_the_first() -> None:
    assert "Issue 2; it replaces the one before." in words(made(boat=7, issue=2))


def test_many_runs_and_long_words_stay_on_the_page() -> None:
    cells = dict.fromkeys(LOG.columns, "")
    rows = tuple(
        Row(
            number=n + 2,
            cells=cells
            | {"boat": "9", "run": str(n + 1), "time": f"2027-04-{n + 1:02d}T10:00:00", "distance_m": f"{30 + n}",
               "gate_time_s": "5.1", "drift_m": "1.0", "ending": "through the gate", "guess": "through the gate",
               "change": "a very long account of what was mended at the bow and why it should help " * 3},
        )
        for n in range(25)
    )  # fmt: skip
    for paper in ("a4", "letter"):
        found = made(replace(LOG, rows=rows), boat=9, with_place=True, paper=paper)
        (page,) = found.pages
        lowest = max(mark.at[1] for mark in page.marks if isinstance(mark, Words))
        assert lowest <= page.height - 15
        graph = [
            mark.at[1] for mark in page.marks if isinstance(mark, Words) and mark.text.startswith("run ")
        ]
        assert len(graph) == 10
        assert max(graph) < page.height - 38
        small = min((mark.size, mark.text) for mark in page.marks if isinstance(mark, Words))
        assert small[0] >= 2.1, small


@pytest.mark.parametrize("asked, says", [({"boat": 99}, "no boat 99"), ({"group": "Rsh"}, "no such group")])
def test_who_is_not_there_is_named(asked: dict[str, object], says: str) -> None:
    with pytest.raises(MissingError, match=says):
        made(**asked)
