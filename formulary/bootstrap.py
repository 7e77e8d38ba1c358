"""Set up a clone on a bare machine: system libraries, an environment of its own, pinned packages.

Shared by ``python3 -m formulary`` and ``python3 -m tests``. Nothing is installed yet when this
runs, perhaps not even a Python that is new enough: standard library only, syntax that Python 3.7
can read, and plain English instead of the catalogue.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from formulary import starting

OLDEST_PYTHON = (3, 11)
NOT_READY = 3

#: What Qt loads from the system, with the Debian package that has it; first for any drawing,
#: then for a window on a real screen.
DRAWING = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgssapi_krb5.so.2": "libgssapi-krb5-2",
}
SCREEN = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}


class NotReady(Exception):
    """This machine can't run Misce yet; the text says what to do."""


@dataclass(frozen=True)
class Purpose:
    """What is to be started, and what that needs beyond Python and the pinned packages."""

    name: str
    libraries: Mapping[str, str]
    extra: str = ""
    database_server: bool = False


COMMAND = Purpose("command", {})
PICTURE = Purpose("picture", DRAWING)
WINDOW = Purpose("window", {**DRAWING, **SCREEN})
TESTS = Purpose("tests", DRAWING, extra="[test]", database_server=True)


def loads(soname: str) -> bool:
    """Whether the system has this shared library."""
    try:
        ctypes.CDLL(soname)
    except OSError:
        return False
    return True


def run_quietly(command: Sequence[str]) -> None:
    """Run a tool of the set-up; its output shows only when it fails."""
    done = subprocess.run(
        command,
        check=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
    )
    if done.returncode:
        said = done.stdout.decode(errors="replace").splitlines()[-12:]
        raise NotReady("\n".join([*said, "", f"Setting up stopped at: {' '.join(command)}"]))


def say(sentence: str) -> None:
    """Tell the person what is going on, apart from any command's own output."""
    print(sentence, file=sys.stderr, flush=True)


@dataclass(frozen=True)
class Machine:
    """This computer as the set-up sees it; a test hands in another."""

    python: tuple[int, ...] = sys.version_info[:2]
    linux: bool = sys.platform == "linux"
    apt: bool = bool(shutil.which("apt-get"))
    root: bool = hasattr(os, "geteuid") and os.geteuid() == 0
    ci: bool = os.environ.get("CI") == "true"
    postgres: bool = any(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    ensurepip: bool = importlib.util.find_spec("ensurepip") is not None
    loads: Callable[[str], bool] = loads
    run: Callable[[Sequence[str]], None] = run_quietly
    say: Callable[[str], None] = say


def refuse_old_python(version: Sequence[int]) -> None:
    """Raise NotReady, with what to do, for a Python that can't run Misce."""
    if tuple(version[:2]) < OLDEST_PYTHON:
        raise NotReady(
            "Misce needs Python {}.{} or newer, and this is Python {}.{}. Install a newer one and "
            "start again with it, for example: python3.13 -m formulary".format(
                *OLDEST_PYTHON, *version[:2]
            )
        )


def lacking(purpose: Purpose, machine: Machine) -> dict[str, str]:
    """Return what the system lacks for this purpose, each with the Debian package that has it."""
    if not machine.linux:
        return {}
    found = {name: deb for name, deb in purpose.libraries.items() if not machine.loads(name)}
    if not machine.ensurepip:
        found["Python's ensurepip"] = "python{}.{}-venv".format(*machine.python)
    if purpose.database_server and machine.ci and machine.root and not machine.postgres:
        found["PostgreSQL's initdb"] = "postgresql"
    return found


def complete_system(missing: Mapping[str, str], machine: Machine) -> None:
    """Install what the system lacks, or raise NotReady with the line that does."""
    if not missing:
        return
    if not machine.apt:
        raise NotReady(
            "Misce needs these parts of the system, which aren't there: "
            + ", ".join(missing)
            + ". Install the packages of your system that have them, then start again."
        )
    install = ["apt-get", "install", "-y", "--no-install-recommends", *sorted(missing.values())]
    if not machine.root:
        raise NotReady(
            "Misce needs some system packages. Install them with this line, then start again:\n"
            "sudo " + " ".join(install)
        )
    machine.say("Installing system packages: {} ...".format(", ".join(install[4:])))
    machine.run(["apt-get", "update"])
    machine.run(install)


class Environment:
    """The clone's own environment, ``.venv``, and the stamp that says what it is ready for.

    The stamp is taken away before anything changes and written last. So an environment without
    one was left half built and is built anew, and one with the right stamp is used as it is.
    """

    def __init__(self, clone: Path, machine: Machine) -> None:
        self.folder = clone / ".venv"
        self.python = self.folder.joinpath(
            *(("Scripts", "python.exe") if os.name == "nt" else ("bin", "python"))
        )
        self._clone = clone
        self._machine = machine
        self._stamp = self.folder / "misce-is-ready"
        self._place = "{} {}.{}".format(clone, *machine.python)

    def make_ready(self, purpose: Purpose) -> None:
        """Bring the system and the environment to what the purpose needs."""
        ready = self._ready_for()
        if purpose.name in ready:
            return
        complete_system(lacking(purpose, self._machine), self._machine)
        if not ready or (purpose.extra and purpose.extra not in ready):
            self._install(purpose.extra)
        names = {"", *ready, purpose.name, purpose.extra} - {""}
        self._stamp.write_text("\n".join([self._place, self._pins(), *sorted(names)]) + "\n")

    def _ready_for(self) -> list[str]:
        """Return the purposes and extras that today's pins are installed for."""
        place, pins, *ready = [*self._lines(), "", ""]
        return [r for r in ready if r] if (place, pins) == (self._place, self._pins()) else []

    def _lines(self) -> list[str]:
        if not (self._stamp.is_file() and self.python.exists()):
            return []
        return self._stamp.read_text().splitlines()

    def _pins(self) -> str:
        """Return the hash of what decides which packages are installed."""
        named = (self._clone / name for name in ("pyproject.toml", "constraints.txt"))
        return hashlib.sha256(b"\0".join(path.read_bytes() for path in named)).hexdigest()

    def _install(self, extra: str) -> None:
        """Install Misce and the pinned packages, anew unless a sound environment is there."""
        self._machine.say("Setting up (first start only, about a minute) ...")
        if self._lines()[:1] != [self._place]:
            self._machine.run([sys.executable, "-m", "venv", "--clear", str(self.folder)])
        if self._stamp.exists():
            self._stamp.unlink()
        pip = [str(self.python), "-m", "pip", "install", "--disable-pip-version-check"]
        pins = ["-c", str(self._clone / "constraints.txt")]
        self._machine.run([*pip, *pins, "-e", str(self._clone) + extra])


def prepare(purpose: Purpose, clone: Path = starting.CLONE, machine: Machine | None = None) -> str:
    """Make this clone ready for the purpose and return the Python to start.

    Raises NotReady. Inside the clone's own environment, and where Misce was installed from a
    wheel, everything is there already.
    """
    here = machine or Machine()
    refuse_old_python(here.python)
    environment = Environment(clone, here)
    if not (clone / "pyproject.toml").is_file() or Path(sys.prefix).resolve() == environment.folder:
        return sys.executable
    environment.make_ready(purpose)
    return str(environment.python)


def purpose_of(arguments: Sequence[str], environment: Mapping[str, str]) -> Purpose:
    """Return what these arguments ask for; without a screen a window needs nothing from Qt."""
    if starting.wants_picture(arguments):
        return PICTURE
    if starting.wants_window(arguments) and starting.has_screen(environment):
        return WINDOW
    return COMMAND


def told(act: Callable[[], int]) -> int:
    """Do the act; if this machine isn't ready or the person stops it, say so in a sentence."""
    try:
        return act()
    except NotReady as reason:
        say(str(reason))
        return NOT_READY
    except KeyboardInterrupt:
        say("Stopped. The next start sets up again.")
        return 130


def start_program(arguments: Sequence[str]) -> int:
    """Set up if need be, then start the window or a command."""
    purpose = purpose_of(arguments, os.environ)
    return told(lambda: starting.start(arguments, python=prepare(purpose)))
