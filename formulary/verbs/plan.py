"""Scale a formula for this house: its ingredients' densities, its balances, its decimal sign."""

from __future__ import annotations

from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.scaling.plan import NO_CHOICES, Choices, Plan, scale
from formulary.scaling.target import parse_excess, parse_target
from formulary.store import Reading


def plan(
    store: Reading,
    house: House,
    content: Content,
    target: str,
    excess: str = "",
    choices: Choices = NO_CHOICES,
) -> Plan:
    """Return the plan for a target and an excess as typed.

    Raises :class:`formulary.errors.BadText` for what can't be read and
    :class:`formulary.errors.Refusal` for what can't be made.
    """
    known = completed(content, store.every(Ingredient))
    return scale(
        known,
        parse_target(target, house.decimal_sign),
        parse_excess(excess, house.decimal_sign),
        house,
        choices,
    )
