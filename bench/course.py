"""How long the course takes: laying many paths over the pond, and making them.

Run: ``python -m bench.course``            (paths made up, geometry only)
     ``python -m bench.course --model``    (paths from the run model, whole entry list)
"""

from __future__ import annotations

import argparse
import math
import time
from pathlib import Path

import numpy as np

from skimwright import desk, paper, store
from skimwright.course import Fleet, compare_headings, fleet_paths
from skimwright.course.paths import Runner

HERE = Path(__file__).parents[1] / "src" / "skimwright" / "demo_season"
HEADINGS = tuple(math.radians(d) for d in range(60, 120, 5))


def made_up(runs: int, boats: int) -> Fleet:
    """Curved runs with three hooks in a hundred, 60 moments each."""
    rng = np.random.default_rng(1)
    turn, curve = rng.normal(0, 0.05, runs), rng.normal(0, 0.0015, runs)
    hooked = rng.random(runs) < 0.03
    curve[hooked] = rng.uniform(0.01, 0.06, hooked.sum()) * rng.choice([-1, 1], hooked.sum())
    piece = rng.normal(48, 5, runs)[:, None] / 60
    angle = turn[:, None] + curve[:, None] * piece * np.arange(60)
    spots = np.cumsum(np.stack([piece * np.cos(angle), piece * np.sin(angle)], axis=2), axis=1)
    zeros = np.zeros(runs)
    return Fleet(
        heading=math.radians(95), labels=tuple(f"boat {n}" for n in range(boats)), groups=("all",) * boats,
        lengths=np.full(boats, 0.62), boat=np.sort(np.arange(runs) % boats), spots=spots, carried=hooked,
        flipped=zeros > 1, ended=spots[:, -1], bound=np.where(hooked, 20.0, 0.0), coasting=zeros,
        limits=np.full(boats, 11.0), fastest=np.full(boats, 8.0),
    )  # fmt: skip


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--model", action="store_true", help="make the paths with the run model")
    ask.add_argument("--runs", type=int, default=20_000)
    given = ask.parse_args()
    season = store.read_season_folder(HERE)
    pond, start, total = season.pond, season.site.start, 0.0
    assert pond is not None
    if given.model:
        runners = [
            Runner(
                label=e.label, group=e.group, question=desk.question_about(season, e, runs=119, seed=30480)
            )
            for e in season.ready
        ]
        begun = time.perf_counter()
        fleet = fleet_paths(
            runners, heading=season.conditions.heading, runs=math.ceil(given.runs / len(runners))
        )
        total += time.perf_counter() - begun
        print(
            f"{fleet.runs} runs of {len(runners)} boats made in {total:.1f} s: {fleet.runs / total:.0f} a second"
        )
    else:
        fleet = made_up(given.runs, 23)
    begun = time.perf_counter()
    compare_headings(pond, [fleet], start=start, headings=HEADINGS, lanes=6, spacing=2.5, day=season.regatta)
    laid = time.perf_counter() - begun
    print(
        f"{fleet.runs} paths laid along {len(HEADINGS)} headings in {laid:.2f} s; with the making {total + laid:.1f} s"
    )
    question = desk.CourseQuestion(start=start, heading=season.conditions.heading, headings=HEADINGS)
    plan = desk.lay_course(season, pond, question, [fleet])
    begun = time.perf_counter()
    paper.svg(desk.course_map(plan))
    print(f"map redrawn in {time.perf_counter() - begun:.3f} s")


if __name__ == "__main__":
    main()
