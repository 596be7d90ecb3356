"""How long a class set takes: 24 sheets with their keys, from the season's files to two PDFs.

Run: ``python -m bench.lesson``
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from skimwright import app

DEMO = Path(app.__file__).parent / "demo_season"
PROMISED = 10.0  # [s] of processor


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        begin, clock = time.process_time(), time.perf_counter()
        app.run(["lesson", "--group", "all", "--key", "--season", str(DEMO), "--out", folder, "--plain"])
        used, passed = time.process_time() - begin, time.perf_counter() - clock
    print(
        f"24 sheets with keys: {used:.2f} s of processor, {passed:.2f} s by the clock; promised {PROMISED:g} s"
    )


if __name__ == "__main__":
    main()
