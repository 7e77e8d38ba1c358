"""A throw-away PostgreSQL server, reached through a socket in a temporary folder, never by TCP."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_OPTIONS = "-c listen_addresses='' -c fsync=off -c full_page_writes=off -c max_connections=60"


def programs() -> Path | None:
    """Return the folder with the server's programs: the newest of Debian's, or that on PATH."""
    installed = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"),
        key=lambda program: float(program.parts[-3]),
    )
    on_path = shutil.which("initdb")
    found = installed[-1] if installed else Path(on_path) if on_path else None
    return None if found is None else found.resolve().parent


def engines() -> list[str]:
    """Return what the store's tests run on; without a server's programs CI fails later, aloud."""
    wanted = programs() is not None or os.environ.get("CI") == "true"
    return ["memory", "sqlite", *(["postgres"] if wanted else [])]


@contextmanager
def server() -> Iterator[str]:
    """Run a server of its own and give the URL of one of its databases, up to ``/`` and name.

    Its files go away with it. As root it runs as ``postgres``, since it refuses root.
    """
    found = programs()
    if found is None:
        raise RuntimeError("no PostgreSQL found: install it, or put its initdb on the PATH")
    # Not below pytest's own folder: a socket's path has room for some hundred signs only.
    folder = Path(tempfile.mkdtemp(prefix="misce-pg-"))
    try:
        if os.geteuid() == 0:
            shutil.chown(folder, "postgres")
        _run(found / "initdb", "-D", folder / "data", "-A", "trust", "-U", "postgres",
             "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")  # fmt: skip
        control = (found / "pg_ctl", "-D", folder / "data", "-w", "-l", folder / "log")
        _run(*control, "-o", f"-k {folder} {_OPTIONS}", "start")
        try:
            yield f"postgresql+psycopg://postgres@/{{}}?host={folder}"
        finally:
            _run(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder)


def _run(*command: str | Path) -> None:
    as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    subprocess.run([*as_user, *map(str, command)], check=True, stdout=subprocess.DEVNULL)
