"""What doesn't go together: pairs from published tables, windows of pH, what doesn't dissolve."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from functools import partial
from itertools import product
from typing import Any

from formulary.calculating.tables import table
from formulary.finding import Finding
from formulary.formula.content import Form
from formulary.review.case import Case, Part
from formulary.review.rule import Rule, cited, note, reason
from formulary.review.substances import rows_for

PAIR_RULES = ("incompatible", "eutectic", "ionic", "phenol_macrogol", "acid_carbonate")
_SOLID_FORMS = (Form.POWDER, Form.POWDERS, Form.CAPSULES, Form.SUPPOSITORIES, Form.PESSARIES)
_CLEAR_FORMS = (Form.SOLUTION, Form.MOUTHWASH, Form.DROPS, Form.SYRUP, Form.SPIRIT)
_NEARLY = Fraction(9, 10)


def pairs(rule: str, case: Case) -> Iterator[Finding]:
    """Find pairs that the table of incompatibilities warns of under this rule, each pair once."""
    told: set[frozenset[int]] = set()
    for row in table("incompatibilities"):
        if row["rule"] != rule:
            continue
        for one, other in product(case.those(row["a"]), case.those(row["b"])):
            both = frozenset((one.position, other.position))
            if one is other or both in told or not _is_enough(one, row):
                continue
            told.add(both)
            yield _pair(case, row, one, other)


def are_a_pair(one: Part, other: Part) -> bool:
    """Tell whether the table of incompatibilities warns of two parts together."""
    return any(
        first.is_a(row["a"]) and second.is_a(row["b"]) and _is_enough(first, row)
        for row in table("incompatibilities")
        for first, second in ((one, other), (other, one))
    )


def _is_enough(part: Part, row: Mapping[str, Any]) -> bool:
    least = row.get("from_percent")
    return least is None or part.share is None or part.share >= Fraction(least)


def _pair(case: Case, row: Mapping[str, Any], one: Part, other: Part) -> Finding:
    later = max(one, other, key=lambda each: each.position)
    find = _loudness(case, row)
    return find(
        "pair",
        later.field,
        cited(row),
        one=one.name,
        other=other.name,
        effect=row["effect"],
        advice=_advice(case, row),
    )


def _advice(case: Case, row: Mapping[str, Any]) -> str:
    """Return what to do, without what is done already where the base holds no water."""
    in_fat = bool(case.those("free of water")) and not case.is_watery
    advice = row.get("advice_in_fat") if in_fat else None
    return str(advice or row["advice"])


def _loudness(case: Case, row: Mapping[str, Any]) -> Callable[..., Finding]:
    """Return how loud a pair is: what liquefies does harm only to what is to stay dry or firm."""
    quiet = row.get("severity") == "note"
    quiet = quiet or (row["rule"] == "eutectic" and case.content.form not in _SOLID_FORMS)
    quiet = quiet or (row["rule"] == "acid_carbonate" and not case.is_watery)
    return note if quiet else reason


def ph_windows(case: Case) -> Iterator[Finding]:
    """Find an active outside the pH at which it keeps, by the pH that the formula allows."""
    if case.ph is None:
        return
    lowest, highest = case.ph
    for part in case.parts:
        for row in rows_for("ph-windows", part.names):
            least, most = Fraction(row["lowest"]), Fraction(row["highest"])
            if lowest < least or highest > most:
                find = reason if highest < least or lowest > most else note
                yield find(
                    "ph_window",
                    part.field,
                    cited(row),
                    ingredient=part.name,
                    least=least,
                    most=most,
                    lowest=lowest,
                    highest=highest,
                )


def solubility(case: Case) -> Iterator[Finding]:
    """Find more of a substance than water dissolves, in what is to be clear."""
    if case.content.form not in _CLEAR_FORMS or not case.those("water") or case.those("solvent"):
        return
    for part in case.parts:
        for row in rows_for("solubilities", part.names):
            helped = any(case.those(each) for each in row.get("helped_by", ()))
            limit = Fraction(row["grams"])
            if part.pure is None or helped or part.pure < limit * _NEARLY:
                continue
            find = reason if part.pure > limit else note
            key = "insoluble" if part.pure > limit else "nearly_saturated"
            yield find(
                key,
                part.quantity_field,
                cited(row),
                ingredient=part.name,
                share=part.pure,
                grams=limit,
            )


RULES = (
    *(Rule(name, partial(pairs, name)) for name in PAIR_RULES),
    Rule("ph_window", ph_windows),
    Rule("solubility", solubility),
)
