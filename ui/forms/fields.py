"""A field of a form as a row of a table: its name, how it is typed and how it is understood."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from typing import TypeAlias

from formulary import field_text
from ui.forms.understanding import anything
from ui.widgets.quantity_edit import Understand

Choices: TypeAlias = Callable[[], Sequence[tuple[str, str]]]
"""The texts there are to choose from, each with the value that is kept."""

YES, NO = field_text.YES, field_text.NO


class Kind(Enum):
    """How a value is put in. Every value is a text; only what it means differs."""

    LINE = auto()
    TEXT = auto()
    CHOICE = auto()
    FLAG = auto()
    CHECKS = auto()


def no_choices() -> Sequence[tuple[str, str]]:
    """Return that there is nothing to choose."""
    return ()


@dataclass(frozen=True, slots=True)
class FormField:
    """One field. Its words are ``<area>.field.<name>`` in the catalogue.

    With ``hint`` the sentence ``<area>.hint.<name>`` stands below it. ``offered`` texts are
    proposed while one types. A checks' value has one chosen value on each line. ``lines`` is how
    many a text shows without scrolling.
    """

    name: str
    kind: Kind = Kind.LINE
    understand: Understand = anything
    choices: Choices = no_choices
    required: bool = False
    hint: bool = False
    offered: Callable[[], tuple[str, ...]] | None = None
    at_first: str = ""
    lines: int = 3
