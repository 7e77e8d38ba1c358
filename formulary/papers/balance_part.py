"""Room for the check of each balance that a preparation needs, on a worksheet for paper."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.house import Balance
from formulary.papers.blocks import Block, Strip, Text, box, boxes, heading
from formulary.papers.subject import Subject
from formulary.papers.words import Words

_MM = (56.0, 44.0, 36.0, 44.0)
_CAPTIONS = ("balance", "weight", "shown", "who")


def balance_checks(subject: Subject, words: Words) -> Iterator[Block]:
    """Yield a row for each test weight of the balances to be used, until the work is begun.

    A balance whose weights aren't on file has one row, in which the weight is written too.
    """
    if subject.is_begun:
        return
    needed = {each.instrument for each in subject.plan.lines}
    head = (heading(words("balances.title")),)
    for balance in subject.house.balances:
        if balance.name in needed:
            for weight in _weights(balance, words):
                yield Block((_row(balance.name, weight, words),), head)


def _weights(balance: Balance, words: Words) -> tuple[str, ...]:
    named = (
        words("balances.of", number=each.number, nominal=each.nominal) for each in balance.weights
    )
    return tuple(named) or ("",)


def _row(balance: str, weight: str, words: Words) -> Strip:
    filled = (balance, weight, "", "")
    return boxes(
        *(
            box(width, words(f"balances.{name}"), *((Text(text),) if text else ()))
            for width, name, text in zip(_MM, _CAPTIONS, filled, strict=True)
        )
    )
