"""The same kernel in C, built here and now, and the questions both are asked.

C is the yardstick: eight lanes with the compiler's vector types, the same polynomials, the same stepping.
It takes its rows and its scene from the program's own lists, so it cannot fall behind them unseen.
"""

from __future__ import annotations

import ctypes
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import get_type_hints

import numpy as np
from numpy.typing import NDArray

from skimwright.run import Ensemble
from skimwright.run.forces import RUN_ROWS, STRIP_ROWS, Scene
from skimwright.run.stepping import RESULTS

Array = NDArray[np.float64]
KERNEL = Path(__file__).with_name("kernel")
COMPILERS = ("gcc", "cc")
VARIANTS: Mapping[str, tuple[str, ...]] = {
    "C strict": ("-O3", "-march=native", "-fno-math-errno"),
    "C fast-math": ("-O3", "-march=native", "-ffast-math"),
}


class CKernel:
    """The C kernel in one variant; call it like ``stepping.run_all``."""

    def __init__(self, variant: str) -> None:
        compiler = next((found for name in COMPILERS if (found := shutil.which(name))), None)
        if compiler is None:
            raise FileNotFoundError("no C compiler here: the rows beside C are left out")
        self._folder = tempfile.TemporaryDirectory(prefix="bench-kernel-")
        folder = Path(self._folder.name)
        (folder / "rows.h").write_text(header(), "utf8")
        command = [compiler, *VARIANTS[variant], "-fopenmp", "-shared", "-fPIC", "-I", str(folder)]
        source, made = KERNEL / "stepping.c", folder / "stepping.so"
        subprocess.run([*command, "-o", str(made), str(source), "-lm"], check=True)
        self._run_all = ctypes.CDLL(str(made)).run_all

    def run_all(self, ready: Ensemble, *, threads: int, piece: int) -> Array:
        """Results (runs, RESULTS) of every run."""
        results = np.full((len(ready.rows), RESULTS), np.nan)
        kept, scene = scene_bytes(ready.scene)
        refused = self._run_all(
            _pointer(ready.rows), _pointer(ready.strips), ctypes.c_int(ready.count), scene,
            _pointer(results), ctypes.c_int(len(results)), ctypes.c_int(piece), ctypes.c_int(threads),
        )  # fmt: skip
        assert not refused, "more strips than the C kernel has room for"
        del kept  # the tables had to live until here
        return results


def _pointer(array: Array) -> ctypes.c_void_p:
    assert array.dtype == np.float64
    assert array.flags.c_contiguous
    return ctypes.c_void_p(array.ctypes.data)


def header() -> str:
    """rows.h: rows of a run, rows of a strip and the scene, from the program's own lists."""
    runs = ", ".join(f"R_{name.upper()}" for name in RUN_ROWS)
    strips = ", ".join(f"S_{name.upper()}" for name in STRIP_ROWS)
    fields = "\n".join(_c_field(name, kind) for name, kind in get_type_hints(Scene).items())
    return f"enum {{ {runs}, RUN_ROWS }};\nenum {{ {strips}, PER_STRIP }};\nstruct scene {{\n{fields}\n}};\n"


def _c_field(name: str, kind: object) -> str:
    if kind is float:
        return f"    double {name};"
    if kind is int:
        return f"    long long {name};"
    return f"    const double *{name}; long long {name}_len;"


def scene_bytes(scene: Scene) -> tuple[list[Array], ctypes.Array[ctypes.c_char]]:
    """A scene as that struct; every member is eight bytes, so there are no gaps.  Keep the first part alive."""
    kept: list[Array] = []
    raw = b""
    for (_, kind), value in zip(get_type_hints(Scene).items(), scene, strict=True):
        if kind is float:
            raw += np.float64(value).tobytes()
        elif kind is int:
            raw += np.int64(value).tobytes()
        else:
            table = np.ascontiguousarray(value, dtype=np.float64)
            kept.append(table)
            raw += np.array([table.ctypes.data, len(table)], dtype=np.int64).tobytes()
    return kept, ctypes.create_string_buffer(raw, len(raw))
