"""Inputs of which some may be left out: the one that is given, the one to be found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from formulary.calculating.outcome import Result, Value
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.messages import Message, Parameter


def left_out(given: Given, names: tuple[str, ...], otherwise: Message) -> str:
    """Return the only one of the inputs that wasn't given. Raises Refusal for none or several."""
    return _only([name for name in names if not given.has(name)], otherwise)


def given_one(given: Given, names: tuple[str, ...], otherwise: Message) -> str:
    """Return the only one of the inputs that was given. Raises Refusal for none or several."""
    return _only([name for name in names if given.has(name)], otherwise)


def _only(names: list[str], otherwise: Message) -> str:
    if len(names) != 1:
        raise Refusal(otherwise)
    return names[0]


def numbered(
    name: str, values: Iterable[Value], of: Sequence[Parameter] = ()
) -> tuple[Result, ...]:
    """Return the values of a list as results ``name_1`` and so on; ``of`` says what each is of."""
    return tuple(
        Result(f"{name}_{place}", value, of[place - 1] if of else "")
        for place, value in enumerate(values, 1)
    )
