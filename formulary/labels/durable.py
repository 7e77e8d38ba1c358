"""Whether what is in the container attacks a label that it gets onto.

Alcohols and oils attack print, water-soluble ink runs, thermal stock blackens or fades (German
advice on labels, pta-forum.de/was-muss-aufs-etikett-140834).
"""

from __future__ import annotations

from formulary.formula.content import Content, Form
from formulary.messages import Message, message

_GREASY = frozenset({Form.OINTMENT, Form.LINIMENT, Form.PASTE})
_SPIRITS = frozenset({Form.SPIRIT})
_ALCOHOLS = ("ethanol", "alcohol", "isopropyl", "acetone", "ether")
_OILS = (" oil", "paraffin")


def needs_durable(content: Content) -> Message | None:
    """Return the advice to take a stock that lasts, and why; None where nothing attacks it."""
    names = [line.ingredient for line in content.lines]
    alcohol = next((each for each in names if _has(each, _ALCOHOLS)), "")
    if alcohol or content.form in _SPIRITS:
        return message("label.durable.alcohol", what=alcohol or content.title)
    oil = next((each for each in names if _has(each, _OILS)), "")
    if oil or content.form in _GREASY:
        return message("label.durable.grease", what=oil or content.title)
    return None


def _has(name: str, words: tuple[str, ...]) -> bool:
    folded = f" {name.casefold()}"
    return any(word in folded for word in words)
