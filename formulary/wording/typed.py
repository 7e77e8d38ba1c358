"""A dosing as texts of a form, and back."""

from __future__ import annotations

from collections.abc import Mapping

from formulary.errors import BadText
from formulary.formula.periods import parse_period
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.parsing import parse_amount
from formulary.quantity.units import Dimension
from formulary.quantity.writing import exact_amount
from formulary.wording.directions import DayPart, Dosing, Food, Often, Use

_MOST_DIGITS = 3
_ENDS = (".", "!", "?", "\N{ARABIC QUESTION MARK}")


def read_dosing(texts: Mapping[str, str], sign: str) -> Dosing:
    """Return the dosing that the fields of a form say.

    Raises :class:`formulary.errors.BadText` for what can't be read, and Refusal where the parts
    make no sentence.
    """
    typed = {name: text.strip() for name, text in texts.items()}
    amount = parse_amount(typed["amount"], sign) if typed["amount"] else None
    counted = amount is not None and units.dimension(amount.unit) is Dimension.PIECES
    often = Often(typed["often"])
    return Dosing(
        use=Use(typed["use"]),
        amount=amount,
        unit=typed["unit"] if counted else "",
        place=typed["place"],
        often=often,
        number=None if often in (Often.AT, Often.ONCE) else _whole(typed, "number"),
        at=tuple(map(DayPart, typed["at"].split())) if often is Often.AT else (),
        food=Food(typed["food"]),
        hours_apart=_whole(typed, "hours_apart"),
        lasts=parse_period(typed["lasts"]) if typed["lasts"] else None,
        note=_ended(typed["note"]),
    )


def _ended(sentence: str) -> str:
    """Return what is added with a full stop where it ends without a sign."""
    return sentence if not sentence or sentence.endswith(_ENDS) else f"{sentence}."


def dosing_texts(dosing: Dosing, sign: str) -> dict[str, str]:
    """Return a dosing as :func:`read_dosing` reads it."""
    lasts = dosing.lasts
    return {
        "use": dosing.use.value,
        "amount": exact_amount(dosing.amount, sign) if dosing.amount else "",
        "unit": dosing.unit,
        "place": dosing.place,
        "often": dosing.often.value,
        "number": str(dosing.number or ""),
        "at": "\n".join(each.value for each in dosing.at),
        "food": dosing.food.value,
        "hours_apart": str(dosing.hours_apart or ""),
        "lasts": f"{lasts.number} {lasts.span.value}" if lasts else "",
        "note": dosing.note,
    }


def _whole(typed: Mapping[str, str], name: str) -> int | None:
    text = typed[name]
    if not text:
        return None
    if not (text.isascii() and text.isdecimal()) or len(text) > _MOST_DIGITS or not int(text):
        raise BadText(message("directions.no_number"), field=name)
    return int(text)
