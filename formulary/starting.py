"""Start the window or the command line, each as a process of its own.

So the trade never imports the window. :mod:`formulary.bootstrap` uses this module before anything
is installed: standard library only, syntax that Python 3.7 can read, and plain English, since no
catalogue can be relied upon yet.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

CLONE = Path(__file__).resolve().parent.parent

#: Each takes one value, the flags none. Any other argument belongs to the command line.
_WINDOW_OPTIONS = ("--formulary", "--picture", "--size", "--page", "--type-percent")
_WINDOW_FLAGS = ("--ask", "--dark")

#: Qt's platforms that draw on a screen; the others (offscreen, minimal, vnc, ...) need none.
_SCREEN_PLATFORMS = ("", "xcb", "wayland", "wayland-egl")

_NO_SCREEN = """\
There is no screen here (neither DISPLAY nor WAYLAND_DISPLAY is set), so the window can't open.
What works without one:
  {misce} find TEXT              look up a formula from the command line
  {misce} --picture window.png   draw the window into a file
"""


def in_clone() -> bool:
    """Whether this runs from a clone of the project, not from an installed wheel."""
    return (CLONE / "pyproject.toml").is_file()


def wants_window(arguments: Sequence[str]) -> bool:
    """Whether these arguments ask for the window: none at all, or only the window's options."""
    rest = list(arguments)
    while rest:
        option, given, _ = rest.pop(0).partition("=")
        if option in _WINDOW_FLAGS:
            continue
        if option not in _WINDOW_OPTIONS or not (given or rest):
            return False
        if not given:
            rest.pop(0)
    return True


def wants_picture(arguments: Sequence[str]) -> bool:
    """Whether the window is to be drawn into a file instead of shown."""
    return wants_window(arguments) and any(a.split("=")[0] == "--picture" for a in arguments)


def has_screen(environment: Mapping[str, str], platform: str = sys.platform) -> bool:
    """Whether Qt has somewhere to draw; without a screen it would abort, not raise."""
    if platform in ("win32", "darwin"):
        return True
    qt_platform = environment.get("QT_QPA_PLATFORM", "").split(":")[0].split(";")[0]
    if qt_platform not in _SCREEN_PLATFORMS:
        return True
    return bool(environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"))


def replace_process(command: Sequence[str], environment: Mapping[str, str]) -> int:
    """Run ``command`` in place of this process; return its exit code where that can't be done."""
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name != "nt":
        os.execve(command[0], list(command), dict(environment))  # noqa: S606 - a list, and no shell
    return subprocess.call(command, env=dict(environment))


def start_window(
    arguments: Sequence[str],
    *,
    python: str = sys.executable,
    environment: Mapping[str, str] = os.environ,
    replace: Callable[[Sequence[str], Mapping[str, str]], int] = replace_process,
) -> int:
    """Start the window, or say why it can't open and return 1.

    On POSIX a window that starts takes the place of this process, so nothing comes back; a test
    hands in another ``replace``.
    """
    if wants_picture(arguments):
        environment = {**environment, "QT_QPA_PLATFORM": "offscreen"}
    if not has_screen(environment):
        misce = "python3 -m formulary" if in_clone() else "misce"
        print(_NO_SCREEN.format(misce=misce), end="", file=sys.stderr)
        return 1
    return replace([python, "-P", "-m", "ui", *arguments], environment)


def start(
    arguments: Sequence[str],
    *,
    python: str = sys.executable,
    environment: Mapping[str, str] = os.environ,
    replace: Callable[[Sequence[str], Mapping[str, str]], int] = replace_process,
) -> int:
    """Start what these arguments ask for: the window, or a command without one."""
    if wants_window(arguments):
        return start_window(arguments, python=python, environment=environment, replace=replace)
    return replace([python, "-P", "-m", "formulary.command_line", *arguments], environment)
