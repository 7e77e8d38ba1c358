"""A reserve of references to True for Python before 3.12, where it can run out of them.

PySide6 6.12.0 hands out the True that ``Signal.emit`` returns without taking a reference, so each
emit costs one; after some thousands the interpreter would stop the program ("deallocating True or
False"). From Python 3.12 on True is immortal and nothing is done.
"""

from __future__ import annotations

import ctypes
import sys

RESERVE = 1 << 40
FIRST_WITH_IMMORTAL_BOOLS = (3, 12)


def needed() -> bool:
    """Whether this Python counts references to True."""
    return sys.implementation.name == "cpython" and sys.version_info < FIRST_WITH_IMMORTAL_BOOLS


def take_reserve() -> None:
    """Add the reserve to the count, which CPython keeps at the beginning of an object."""
    if needed():
        ctypes.c_ssize_t.from_address(id(True)).value += RESERVE
