"""How long floating takes: one evaluation and one whole rest, beside a general mesh library in the same run."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import trimesh

from skimwright.boat import Shell
from skimwright.physics.flotation import rest_attitude
from skimwright.physics.hydrostatics import N_SUMS, clip, displacement

TRIM, HEEL, SINKAGE = -0.026, 0.05, 0.02
_PROFILES = [  # corners (x, z) and sides y of hull and sponsons, about Fold 62
    ([(0, 0.072), (0, 0.067), (0.05, 0.034), (0.62, 0), (0.62, 0.072)], -0.08, 0.08),
    ([(0.05, 0.072), (0.05, 0.034), (0.21, 0.0049), (0.28, 0), (0.28, 0.072)], 0.081, 0.14),
    ([(0.05, 0.072), (0.05, 0.034), (0.21, 0.0049), (0.28, 0), (0.28, 0.072)], -0.14, -0.081),
]


def measure() -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    mesh = _three_bodies()
    shell = Shell(vertices=mesh.vertices, triangles=mesh.faces.astype(np.int64))
    room, sums = np.empty_like(shell.vertices), np.empty(N_SUMS)
    vertices, triangles = np.ascontiguousarray(shell.vertices), np.ascontiguousarray(shell.triangles)
    place = trimesh.transformations.euler_matrix(-HEEL, TRIM, 0.0)
    place[2, 3] = -SINKAGE

    def kernel() -> None:
        clip(vertices, triangles, -SINKAGE, TRIM, HEEL, room, sums)

    def call() -> None:
        displacement(shell, sinkage=SINKAGE, trim=TRIM, heel=HEEL)

    def rest() -> None:
        rest_attitude(shell, mass=0.269, centre=np.array([0.3455, 0, 0.0456]), water_density=999.1)

    def library() -> None:
        for body in bodies:
            placed = body.copy()
            placed.apply_transform(place)
            piece = placed.slice_plane((0, 0, 0), (0, 0, -1), cap=True)
            _ = piece.volume, piece.center_mass

    bodies = mesh.split()
    once = _seconds(kernel, 2000)
    name = f"{len(triangles)} triangles"
    return [
        (f"one clipping, {name}", once * 1e6, "us"),
        (f"one displacement with its centres, {name}", _seconds(call, 1000) * 1e6, "us"),
        (f"rest attitude with 41 righting arms, {name}", _seconds(rest, 10) * 1e3, "ms"),
        ("mesh library's slice, times our clipping", _seconds(library, 5) / once, "x"),
    ]


def _three_bodies() -> trimesh.Trimesh:
    bodies = []
    for corners, left, right in _PROFILES:
        points = np.array([(x, y, z) for y in (left, right) for x, z in corners])
        body = trimesh.convex.convex_hull(points)
        bodies.append(body.subdivide().subdivide())
    return trimesh.util.concatenate(bodies)


def _seconds(work: Callable[[], None], times: int) -> float:
    """The middle one of five rounds, per call, after a call to warm up."""
    work()
    rounds = []
    for _ in range(5):
        start = time.perf_counter()
        for _ in range(times):
            work()
        rounds.append((time.perf_counter() - start) / times)
    return sorted(rounds)[2]


if __name__ == "__main__":
    for what, number, unit in measure():
        print(f"{what}: {number:.4g} {unit}")
