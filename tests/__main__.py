"""``python3 -m tests``: set up, then run the tests; what pytest understands is passed on.

``--full`` adds the long runs (more examples, larger loads); ``--setup-only`` stops after setting
up. Standard library only, and syntax that Python 3.7 can read: nothing is installed yet.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Mapping, Sequence

from formulary import bootstrap, starting

_NO_TESSERACT = (
    "Labels won't be read by OCR: tesseract isn't on this machine. On Debian it comes with "
    "apt-get install tesseract-ocr tesseract-ocr-{ara,deu,fra,pol,spa}\n"
)
_OWN_OPTIONS = ("--full", "--setup-only")


def pytest_arguments(arguments: Sequence[str]) -> list[str]:
    """Return what pytest is given: a choice of tests as it is, all of them in two processes."""
    passed_on = [a for a in arguments if a not in _OWN_OPTIONS]
    return passed_on or ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]


def environment_of(arguments: Sequence[str], environment: Mapping[str, str]) -> dict[str, str]:
    """Return the environment of a test run: no screen needed, the long runs only if asked."""
    full = {"MISCE_FULL": "1"} if "--full" in arguments else {}
    return {"QT_QPA_PLATFORM": "offscreen", **environment, **full}


def lacking(arguments: Sequence[str]) -> str:
    """Return what the long runs want of this machine and don't find, as one sentence."""
    if "--full" not in arguments or shutil.which("tesseract"):
        return ""
    return _NO_TESSERACT


def run(arguments: Sequence[str]) -> int:
    """Set up and run the tests; return pytest's exit code."""
    python = bootstrap.prepare(bootstrap.TESTS)
    sys.stderr.write(lacking(arguments))
    if "--setup-only" in arguments:
        return 0
    os.chdir(starting.CLONE)
    command = [python, "-m", "pytest", *pytest_arguments(arguments)]
    return starting.replace_process(command, environment_of(arguments, os.environ))


if __name__ == "__main__":
    sys.exit(bootstrap.told(lambda: run(sys.argv[1:])))
