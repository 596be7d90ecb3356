from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from skimwright import app

DEMO = Path(app.__file__).parent / "demo_season"


@dataclass(frozen=True)
class Said:
    """What one command line brought about."""

    status: int
    out: str
    err: str


Say = Callable[..., Said]


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Say:
    """Runs the real command line in this process."""
    monkeypatch.delenv("SKIMWRIGHT_SEASON", raising=False)

    def run(*words: str) -> Said:
        capsys.readouterr()
        status = app.run(list(words))
        captured = capsys.readouterr()
        return Said(status, captured.out, captured.err)

    return run


@pytest.fixture
def season(tmp_path: Path) -> Path:
    """A copy of the demonstration season that a test may spoil."""
    return Path(shutil.copytree(DEMO, tmp_path / "season"))
