"""A preservative that is absent, thinned or taken away."""

from __future__ import annotations

from dataclasses import replace

from formulary.formula.content import Period, Role, ShelfLife, Span, Storage
from formulary.review.case import Facts
from formulary.stock.lot import Source
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    WATER,
    a_cream,
    an_ingredient,
    fields,
    loudness,
    named,
    with_ph,
)
from tests.helpers.formulas import a_line, active

UREA = active("Urea", "5 % w/w")
BASE = an_ingredient("House cream", source=Source.BASE)


def test_water_without_a_preservative_needs_a_reason_unless_kept_cold_and_short() -> None:
    assert loudness(a_cream(UREA, WATER), "preservative_absent") == [REASON]
    cold = a_cream(
        UREA,
        WATER,
        storage=Storage(2, 8),
        shelf_life=ShelfLife(Period(14, Span.DAYS), reference="invented for this test"),
    )
    assert loudness(cold, "preservative_absent") == [NOTE]
    longer = replace(cold, shelf_life=ShelfLife(Period(15, Span.DAYS)))
    assert loudness(longer, "preservative_absent") == [REASON]
    assert loudness(a_cream(UREA, FAT), "preservative_absent") == []


def test_a_preservative_or_much_glycerol_answers_it() -> None:
    kept = a_line("Phenoxyethanol", "1 % w/w", Role.PRESERVATIVE)
    assert loudness(a_cream(UREA, kept, WATER), "preservative_absent") == []
    # Belgian public page: glycerol preserves from 30 % on.
    assert loudness(a_cream(a_line("Glycerol", "35 g"), WATER), "preservative_absent") == []
    assert loudness(a_cream(a_line("Glycerol", "5 g"), WATER), "preservative_absent") == [REASON]


def test_a_thinned_preservative_needs_a_reason() -> None:
    # Belgian public page: phenoxyethanol preserves from 0.5 % on.
    thin = a_line("Phenoxyethanol", "0.3 % w/w", Role.PRESERVATIVE)
    enough = a_line("Phenoxyethanol", "0.5 % w/w", Role.PRESERVATIVE)
    assert loudness(a_cream(UREA, thin, WATER), "preservative_diluted") == [REASON]
    assert loudness(a_cream(UREA, enough, WATER), "preservative_diluted") == []


def test_a_bases_own_preservative_is_thinned_with_it_and_what_is_added_counts() -> None:
    own = a_cream(
        a_line("Phenoxyethanol", "1 % w/w", Role.PRESERVATIVE), WATER, **named("House cream")
    )
    facts = Facts(ingredients=(BASE,), made_here={"House cream": own})
    half = a_cream(a_line("Zinc oxide", "60 g"), a_line("House cream", "to 100 g"))
    assert loudness(half, "preservative_diluted", facts) == [REASON]
    assert fields(half, "preservative_diluted", facts) == ["ingredient.1.quantity"]
    more = a_cream(
        a_line("Zinc oxide", "60 g"),
        a_line("Phenoxyethanol", "0.2 g", Role.PRESERVATIVE),
        a_line("House cream", "to 100 g"),
    )
    assert loudness(more, "preservative_diluted", facts) == []


def test_whether_a_bought_base_is_preserved_is_asked() -> None:
    bought = a_cream(UREA, a_line("Aqueous cream", "to 100 g"))
    assert loudness(bought, "preservative_absent") == [NOTE]


def test_a_preservative_beside_what_binds_it_needs_a_reason() -> None:
    methyl = a_line("Methyl parahydroxybenzoate", "0.1 % w/w", Role.PRESERVATIVE)
    bound = a_cream(methyl, a_line("Polysorbate 80", "2 g"), WATER)
    assert loudness(bound, "preservative_inactivated") == [REASON]
    assert loudness(a_cream(methyl, WATER), "preservative_inactivated") == []


def test_a_preservative_at_a_ph_at_which_it_doesnt_work_needs_a_reason() -> None:
    # Belgian public page: sorbic acid works below pH 4.
    sorbic = a_line("Sorbic acid", "0.1 % w/w", Role.PRESERVATIVE)
    neutral = a_cream(sorbic, WATER, **with_ph("6 to 7"))
    partly = a_cream(sorbic, WATER, **with_ph("3.5 to 4.5"))
    acid = a_cream(sorbic, WATER, **with_ph("3 to 4"))
    assert loudness(neutral, "preservative_inactivated") == [REASON]
    assert loudness(partly, "preservative_inactivated") == [NOTE]
    assert loudness(acid, "preservative_inactivated") == []
