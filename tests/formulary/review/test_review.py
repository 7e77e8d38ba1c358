"""The review as a whole: order, sentences, rules of the house, reasons that let it stand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import Forbidden, Refusal
from formulary.exchange.sample_house import sample_house
from formulary.finding import Finding, Severity
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.version import State
from formulary.people import Post
from formulary.review.case import Case, Facts
from formulary.review.house_rules import HouseRule
from formulary.review.overriding import Overriding, holding, require_overridable, unanswered
from formulary.review.registry import RULES, review
from formulary.signing import Meaning, Signature
from formulary.verbs.review_formula import Basis
from tests.formulary.review.cases import FAT, NOTE, REASON, STOP, a_cream
from tests.helpers.formulas import a_line, active, amount

AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
BY = Signature("p-1", "Ada Berg", Post.PHARMACIST.value, Meaning.DECIDED, AT)
PAIR = a_cream(active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), FAT)


def said(content: Content, *rules: HouseRule) -> list[tuple[str, Severity]]:
    return [(each.rule, each.severity) for each in review(Case(content), rules)]


def test_no_two_rules_have_one_name() -> None:
    names = [each.name for each in RULES]
    assert len(set(names)) == len(names)


def test_the_loudest_comes_first_and_each_finding_names_rule_and_field() -> None:
    short = a_cream(
        active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), total=amount("100 g")
    )
    found = review(Case(short))
    loudness = [each.severity for each in found]
    assert loudness == sorted(loudness, key=list(Severity).index)
    assert loudness[0] is STOP
    assert all(each.rule and each.field for each in found)


def test_the_formulas_in_use_of_the_sample_house_show_no_stop() -> None:
    book = sample_house()
    used = [each for each in book.versions if each.state is State.IN_USE]
    facts = Facts(
        today=date(2026, 3, 10),
        ingredients=book.ingredients,
        balances=book.house.balances,
        made_here={each.content.label.name: each.content for each in used},
        titles=tuple(each.content.title for each in used),
    )
    for version in used:
        found = Basis(facts, book.house).review(version.content)
        assert [each for each in found if each.severity is not NOTE] == [], version.content.code


def test_every_finding_on_the_sample_house_is_a_sentence() -> None:
    book, catalogue = sample_house(), Catalogue()
    facts = Facts(ingredients=book.ingredients, balances=book.house.balances)
    for version in book.versions:
        for each in review(Case(completed(version.content, book.ingredients), facts)):
            assert catalogue.text(each.said).endswith((".", "?", ":"))
            assert each.source is None or catalogue.text(each.source).strip()


def test_a_house_silences_what_needs_a_reason_or_is_noted_but_never_a_stop() -> None:
    pair = HouseRule("h-1", "made so for years", ("Zinc oxide",), silences="incompatible")
    assert ("incompatible", REASON) in said(PAIR)
    assert ("incompatible", REASON) not in said(PAIR, pair)
    assert ("incompatible", REASON) in said(PAIR, replace(pair, substances=("Urea",)))
    assert ("incompatible", REASON) in said(PAIR, replace(pair, ended=BY))
    short = a_cream(active("Zinc oxide", "2 g"), total=amount("100 g"))
    sums = HouseRule("h-2", "never mind", silences="sums")
    assert ("sums", STOP) in said(short, sums)


def test_a_house_adds_a_finding_about_its_substances() -> None:
    own = HouseRule(
        "h-3",
        "two tubes went lumpy in May",
        ("Zinc oxide", "White soft paraffin"),
        severity=Severity.NOTE,
        sentence="Sieve the zinc oxide twice.",
    )
    found = [each for each in review(Case(PAIR), (own,)) if each.rule == "house h-3"]
    assert [each.field for each in found] == ["ingredient.2.name"]
    assert Catalogue().text(found[0].said) == "Sieve the zinc oxide twice."
    assert ("house h-3", NOTE) not in said(a_cream(a_line("Urea", "1 g"), FAT), own)


@pytest.mark.parametrize(
    "more",
    [
        {"because": " ", "silences": "sums"},
        {"because": "so"},
        {"because": "so", "silences": "sums", "sentence": "Stir."},
        {"because": "so", "sentence": "Stir."},
    ],
)
def test_a_rule_of_the_house_says_one_thing_about_something_and_why(more: dict[str, Any]) -> None:
    with pytest.raises(Refusal):
        HouseRule("h-4", **more)


def the_pair() -> Finding:
    return next(each for each in review(Case(PAIR)) if each.rule == "incompatible")


def test_a_reason_lets_its_own_finding_stand_until_it_is_looked_at_again() -> None:
    pair = the_pair()
    given = Overriding("o-1", "v-1", pair.rule, pair.field, pair.said, "fatty base", BY)
    assert pair in unanswered(review(Case(PAIR)), ())
    held = holding((given,), 24, date(2028, 3, 9))
    assert pair not in unanswered(review(Case(PAIR)), held)
    assert holding((given,), 24, date(2028, 3, 10)) == ()
    assert holding((given,), 0, date(2040, 1, 1)) == (given,)
    other = replace(given, field="ingredient.0.name")
    assert pair in unanswered(review(Case(PAIR)), (other,))


def test_only_a_pharmacist_gives_a_reason_and_only_for_what_needs_one() -> None:
    pair = the_pair()
    require_overridable(pair, "fatty base", BY)
    with pytest.raises(Refusal):
        require_overridable(pair, "  ", BY)
    for loudness in (STOP, NOTE):
        with pytest.raises(Refusal):
            require_overridable(replace(pair, severity=loudness), "fatty base", BY)
    with pytest.raises(Forbidden):
        require_overridable(pair, "fatty base", replace(BY, post=Post.TECHNICIAN.value))
