"""What its label would lack of all that the house's rules for labels ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from formulary.finding import Finding
from formulary.formula.content import Content, Route
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.review.case import Case
from formulary.review.rule import Rule, reason
from formulary.wording.label_profile import PLACES, Element, element_name
from formulary.wording.strength import held
from formulary.wording.warnings import warnings_for


def label_elements(case: Case) -> Iterator[Finding]:
    """Find each element of the profile that comes from the formula and isn't in it."""
    profile = case.facts.profile
    if profile is None or case.content.route is Route.NOT_A_MEDICINE:
        return
    for each in profile.requires:
        is_given = _GIVEN.get(each.element)
        if is_given is not None and not is_given(case):
            yield reason(
                "label_lacks",
                PLACES[each.element],
                message("label.profile_source", source=each.source, profile=profile.title),
                element=element_name(each.element),
                profile=profile.title,
            )


def _is_held(content: Content) -> bool:
    """Tell whether a label can say what 1 mL or one dose unit holds of the actives."""
    return any(held(content, Amount(Fraction(1), unit)) for unit in ("mL", "piece"))


_GIVEN: Mapping[Element, Callable[[Case], bool]] = {
    Element.ACTIVES: lambda case: bool(case.content.label.strength or _is_held(case.content)),
    Element.TARGET: lambda case: case.content.label.target is not None,
    Element.STORAGE: lambda case: case.content.storage is not None,
    Element.WARNINGS: lambda case: bool(warnings_for(case.content, case.facts.ingredients).printed),
}

RULES = (Rule("label_elements", label_elements),)
