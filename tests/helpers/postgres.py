"""A throw-away PostgreSQL server, reached through a socket in a temporary folder, never by TCP."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Callable, Iterator
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
    with _running(_OPTIONS) as folder:
        yield f"postgresql+psycopg://postgres@/{{}}?host={folder}"


@contextmanager
def encrypted_server() -> Iterator[tuple[str, Path]]:
    """Run a server that takes encrypted connections only; give its URL and its certificate.

    It listens at the loopback address of this machine, since a socket needs no encryption.
    """
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    options = f"-c listen_addresses=127.0.0.1 -p {port} -c ssl=on -c fsync=off"
    with _running(options, _only_encrypted) as folder:
        url = f"postgresql+psycopg://postgres@localhost:{port}/postgres?hostaddr=127.0.0.1"
        yield url, folder / "data" / "server.crt"


def _only_encrypted(data: Path) -> None:
    """Make a certificate for this server, and let nobody in without encryption."""
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2",
         "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost",
         "-keyout", data / "server.key", "-out", data / "server.crt"],
        check=True, capture_output=True,
    )  # fmt: skip
    (data / "server.key").chmod(0o600)
    (data / "pg_hba.conf").write_text("hostssl all all 127.0.0.1/32 trust\n")
    if os.geteuid() == 0:
        for name in ("server.key", "server.crt", "pg_hba.conf"):
            shutil.chown(data / name, "postgres")


@contextmanager
def _running(options: str, prepare: Callable[[Path], None] = lambda _: None) -> Iterator[Path]:
    """Run a server in a folder of its own and give that."""
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
        prepare(folder / "data")
        control = (found / "pg_ctl", "-D", folder / "data", "-w", "-l", folder / "log")
        _run(*control, "-o", f"-k {folder} {options}", "start")
        try:
            yield folder
        finally:
            _run(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder)


def _run(*command: str | Path) -> None:
    as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    subprocess.run([*as_user, *map(str, command)], check=True, stdout=subprocess.DEVNULL)
