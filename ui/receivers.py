"""Callbacks whose receiver may be gone by the time that they are due."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, TypeAlias, TypeVar

from PySide6.QtCore import QObject
from shiboken6 import isValid

T = TypeVar("T")
Tell: TypeAlias = Callable[[T], None]


def is_gone(callback: Callable[..., object] | None) -> bool:
    """Tell whether a callback would reach a widget that Qt has destroyed already.

    A method's own object counts, and what a function or a partial holds on to.
    """
    return not all(isValid(each) for each in _held(callback) if isinstance(each, QObject))


def told_to(first: Tell[T], beside: Tell[T] | None, otherwise: Tell[T]) -> Tell[T]:
    """Return what tells the first receiver, or another once that is gone, and one beside."""

    def tell(what: T) -> None:
        (otherwise if is_gone(first) else first)(what)
        if beside is not None and not is_gone(beside):
            beside(what)

    return tell


def _held(callback: Callable[..., object] | None) -> Iterator[Any]:
    if isinstance(callback, partial):
        yield from _held(callback.func)
        yield from (*callback.args, *callback.keywords.values())
        return
    yield getattr(callback, "__self__", None)
    for cell in getattr(callback, "__closure__", None) or ():
        yield cell.cell_contents
