"""How many labels a print was, and what they were where they weren't one for each container."""

from __future__ import annotations

from formulary.canonical import from_canonical_text
from formulary.errors import BadText, Refusal
from formulary.labels.content import LabelContent, Stamp
from formulary.labels.parts import Part
from formulary.messages import Message, message
from formulary.preparation import LabelPrint

AREA = "ui_register.prints.counted"
_TRAY = (Stamp.AWAITING, Stamp.SAMPLE_AWAITING)


def counted(each: LabelPrint) -> Message:
    """Return the number of labels, with what they were for."""
    return message(f"{AREA}.{_kind(each)}", n=each.copies)


def _kind(each: LabelPrint) -> str:
    try:
        said = from_canonical_text(LabelContent, each.content)
    except (BadText, Refusal):
        # Kept by an older edition in a way that isn't read any more.
        return "proof" if each.proof else "plain"
    if each.proof:
        return "tray" if said.stamp in _TRAY else "proof"
    if said.part is Part.FIRST:
        return "in_two"
    return "again" if said.copy > 1 else "plain"
