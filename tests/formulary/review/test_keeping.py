"""Container, storage, shelf life against a rule, and a review that is due."""

from __future__ import annotations

from datetime import date

from formulary.formula.content import Container, Period, ShelfLife, Span
from formulary.messages import message
from formulary.review.case import Facts, Limit
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    STOP,
    a_cream,
    a_solution,
    fields,
    loudness,
)
from tests.helpers.formulas import active

RIBOFLAVIN, UREA = active("Riboflavin", "1 g"), active("Urea", "1 g")
IODINE = active("Iodine", "1 g")


def test_what_suffers_from_light_needs_a_dark_container() -> None:
    clear = Container("Clear glass jar")
    assert loudness(a_cream(RIBOFLAVIN, FAT, container=clear), "container") == [REASON]
    assert loudness(a_cream(RIBOFLAVIN, FAT), "container") == []
    assert loudness(a_cream(UREA, FAT, container=clear), "container") == []


def test_what_attacks_plastic_or_metal_needs_glass() -> None:
    for text in ("Plastic bottle", "HDPE bottle, PE", "Aluminium tube"):
        packed = Container(text, protect_from_light=True)
        assert loudness(a_solution(IODINE, container=packed), "container") == [REASON]
    glass = Container("Amber glass bottle")
    assert loudness(a_solution(IODINE, container=glass), "container") == []
    assert loudness(a_cream(UREA, FAT, container=None), "container") == [NOTE]


def test_storage_and_shelf_life_are_never_missing() -> None:
    assert loudness(a_cream(UREA, FAT, storage=None), "storage") == [STOP]
    assert fields(a_cream(UREA, FAT, shelf_life=None), "storage") == ["shelf_life.unopened"]
    bare = ShelfLife(Period(14, Span.DAYS))
    assert loudness(a_cream(UREA, FAT, shelf_life=bare), "storage") == [NOTE]
    assert loudness(a_cream(UREA, FAT), "storage") == []


def test_a_shelf_life_beyond_a_rules_limit_needs_a_reason() -> None:
    def until(day: date) -> Facts:
        limit = Limit(day, message("review.source.unpreserved"))
        return Facts(today=date(2026, 3, 1), limit=limit)

    # Made on the first of March, 35 days end on the fourth of April.
    assert loudness(a_cream(UREA, FAT), "date_beyond_rule", until(date(2026, 4, 3))) == [REASON]
    assert loudness(a_cream(UREA, FAT), "date_beyond_rule", until(date(2026, 4, 4))) == []
    assert loudness(a_cream(UREA, FAT), "date_beyond_rule") == []


def test_of_a_version_in_use_a_date_beyond_the_rule_is_noted_since_the_rule_dates_it() -> None:
    limit = Limit(date(2026, 3, 14), message("review.source.unpreserved"))
    facts = Facts(today=date(2026, 3, 1), limit=limit, in_use=True)
    assert loudness(a_cream(UREA, FAT), "date_beyond_rule", facts) == [NOTE]


def test_a_date_that_a_rule_might_allow_is_noted_until_more_is_told() -> None:
    cited = message("review.source.unpreserved")
    limit = Limit(date(2026, 3, 14), cited, at_best=date(2026, 8, 27))
    facts = Facts(today=date(2026, 3, 1), limit=limit)
    assert loudness(a_cream(UREA, FAT), "date_beyond_rule", facts) == [NOTE]
    assert fields(a_cream(UREA, FAT), "date_beyond_rule", facts) == ["water.class"]
    half_a_year = ShelfLife(Period(6, Span.MONTHS), reference="invented for this test")
    longer = a_cream(UREA, FAT, shelf_life=half_a_year)
    assert loudness(longer, "date_beyond_rule", facts) == [REASON]


def test_a_review_is_overdue_after_its_last_day() -> None:
    due = date(2026, 3, 1)
    late, in_time = (Facts(today=date(2026, 3, day), review_due=due) for day in (2, 1))
    assert loudness(a_cream(UREA, FAT), "review_overdue", late) == [NOTE]
    assert loudness(a_cream(UREA, FAT), "review_overdue", in_time) == []
