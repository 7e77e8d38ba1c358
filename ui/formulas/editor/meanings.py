"""What a line's quantity means, in words, as it is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import assert_never

from formulary.formula.fields_of import kind_text
from formulary.formula.kind_text import read_kind
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.messages import Message, message
from ui.context import Context
from ui.widgets.quantity_edit import Meaning, Understand

AREA = "ui_editor.means"


def quantity(context: Context, default_kind: Callable[[], str | None]) -> Understand:
    """Read a quantity of any kind; a bare number is a proposal that Enter confirms."""

    def understand(text: str) -> Meaning:
        sign = context.house.decimal_sign
        reading = read_kind(text, sign, default_kind())
        return Meaning(meaning(reading.kind), reading.question, kind_text(reading.kind, sign))

    return understand


def meaning(kind: Kind) -> Message:
    """Return what a quantity does, so that "to 100 g" and "100 g" can't be taken for each other."""
    match kind:
        case Fixed(amount, each):
            said = message(f"{AREA}.{'each' if each else 'adds'}", amount=amount)
        case Share(strength):
            said = message(f"{AREA}.share", strength=strength)
        case InParts(parts):
            said = message(f"{AREA}.parts", parts=parts)
        case PerUnit(amount):
            said = message(f"{AREA}.per_unit", amount=amount)
        case ToTotal(total, shared):
            said = message(f"{AREA}.{'shares' if shared else 'makes'}", total=total)
        case ToEndPoint(end_point):
            said = message(f"{AREA}.end_point", end_point=end_point)
        case ToFill():
            said = message(f"{AREA}.to_fill")
        case _:
            assert_never(kind)
    return said
