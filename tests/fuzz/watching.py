"""What a reader does besides reading: files written or moved, programs run, others spoken to."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

ACTS = (
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "os.remove",
    "os.rename",
    "os.mkdir",
    "os.symlink",
    "os.link",
    "shutil.unpack_archive",
    "subprocess.Popen",
    "socket.connect",
    "pickle.find_class",
    "marshal.loads",
    "code.__new__",
)
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_APPEND
_seen: list[str] = []
_watches: list[bool] = []


def _note(event: str, arguments: tuple[object, ...]) -> None:
    if not _watches:
        return
    if event in ACTS or (event == "open" and _is_writing(arguments)):
        _seen.append(f"{event} {arguments!r:.200}")


def _is_writing(arguments: tuple[object, ...]) -> bool:
    flags = arguments[2]
    return isinstance(flags, int) and bool(flags & _WRITES)


@contextmanager
def watched() -> Iterator[list[str]]:
    """Yield a list in which it stands afterwards what was done besides reading."""
    if _note not in _hooked:
        sys.addaudithook(_note)
        _hooked.append(_note)
    _seen.clear()
    _watches.append(True)
    try:
        yield _seen
    finally:
        _watches.clear()


_hooked: list[object] = []
