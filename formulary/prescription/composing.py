"""A prescription whose every line a person confirmed, as a draft formula for this patient."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content, Form, Line, Role, Route
from formulary.formula.kind_text import parse_kind
from formulary.messages import Message, message
from formulary.prescription.lines import Prescription, ReadLine, Sort
from formulary.quantity.amount import Amount
from formulary.scaling.whole import whole_as_written

MAY_BE_INGREDIENTS = frozenset({Sort.INGREDIENT, Sort.UNKNOWN})
"""Sorts that don't go in without an ingredient unless somebody says why."""

_STERILE = "prescription.doubt.sterile"
_ASKED_LATER = frozenset({"prescription.doubt.no_directions"})
"""What the order itself waits for."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person confirmed of the line at ``position``, counted from 0.

    With an ``ingredient`` it goes into the formula. Without one, a line that could have been an
    ingredient needs the reason why it is left ``aside``; any other line is just confirmed as read.
    """

    position: int
    ingredient: str = ""
    ingredient_id: str = ""
    quantity: str = ""
    role: Role = Role.OTHER
    aside: str = ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a person settled about the whole; ``units`` is None for an undivided preparation.

    ``settled`` are the doubts about the whole that this person looked at and decided.
    """

    title: str
    code: str
    form: Form
    route: Route
    units: int | None = None
    unit_name: str = ""
    source: str = ""
    settled: tuple[Message, ...] = ()


def as_proposed(position: int, line: ReadLine) -> Answer:
    """Return the answer that takes a line as it was read, for a person to confirm or change."""
    if line.sort is not Sort.INGREDIENT:
        return Answer(position)
    return Answer(position, line.ingredient, line.ingredient_id, line.quantity, line.role)


def compose(
    prescription: Prescription,
    answers: Sequence[Answer],
    whole: Chosen,
    decimal_sign: str = ".",
) -> Content:
    """Return the formula as confirmed, its lines in the order of the prescription.

    Raises :class:`formulary.errors.Refusal` for a line that nobody confirmed, one set aside without
    a reason or a doubt about the whole that isn't settled, and :class:`formulary.errors.BadText`
    for a quantity that can't be read.
    """
    _require_settled(prescription, whole)
    by_position = {answer.position: answer for answer in answers}
    lines = tuple(
        found
        for position, line in enumerate(prescription.lines)
        if (found := confirmed(line, by_position.get(position), decimal_sign)) is not None
    )
    return Content(
        title=whole.title,
        code=whole.code,
        form=whole.form,
        route=whole.route,
        lines=lines,
        units=whole.units,
        unit_name=whole.unit_name,
        source=whole.source,
    )


def title_of(lines: Sequence[Line], form: Form) -> Message:
    """Return a title from the actives, to be shown and changed at will."""
    actives = tuple(line.ingredient for line in lines if line.role is Role.ACTIVE)
    form_said = message(f"formula.form.{form.name.lower()}")
    if not actives:
        return message("prescription.no_title", form=form_said)
    return message("prescription.title", actives=actives, form=form_said)


def prescribed_amount(content: Content) -> Amount | None:
    """Return the amount that the prescription makes in all, None where it doesn't add up to one."""
    if content.units is not None:
        return Amount(Fraction(content.units), "piece")
    try:
        return whole_as_written(content).amount
    except Refusal:
        return None


def _require_settled(prescription: Prescription, whole: Chosen) -> None:
    for doubt in prescription.doubts:
        if doubt.key == _STERILE:
            raise Refusal(doubt)
        if doubt.key not in _ASKED_LATER and doubt not in whole.settled:
            raise Refusal(message("prescription.confirm.undecided", doubt=doubt))


def confirmed(line: ReadLine, answer: Answer | None, decimal_sign: str = ".") -> Line | None:
    """Return the formula's line that an answer makes of one read, None for no ingredient.

    Raises as :func:`compose` does.
    """
    if answer is None:
        raise Refusal(message("prescription.confirm.unanswered", text=line.text))
    if not answer.ingredient.strip():
        _require_reason(line, answer)
        return None
    if answer.aside.strip():
        raise Refusal(message("prescription.confirm.not_an_ingredient", text=line.text))
    if not answer.quantity.strip():
        raise Refusal(message("prescription.confirm.no_quantity", ingredient=answer.ingredient))
    kind = parse_kind(answer.quantity, decimal_sign)
    name, known = answer.ingredient.strip(), answer.ingredient_id
    return Line(name, kind, answer.role, ingredient_id=known)


def _require_reason(line: ReadLine, answer: Answer) -> None:
    without_name = line.sort is Sort.QUANTITY and bool(line.doubts)
    if (line.sort in MAY_BE_INGREDIENTS or without_name) and not answer.aside.strip():
        raise Refusal(message("prescription.confirm.no_reason", text=line.text))
