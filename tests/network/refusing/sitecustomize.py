"""Put in the way of a Python that starts: whoever wants to reach another computer is stopped.

What was tried, and what could go round Python's own sockets, is noted in the file MISCE_TRIED.
"""

from __future__ import annotations

import atexit
import os
import sys
from pathlib import Path

REFUSED = (
    "socket.connect",
    "socket.sendto",
    "socket.sendmsg",
    "socket.bind",
    "socket.getaddrinfo",
    "socket.gethostbyname",
    "socket.gethostbyaddr",
    "socket.getnameinfo",
)
PAST_PYTHON = ("psycopg", "PySide6.QtNetwork")


def note(what: str) -> None:
    """Add a line to the file."""
    with Path(os.environ["MISCE_TRIED"]).open("a", encoding="utf-8") as file:
        file.write(f"{what}\n")


def refuse(event: str, arguments: tuple[object, ...]) -> None:
    """Stop a connection before it is made."""
    if event in REFUSED:
        note(f"{event} {arguments!r}")
        raise PermissionError(event)


def note_modules() -> None:
    """Note which libraries were loaded that reach others without Python's sockets."""
    for name in PAST_PYTHON:
        if name in sys.modules:
            note(f"loaded {name}")


sys.addaudithook(refuse)
atexit.register(note_modules)
