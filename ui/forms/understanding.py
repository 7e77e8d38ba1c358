"""How a typed text of a form is understood, each by the trade's own reader."""

from __future__ import annotations

from collections.abc import Callable

from formulary.errors import BadText
from formulary.formula.periods import parse_period
from formulary.formula.periods import said as period_said
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.density import parse_density, write_density
from formulary.quantity.parsing import read_amount
from formulary.quantity.typed_number import parse_number
from formulary.quantity.units import Dimension
from formulary.wording.lint import lint
from ui.context import Context
from ui.widgets.quantity_edit import NO_MEANING, Meaning, Understand

SOURCE_TO_COME = "-"
_SHOWN = 2


def anything(_: str) -> Meaning:
    """Take any text for what it is."""
    return NO_MEANING


def free_text(text: str) -> Meaning:
    """Say what in a free text is easily misread; it may stand all the same."""
    return _slips(text, label=False)


def label_text(text: str) -> Meaning:
    """Say what in a text for a label is easily misread."""
    return _slips(text, label=True)


PLAIN: frozenset[Understand] = frozenset({anything, free_text, label_text})
"""What reads nothing out of a text, so that the trade's own reader judges it."""


def _slips(text: str, *, label: bool) -> Meaning:
    found = lint(text, label=label)
    if not found:
        return NO_MEANING
    if len(found) == 1:
        return Meaning(found[0].said)
    first, second = (each.said for each in found[:_SHOWN])
    return Meaning(message("ui_forms.two_slips", first=first, second=second))


def amount(context: Context, *dimensions: Dimension) -> Understand:
    """Read an amount above zero of one of these dimensions; a bare number becomes a question."""

    def understand(text: str) -> Meaning:
        read = read_amount(text, context.house.decimal_sign, context.catalogue.words)
        _require(read.amount.number > 0, "ui_forms.above_zero", text)
        if units.dimension(read.amount.unit) not in dimensions:
            wanted = message(f"ui_forms.kind_of.{'_or_'.join(each.value for each in dimensions)}")
            raise BadText(message("ui_forms.other_kind", typed=text, wanted=wanted))
        rewritten = read.rewritten or context.catalogue.written(read.amount)
        said = message("ui_forms.read_as", amount=read.amount) if read.rewritten else None
        return Meaning(said, read.question, rewritten)

    return understand


def number(context: Context) -> Understand:
    """Read a number above zero."""

    def understand(text: str) -> Meaning:
        read = parse_number(text, context.house.decimal_sign)
        _require(read > 0, "ui_forms.above_zero", text)
        return NO_MEANING

    return understand


def density(context: Context) -> Understand:
    """Read a density, such as 0.91 g/mL."""

    def understand(text: str) -> Meaning:
        sign = context.house.decimal_sign
        read = parse_density(text, sign, SOURCE_TO_COME)
        rewritten = write_density(read, sign)
        if rewritten.replace("\N{NO-BREAK SPACE}", " ") == text.strip():
            return NO_MEANING
        return Meaning(message("ui_forms.read_as", amount=rewritten))

    return understand


def one_of(values: Callable[[], tuple[str, ...]], key: str) -> Understand:
    """Take only one of these texts; ``key`` says that it isn't one, with ``typed``."""

    def understand(text: str) -> Meaning:
        _require(text.strip() in values(), key, text)
        return NO_MEANING

    return understand


def _require(holds: bool, key: str, typed: str) -> None:  # noqa: FBT001 - the condition itself
    if not holds:
        raise BadText(message(key, typed=typed.strip()))


def period(text: str) -> Meaning:
    """Read a number of days, weeks or months and say it."""
    return Meaning(period_said(parse_period(text)))
