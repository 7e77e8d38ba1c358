"""Final tests that a pharmacy can do, by dosage form, with limits and a verdict."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.calculations import uniformity as mass
from formulary.errors import Refusal
from formulary.formula.content import Content, Form
from formulary.messages import Message, message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.units import Dimension
from formulary.scaling.plan import Plan


class FinalTest(StrEnum):
    """A test of the finished preparation."""

    APPEARANCE = "appearance"
    PH = "pH"
    DENSITY = "density"
    UNIFORMITY = "uniformity of mass"


class Look(StrEnum):
    """One thing to look at; the answer is whether it is as it should be."""

    COLOUR = "colour"
    ODOUR = "odour"
    EVEN = "even"
    NO_GRIT = "no grit"
    NO_SEPARATION = "no separation"
    CLEAR = "clear"
    SHAKES_UP = "shakes up"
    FLOWS = "flows"
    WHOLE = "whole"
    CLOSED = "closed"


_ALWAYS = (Look.COLOUR, Look.ODOUR)
_SEMISOLID = (*_ALWAYS, Look.EVEN, Look.NO_GRIT, Look.NO_SEPARATION)
_LIQUID = (*_ALWAYS, Look.CLEAR)
_SHAKEN = (*_ALWAYS, Look.SHAKES_UP, Look.NO_GRIT)
_LOOKS: Mapping[Form, tuple[Look, ...]] = {
    Form.CREAM: _SEMISOLID,
    Form.OINTMENT: _SEMISOLID,
    Form.PASTE: (*_ALWAYS, Look.EVEN, Look.NO_SEPARATION),
    Form.GEL: _SEMISOLID,
    Form.LOTION: _SHAKEN,
    Form.EMULSION: (*_ALWAYS, Look.SHAKES_UP, Look.NO_SEPARATION),
    Form.LINIMENT: _ALWAYS,
    Form.SOLUTION: _LIQUID,
    Form.SPIRIT: _LIQUID,
    Form.SYRUP: _LIQUID,
    Form.MOUTHWASH: _LIQUID,
    Form.DROPS: _LIQUID,
    Form.SUSPENSION: _SHAKEN,
    Form.POWDER: (*_ALWAYS, Look.EVEN, Look.FLOWS),
    Form.POWDERS: (*_ALWAYS, Look.EVEN, Look.FLOWS),
    Form.CAPSULES: (*_ALWAYS, Look.CLOSED),
    Form.SUPPOSITORIES: (*_ALWAYS, Look.EVEN, Look.WHOLE),
    Form.PESSARIES: (*_ALWAYS, Look.EVEN, Look.WHOLE),
    Form.OTHER: _ALWAYS,
}
_UNITS = {
    Form.CAPSULES: mass.FORMS[0],
    Form.POWDERS: mass.FORMS[0],
    Form.SUPPOSITORIES: mass.FORMS[1],
    Form.PESSARIES: mass.FORMS[1],
}
_WITH_PH = (
    Form.CREAM,
    Form.GEL,
    Form.LOTION,
    Form.EMULSION,
    Form.SOLUTION,
    Form.SYRUP,
    Form.MOUTHWASH,
    Form.DROPS,
    Form.SUSPENSION,
)
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_RANGE = re.compile(rf"(?P<low>{_NUMBER}) to (?P<high>{_NUMBER})")
_WITH_DENSITY = (Form.SOLUTION, Form.SPIRIT, Form.SYRUP, Form.MOUTHWASH, Form.DROPS)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A test done: its verdict, and the working that ends in it."""

    test: FinalTest
    passed: bool
    steps: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class HouseRule:
    """The house's own rule for a batch of fewer than twenty units; ``name`` is shown with it.

    ``outside`` units may lie outside the limit of the form, none outside twice the limit.
    """

    name: str
    outside: int = 0


def final_tests(form: Form) -> tuple[FinalTest, ...]:
    """Return the tests that suit a dosage form; a formula may ask for others besides."""
    wanted = {
        FinalTest.APPEARANCE: True,
        FinalTest.PH: form in _WITH_PH,
        FinalTest.DENSITY: form in _WITH_DENSITY,
        FinalTest.UNIFORMITY: form in _UNITS,
    }
    return tuple(test for test, applies in wanted.items() if applies)


def is_uniformity(name: str) -> bool:
    """Tell whether a test is that of single masses."""
    return name.strip().casefold() == FinalTest.UNIFORMITY.value


def tests_beside(content: Content) -> tuple[str, ...]:
    """Return the tests of single units that a dosage form wants and its formula doesn't name."""
    named = any(is_uniformity(each.name) for each in content.tests)
    return () if named or content.form not in _UNITS else (FinalTest.UNIFORMITY.value,)


def units_in(plan: Plan) -> int | None:
    """Return how many dose units a plan makes, None where it isn't in units."""
    if units.dimension(plan.total.unit) is not Dimension.PIECES:
        return None
    return int(plan.total.number)


def is_appearance(name: str) -> bool:
    """Tell whether a formula's test is the look at the finished preparation."""
    return name.strip().casefold() == FinalTest.APPEARANCE.value


def range_of(limits: str) -> tuple[Fraction, Fraction] | None:
    """Return the limits of a test that are plain numbers ("5 to 7.5"), None for any others."""
    found = _RANGE.fullmatch(limits.strip())
    return None if found is None else (Fraction(found["low"]), Fraction(found["high"]))


def in_range(found: Fraction, low: Fraction, high: Fraction) -> tuple[bool, Message]:
    """Return whether a figure is within its limits, both allowed, and the verdict in words."""
    passed = low <= found <= high
    key = "inside" if passed else "outside"
    return passed, message(f"bench.quality.{key}", found=_read(found), low=low, high=high)


def looks_for(form: Form) -> tuple[Look, ...]:
    """Return what is looked at in a dosage form."""
    return _LOOKS[form]


def look_said(look: Look) -> Message:
    """Return what is asked of the eye or nose."""
    return message(f"bench.quality.look.{look.name.lower()}")


def appearance(form: Form, answers: Mapping[Look, bool]) -> Outcome:
    """Return the verdict on the look; refused until every item of the form is answered."""
    wanted = looks_for(form)
    open_ones = [look_said(each) for each in wanted if each not in answers]
    if open_ones:
        raise Refusal(message("bench.quality.unanswered", items=tuple(open_ones)))
    wrong = tuple(look_said(each) for each in wanted if not answers[each])
    key = "looks_wrong" if wrong else "looks_right"
    return Outcome(FinalTest.APPEARANCE, not wrong, (message(f"bench.quality.{key}", items=wrong),))


def acidity(found: Fraction, low: Fraction, high: Fraction) -> Outcome:
    """Return the verdict on a pH; the limits themselves are inside."""
    if not 0 <= found <= 14:  # noqa: PLR2004  the scale of a pH meter
        raise Refusal(message("bench.quality.no_ph", found=found))
    return _in_range(FinalTest.PH, found, low, high)


def density(weight: Amount, volume: Amount, low: Fraction, high: Fraction) -> Outcome:
    """Return the verdict on a density in g/mL from a weighed volume."""
    if volume.to("mL").number <= 0 or weight.to("g").number <= 0:
        raise Refusal(message("bench.quality.no_density"))
    found = weight.to("g").number / volume.to("mL").number
    step = message("bench.quality.step.density", weight=weight, volume=volume, density=_read(found))
    judged = _in_range(FinalTest.DENSITY, found, low, high)
    return Outcome(FinalTest.DENSITY, judged.passed, (step, *judged.steps))


def weights_needed(units_made: int) -> int:
    """Return how many single weights are taken: twenty, or all of a smaller batch."""
    return min(units_made, mass.TWENTY)


def uniformity(
    form: Form, weights: Sequence[Amount], units_made: int, rule: HouseRule | None = None
) -> Outcome:
    """Return the verdict on single masses (of capsules, their contents).

    Twenty units are judged by the pharmacopoeia; all of a smaller batch by the house's rule, which
    must be there. Raises :class:`formulary.errors.Refusal` for another number of weights, for a
    form without units, and where the pharmacopoeia has no limit.
    """
    if form not in _UNITS:
        raise Refusal(message("bench.quality.no_units"))
    needed = weights_needed(units_made)
    if len(weights) != needed or needed < mass.FEWEST:
        least = max(needed, mass.FEWEST)
        raise Refusal(message("bench.quality.weights_needed", n=least, given=len(weights)))
    if needed < mass.TWENTY and rule is None:
        raise Refusal(message("bench.quality.rule_missing", units=units_made))
    allowed = rule.outside if rule and needed < mass.TWENTY else mass.ALLOWED
    return _uniform(form, tuple(weights), allowed, rule if needed < mass.TWENTY else None)


def _uniform(
    form: Form, weights: tuple[Amount, ...], allowed: int, rule: HouseRule | None
) -> Outcome:
    limit = mass.limit_for(_UNITS[form], mass.mean_of(weights))
    found = mass.judge(weights, limit)
    passed = found.complies(allowed)
    by = message("bench.quality.pharmacopoeia") if rule is None else rule.name
    verdict = message(
        f"bench.quality.{'uniform' if passed else 'not_uniform'}",
        by=by,
        outside=found.outside,
        twice=found.outside_twice,
        limit=limit,
        allowed=allowed,
        largest=_read(found.largest),
    )
    return Outcome(FinalTest.UNIFORMITY, passed, (mass.mean_step(weights), verdict))


def _in_range(test: FinalTest, found: Fraction, low: Fraction, high: Fraction) -> Outcome:
    if low > high:
        raise Refusal(message("bench.quality.limits_swapped", low=low, high=high))
    passed, said = in_range(found, low, high)
    return Outcome(test, passed, (said,))


def _read(number: Fraction) -> Fraction:
    return round_to_significant(number)
