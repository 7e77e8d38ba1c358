"""What the middle of the page shows: one thing to do, in words and figures, whatever it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from ui.signs import Sign
from ui.widgets.gauge import Gauge
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

Values: TypeAlias = Mapping[str, str]
"""The texts of the entries by their names."""


def anything(_: str) -> Meaning:
    """Take any text for what it is."""
    return NO_MEANING


@dataclass(frozen=True, slots=True)
class Entry:
    """Something to type, or to choose where there are ``choices`` (a text, and its value).

    ``words`` stand before it and ``unit`` behind. With ``scan`` the page learns whether it was
    scanned. What isn't ``required`` may stay empty; Enter goes past what is ``passed_over``, and
    Tab goes there.
    """

    name: str
    words: str
    understand: Understand = anything
    unit: str = ""
    at_first: str = ""
    required: bool = True
    passed_over: bool = False
    scan: bool = False
    choices: Sequence[tuple[str, str]] = ()


@dataclass(frozen=True, slots=True)
class Other:
    """Another act beside the accent one, under its keys; it is given what is typed so far."""

    words: str
    keys: str
    run: Callable[[Values], None]


@dataclass(frozen=True, slots=True)
class Shown:
    """One thing to do.

    Where it is ``blind``, nothing of what is on record stands beside it. ``heading`` says what,
    ``figure`` is what is read from afar, ``notes`` are quiet, ``sentences`` have a sign;
    ``columns`` stand side by side, each under its heading. ``run`` is the accent act, None where
    there is nothing but to read.
    """

    heading: str
    figure: str = ""
    notes: Sequence[str] = ()
    sentences: Sequence[tuple[Sign, str]] = ()
    working: Sequence[str] = ()
    columns: Sequence[tuple[str, Sequence[str]]] = ()
    gauge: Gauge | None = None
    entries: Sequence[Entry] = ()
    act: str = ""
    run: Callable[[Values], None] | None = None
    others: Sequence[Other] = ()
    blind: bool = False
