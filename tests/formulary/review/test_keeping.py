"""Container, storage, shelf life against a rule, and a review that is due."""

from __future__ import annotations

from datetime import date

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.formula.content import Container, Period, ShelfLife, Span
from formulary.house import Pack
from formulary.messages import message
from formulary.quantity.density import Density
from formulary.quantity.parsing import parse_amount
from formulary.review.case import Facts, Limit
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    STOP,
    a_cream,
    a_solution,
    fields,
    found,
    loudness,
)
from tests.helpers.formulas import active, density

RIBOFLAVIN, UREA = active("Riboflavin", "1 g"), active("Urea", "1 g")
IODINE = active("Iodine", "1 g")
JAR = Pack("Jar 60 g, white", parse_amount("60 g"), parse_amount("78 mL"))


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


def test_a_named_container_is_held_against_its_fill_by_volume() -> None:
    facts = Facts(packs=(JAR,))
    light, heavy = density("0.4"), density("1.1")

    def heard(text: str, of: Density | None) -> list[Severity]:
        cream = a_cream(UREA, FAT, container=Container(text, material="glass"), density=of)
        return loudness(cream, "container_volume", facts)

    # 60 g at 0.4 g/mL are 150 mL, at 1.1 g/mL they are 54.5 mL of the 78 mL to the rim.
    assert heard("Jar 60 g white", light) == [REASON]
    assert heard("Jar 60 g, white", heavy) == []
    assert heard("Jar 60 g, white", density("0.8")) == [REASON]
    assert heard("Jar 60 g, white", density("1.8")) == [NOTE]
    assert heard("Jar 160 g, white", light) == heard("White jar with lid", light) == []
    assert heard("Jar 60 g, white", None) == [NOTE]
    named = a_cream(UREA, FAT, container=Container("Jar 60 g, white"), density=light)
    (finding,) = found(named, "container_volume", facts)
    assert finding.field == "container.text"
    assert finding.source is not None
    said = Catalogue().text(finding.said).replace("\N{NO-BREAK SPACE}", " ")
    assert said == "150 mL doesn't fit Jar 60 g, white, which holds 78 mL to the rim."


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
