"""Formulas as short as a test can say them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from formulary.formula.content import Content, Form, Line, Role, Route
from formulary.formula.kind_text import parse_kind
from formulary.house import Balance, House, Measure
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.quantity.parsing import parse_amount
from formulary.scaling.plan import NO_CHOICES, NO_EXCESS, Choices, Plan, PlannedLine, scale
from formulary.scaling.target import Excess, parse_excess, parse_target


def amount(text: str) -> Amount:
    """Return "0.5 g" as an amount."""
    return parse_amount(text)


def density(number: str) -> Density:
    """Return a density in g/mL, invented for the test."""
    return Density(Fraction(number), "invented for this test")


def a_line(ingredient: str, quantity: str, role: Role = Role.OTHER, **more: Any) -> Line:  # noqa: ANN401  of many types
    """Return a line whose quantity is written as people write it."""
    return Line(ingredient, parse_kind(quantity), role, **more)


def active(ingredient: str, quantity: str, **more: Any) -> Line:  # noqa: ANN401  of many types
    """Return an active's line."""
    return a_line(ingredient, quantity, Role.ACTIVE, **more)


def a_formula(*lines: Line, **more: Any) -> Content:  # noqa: ANN401  of many types
    """Return a formula of these lines."""
    return Content("Test formula", "T-1", Form.OTHER, Route.SKIN, lines, **more)


def scaled(
    content: Content,
    target: str,
    excess: str = "",
    house: House | None = None,
    choices: Choices = NO_CHOICES,
) -> Plan:
    """Return the plan for a target and an excess as typed."""
    wanted: Excess = parse_excess(excess) if excess else NO_EXCESS
    return scale(content, parse_target(target), wanted, house, choices)


def line_of(plan: Plan, ingredient: str) -> PlannedLine:
    """Return the plan's line of an ingredient."""
    return next(each for each in plan.lines if each.line.ingredient == ingredient)


def required(plan: Plan) -> list[Amount | None]:
    """Return what every line needs, exact."""
    return [each.required for each in plan.lines]


def is_amount(found: Amount | None, text: str) -> bool:
    """Tell whether an amount is exactly the one written, whatever its unit."""
    wanted = amount(text)
    return found is not None and found.to(wanted.unit) == wanted


def a_balance(name: str, capacity: str, readability: str, minimum: str) -> Balance:
    """Return a balance."""
    return Balance(name, amount(capacity), amount(readability), amount(minimum))


def a_measure(name: str, capacity: str, readability: str, minimum: str) -> Measure:
    """Return a measure."""
    return Measure(name, amount(capacity), amount(readability), amount(minimum))


FINE = a_balance("Fine balance", "100 g", "0.001 g", "0.02 g")
MIDDLE = a_balance("Middle balance", "600 g", "0.01 g", "1 g")
COARSE = a_balance("Coarse balance", "6 kg", "0.1 g", "10 g")
SYRINGE = a_measure("Syringe", "5 mL", "0.1 mL", "1 mL")
CYLINDER = a_measure("Cylinder", "100 mL", "1 mL", "20 mL")
LARGE_CYLINDER = a_measure("Large cylinder", "1 L", "10 mL", "200 mL")


def a_house(**more: Any) -> House:  # noqa: ANN401  of many types
    """Return a house with three balances and three measures."""
    furnished: dict[str, Any] = {
        "balances": (FINE, MIDDLE, COARSE),
        "measures": (SYRINGE, CYLINDER, LARGE_CYLINDER),
    }
    return House("h-1", "Test house", **(furnished | more))
