"""A result and the steps that led to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from formulary.messages import Message

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Working(Generic[T]):
    """``result`` with its steps in words and figures; the last step states the result.

    ``source`` cites the rule, where it has one outside plain arithmetic.
    """

    result: T
    steps: tuple[Message, ...]
    source: Message | None = None
