"""What every test may use: the demonstration kits and devices, and compiled code that is never stale."""

import hashlib
import os
import shutil
import tomllib
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "skimwright"
MARKS = (b"njit", b"lanes")


def _numba_cache() -> Path:
    """A folder named after all compiled sources together.

    Numba looks only at the file a kernel stands in: after an edit of a law in another file it would go on
    using the old kernel.  So the folder changes with every one of those files.
    """
    digest = hashlib.sha256()
    for path in sorted(SOURCE.rglob("*.py")):
        text = path.read_bytes()
        if any(mark in text for mark in MARKS):
            digest.update(path.relative_to(SOURCE).as_posix().encode() + b"\0" + text + b"\0")
    return Path(__file__).parent / "__pycache__" / f"numba-{digest.hexdigest()[:16]}"


def _forget_old(folder: Path, *, keep: int = 6) -> None:
    """Leave the newest few: somebody else may be testing an older state just now."""
    folder.mkdir(parents=True, exist_ok=True)
    os.utime(folder)
    others = sorted(folder.parent.glob("numba-*"), key=lambda path: path.stat().st_mtime)
    for path in others[:-keep]:
        shutil.rmtree(path, ignore_errors=True)


CACHE = _numba_cache()
_forget_old(CACHE)
os.environ["NUMBA_CACHE_DIR"] = str(CACHE)  # before anything below brings numba in

from skimwright.boat import read_kit_table  # noqa: E402
from skimwright.physics.thrust import read_device_table  # noqa: E402


def _tables(folder: str) -> dict[str, dict]:
    files = sorted((SOURCE / "demo_season" / folder).glob("*.toml"))
    return {path.stem: tomllib.loads(path.read_text("utf8")) for path in files}


@pytest.fixture(scope="session")
def kits():
    """The three demonstration kits by file stem: fold-50, fold-62, fold-74."""
    return {stem: read_kit_table(table, file=f"{stem}.toml") for stem, table in _tables("kits").items()}


@pytest.fixture(scope="session")
def devices():
    """The demonstration devices by file stem: whirr-5, lantern-2, hiss, tug, …"""
    return {stem: read_device_table(table, file=f"{stem}.toml") for stem, table in _tables("devices").items()}
