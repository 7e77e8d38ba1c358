"""Whether what is in the container attacks a label that it gets onto.

Alcohols and oils attack print, water-soluble ink runs, thermal stock blackens or fades (German
advice on labels, pta-forum.de/was-muss-aufs-etikett-140834).
"""

from __future__ import annotations

import re

from formulary.formula.content import Content, Form
from formulary.messages import Message, message

_GREASY = frozenset({Form.OINTMENT, Form.LINIMENT, Form.PASTE})
_SPIRITS = frozenset({Form.SPIRIT})
# Whole words: phenoxyethanol and cetostearyl alcohol harm no print.
_SOLVENTS = re.compile(
    r"\b(?:ethanol|isopropanol|isopropyl alcohol|acetone|ether|collodion|spirits?)\b", re.IGNORECASE
)
_OILS = re.compile(r"\b(?:oil|paraffin)\b", re.IGNORECASE)


def needs_durable(content: Content) -> Message | None:
    """Return the advice to take a stock that lasts, and why; None where nothing attacks it."""
    names = [line.ingredient for line in content.lines]
    alcohol = next(filter(_SOLVENTS.search, names), "")
    if alcohol or content.form in _SPIRITS:
        return message("label.durable.alcohol", what=alcohol or content.title)
    oil = next(filter(_OILS.search, names), "")
    if oil or content.form in _GREASY:
        return message("label.durable.grease", what=oil or content.title)
    return None
