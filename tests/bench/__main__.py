"""``python3 -m tests.bench``: print every figure as a ratio to its floor."""

from __future__ import annotations

import os
import sys

from formulary import bootstrap, starting


def run() -> int:
    """Set up, then measure in the venv's Python."""
    python = bootstrap.prepare(bootstrap.TESTS)
    os.chdir(starting.CLONE)
    environment = {"QT_QPA_PLATFORM": "offscreen", **os.environ}
    command = [python, "-m", "tests.bench.figures", *sys.argv[1:]]
    return starting.replace_process(command, environment)


if __name__ == "__main__":
    sys.exit(bootstrap.told(run))
