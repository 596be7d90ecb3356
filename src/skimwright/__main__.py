"""``skimwright`` and ``python -m skimwright``."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line; the exit status is returned."""
    from skimwright.app import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
