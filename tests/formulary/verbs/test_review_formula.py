"""The review stands before each act: a stop blocks, a reason is a pharmacist's and is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content, Evidence, Period, Role, ShelfLife, Span
from formulary.formula.stability import Preservation, Preserved, Water, WaterClass
from formulary.formula.version import State, Version
from formulary.ids import new_id
from formulary.review.house_rules import HouseRule
from formulary.store import Store
from formulary.verbs.keep_records import save_house
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import (
    add_house_rule,
    basis_of,
    end_house_rule,
    override_finding,
    review_version,
)
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.write_version import write_version
from tests.formulary.review.cases import WATER, a_cream
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, a_desk, at, furnished, in_use
from tests.helpers.formulas import a_line, active

FAT = a_line("White soft paraffin", "to 100 g", Role.BASE)
DRY = Water(WaterClass.NON_AQUEOUS, source="nothing but fat and powder")
PAIR = a_cream(active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), FAT, water=DRY)


def watery(unopened: Period, **more: object) -> Content:
    """Return a watery cream with a preservative that works."""
    known: dict[str, Any] = {
        "shelf_life": ShelfLife(unopened, reference="invented for this test"),
        "water": Water(WaterClass.AQUEOUS, source="water is the vehicle"),
        "preservation": Preservation(Preserved.YES, "sorbate at pH 4"),
    }
    return a_cream(active("Urea", "5 g"), WATER, **(known | more))


QUIET = a_cream(active("Zinc oxide", "10 g"), FAT, water=DRY)


@pytest.fixture
def desk(store: Store) -> Desk:
    return a_desk(furnished(store))


def reviewed(desk: Desk, content: Content = PAIR) -> Version:
    version = write_version(at(desk, ADA), content)
    return send_to_review(at(desk, ADA), version.id)


def the_pair(desk: Desk, version: Version) -> Finding:
    return next(e for e in review_version(desk, version).open if e.rule == "incompatible")


def test_what_needs_a_reason_isnt_put_in_use_before_it_has_one(desk: Desk) -> None:
    version = reviewed(desk)
    with pytest.raises(Refusal) as refused:
        put_in_use(at(desk, BEN), version.id, PIN)
    assert refused.value.message.key == "review.needs_reason"
    kept = override_finding(at(desk, BEN), version.id, the_pair(desk, version), "fatty base", PIN)
    assert kept.signature.person == BEN.name
    assert put_in_use(at(desk, BEN), version.id, PIN).state is State.IN_USE


def test_the_reason_stays_with_the_version_and_its_finding_stays_visible(desk: Desk) -> None:
    version = reviewed(desk)
    pair = the_pair(desk, version)
    kept = override_finding(at(desk, BEN), version.id, pair, "fatty base", PIN)
    found = review_version(desk, version)
    assert found.overridings == (kept,)
    assert pair in found.findings
    assert found.open == ()
    assert desk.store.history(0, 100)[-1].verb == "override_finding"


def test_only_a_pharmacist_gives_a_reason_and_with_the_pin(desk: Desk) -> None:
    version = reviewed(desk)
    pair = the_pair(desk, version)
    with pytest.raises(Forbidden):
        override_finding(at(desk, CID), version.id, pair, "fatty base", PIN)
    with pytest.raises(Forbidden):
        override_finding(at(desk, BEN), version.id, pair, "fatty base", "0000")
    with pytest.raises(Refusal):
        override_finding(at(desk, BEN), version.id, pair, "  ", PIN)
    assert review_version(desk, version).overridings == ()


def test_nobody_passes_a_stop(desk: Desk) -> None:
    tenfold = replace(QUIET, label=replace(QUIET.label, strength="0.1 % w/w"))
    version = reviewed(desk, tenfold)
    stop = next(e for e in review_version(desk, version).findings if e.severity is Severity.STOP)
    with pytest.raises(Refusal):
        override_finding(at(desk, BEN), version.id, stop, "it is right", PIN)
    with pytest.raises(Refusal) as refused:
        put_in_use(at(desk, BEN), version.id, PIN)
    assert refused.value.message.key == "review.stopped"


def test_a_reason_is_for_a_finding_that_there_is(desk: Desk) -> None:
    version = reviewed(desk)
    other = replace(the_pair(desk, version), field="ingredient.7.name")
    with pytest.raises(Refusal):
        override_finding(at(desk, BEN), version.id, other, "fatty base", PIN)


def a_rule(**more: object) -> HouseRule:
    about = {"because": "two tubes went lumpy", "substances": ("Zinc oxide",)} | more
    return HouseRule(new_id(), **about)  # type: ignore[arg-type]  # by name


def test_a_new_rule_of_the_house_stops_a_start_until_a_reason_is_given(desk: Desk) -> None:
    version = in_use(desk, QUIET)
    rule = a_rule(sentence="Sieve the zinc oxide twice.")
    add_house_rule(at(desk, BEN), rule, PIN)
    with pytest.raises(Refusal) as refused:
        start_preparation(at(desk, CID), version.id, Order("100 g"))
    assert refused.value.message.key == "review.needs_reason"
    asked = review_version(desk, version).open[0]
    override_finding(at(desk, BEN), version.id, asked, "sieved by the supplier", PIN)
    assert start_preparation(at(desk, CID), version.id, Order("100 g")).lot


def test_a_rule_of_the_house_is_signed_and_taken_back_with_a_signature(desk: Desk) -> None:
    kept = add_house_rule(at(desk, BEN), a_rule(silences="incompatible"), PIN)
    assert kept.signature is not None
    assert kept.signature.person == BEN.name
    version = reviewed(desk)
    assert review_version(desk, version).open == ()
    ended = end_house_rule(at(desk, ADA), kept.id, "the supplier changed", PIN)
    assert ended.ended is not None
    assert [each.rule for each in review_version(desk, version).open] == ["incompatible"]
    with pytest.raises(Refusal):
        end_house_rule(at(desk, ADA), kept.id, "again", PIN)


def test_a_technician_has_no_rules_of_the_house_to_give(desk: Desk) -> None:
    with pytest.raises(Forbidden):
        add_house_rule(at(desk, CID), a_rule(silences="incompatible"), PIN)


def test_a_reason_is_due_again_with_the_review_of_the_formula(desk: Desk) -> None:
    version = reviewed(desk)
    override_finding(at(desk, BEN), version.id, the_pair(desk, version), "fatty base", PIN)
    later = a_desk(desk.store, at=MORNING.replace(year=MORNING.year + 3))
    assert [each.rule for each in review_version(later, version).open] == ["incompatible"]


def test_what_was_signed_stays(desk: Desk) -> None:
    version = reviewed(desk)
    kept = override_finding(at(desk, BEN), version.id, the_pair(desk, version), "fatty base", PIN)
    rule = add_house_rule(at(desk, BEN), a_rule(silences="sums"), PIN)
    for record in (replace(kept, reason="another"), replace(rule, because="another")):
        with pytest.raises(Forbidden), desk.writing("save_house") as writing:
            writing.put(record)


def test_what_was_made_last_is_known_to_the_next_version(desk: Desk) -> None:
    version = in_use(desk, QUIET)
    made = start_preparation(at(desk, CID), version.id, Order("100 g"))
    tenth = a_cream(active("Zinc oxide", "1 g"), FAT)
    again = write_version(at(desk, ADA), tenth, formula_id=version.formula_id, reason="milder")
    found = [e for e in review_version(desk, again).findings if e.rule == "last_made"]
    assert [dict(each.said.parameters)["lot"] for each in found] == [made.lot]
    assert found[0].severity is Severity.REASON


def beyond(desk: Desk, content: Content) -> list[Finding]:
    return [each for each in basis_of(desk).review(content) if each.rule == "date_beyond_rule"]


def test_a_date_beyond_the_houses_rule_set_needs_a_reason(desk: Desk) -> None:
    # USP <795> (2023): aqueous and preserved, 35 days.
    found = beyond(desk, watery(Period(6, Span.MONTHS)))
    assert [(each.severity, each.field) for each in found] == [
        (Severity.REASON, "shelf_life.unopened")
    ]
    assert found[0].source is not None
    assert beyond(desk, watery(Period(35, Span.DAYS))) == []


def test_evidence_that_fits_answers_it_up_to_the_sets_ceiling(desk: Desk) -> None:
    def studied(shelf_life: Period, shown: Period) -> Content:
        evidence = Evidence(shown, "invented study", *(True,) * 4)
        return watery(shelf_life, evidence=evidence)

    assert beyond(desk, studied(Period(90, Span.DAYS), Period(90, Span.DAYS))) == []
    assert beyond(desk, studied(Period(120, Span.DAYS), Period(90, Span.DAYS)))
    assert beyond(desk, studied(Period(200, Span.DAYS), Period(365, Span.DAYS)))
    fitting = studied(Period(90, Span.DAYS), Period(90, Span.DAYS))
    other_box = replace(fitting, evidence=Evidence(Period(90, Span.DAYS), "invented study"))
    assert beyond(desk, other_box)


def test_a_rule_set_that_the_house_chose_later_dates_a_version_in_use_and_doesnt_stop_it(
    desk: Desk,
) -> None:
    save_house(at(desk, ADA), replace(desk.house, rule_set="be-2-months"))
    version = in_use(desk, watery(Period(2, Span.MONTHS)))
    save_house(at(desk, ADA), replace(desk.house, rule_set="usp795-2023"))
    (said,) = [e for e in review_version(desk, version).findings if e.rule == "date_beyond_rule"]
    assert said.severity is Severity.NOTE
    made = start_preparation(at(desk, CID), version.id, Order("100 g"))
    assert (made.use_by - made.made_on).days == 34


def test_it_is_the_houses_own_rule_set_that_it_is_held_against(desk: Desk) -> None:
    # The Belgian set allows two months where the set of 2023 allows 35 days.
    two_months = watery(Period(2, Span.MONTHS))
    assert beyond(desk, two_months)
    save_house(at(desk, ADA), replace(desk.house, rule_set="be-2-months"))
    assert beyond(desk, two_months) == []


def test_what_the_rule_asks_and_the_formula_leaves_open_is_said_with_what_counts_meanwhile(
    desk: Desk,
) -> None:
    silent = watery(Period(14, Span.DAYS), water=None, preservation=None)
    (found,) = [each for each in basis_of(desk).review(silent) if each.rule == "left_open"]
    assert (found.severity, found.field) == (Severity.NOTE, "water.class")
    told = Catalogue().text(found.said)
    assert "whether it is aqueous, or its measured water activity" in told
    assert "the shortest limit that may hold counts: " in told
    assert "How long by rule" in told
    said = basis_of(desk).review(watery(Period(14, Span.DAYS)))
    assert "left_open" not in {each.rule for each in said}
