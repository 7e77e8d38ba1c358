"""A formula sheet says all that a version says, who stands for it, and what the review found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from formulary.acts import Act
from formulary.desk import Desk
from formulary.exchange.sample_house import sample_house
from formulary.formula.content import Content, Role
from formulary.formula.difference import stated
from formulary.formula.fields_of import fields_of
from formulary.formula.stability import Water, WaterClass
from formulary.formula.version import Version
from formulary.ids import new_id
from formulary.labels.page import Page
from formulary.papers.formula_sheet import formula_sheet
from formulary.papers.formula_subject import of_version
from formulary.review.house_rules import HouseRule
from formulary.verbs.build_house import build_house
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import add_house_rule, override_finding, review_version
from formulary.verbs.write_version import write_version
from tests.formulary.papers.reading import misplaced, missing, numbers_of
from tests.formulary.review.cases import a_cream
from tests.helpers.desks import BEN, MORNING, PIN, a_desk, at, furnished, in_use
from tests.helpers.formulas import a_line, active
from tests.helpers.memory_store import MemoryStore

FAT = a_line("White soft paraffin", "to 100 g", Role.BASE)
PAIR = a_cream(active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), FAT)
PAIR = replace(PAIR, water=Water(WaterClass.NON_AQUEOUS, source="invented for this test"))
CODED = ("role", "warnings", "convention", "displacement_convention", "phase", "joins", "what")
"""Fields that are kept as codes and said in words."""


@pytest.fixture(scope="module")
def sample() -> Desk:
    """Return a desk in the sample pharmacy with nothing made yet."""
    store, book = MemoryStore(), sample_house()
    act = Act("p-0", "Test", "pharmacist", "bench", MORNING)
    build_house(store, act, book)
    return a_desk(store, book.people[0])


@pytest.fixture
def desk(memory_store: MemoryStore) -> Desk:
    return a_desk(furnished(memory_store))


def sheet(desk: Desk, version: Version) -> tuple[Page, ...]:
    return formula_sheet(of_version(desk, version))


def free_texts(fields: Any, name: str = "") -> Iterator[str]:  # noqa: ANN401  as read from TOML
    """Yield every text of a formula file that isn't a code or a figure."""
    if isinstance(fields, dict):
        for key, value in fields.items():
            yield from free_texts(value, key)
    elif isinstance(fields, list):
        for value in fields:
            yield from free_texts(value, name)
    elif isinstance(fields, str) and name not in CODED and not fields[:1].isdigit():
        yield fields


def is_quantity(text: str) -> bool:
    """Tell whether a text is a quantity, which the sheet says in the words of the trade."""
    return text.startswith(("to ", "q.s.", "aa "))


def test_every_text_of_every_formula_is_on_its_sheet(sample: Desk) -> None:
    for version in sample.store.every(Version):
        said = [each for each in free_texts(fields_of(version.content)) if not is_quantity(each)]
        assert missing(sheet(sample, version), *said) == [], version.content.code


def test_a_sheet_stays_inside_its_pages_and_numbers_them(sample: Desk) -> None:
    for version in sample.store.every(Version)[:8]:
        pages = sheet(sample, version)
        assert misplaced(pages) == [], version.content.code
        assert numbers_of(pages, "Page {n} of {total}") == []


def test_it_says_version_printer_and_head_of_the_chain_on_each_page(desk: Desk) -> None:
    version = in_use(desk, PAIR)
    pages, last = sheet(desk, version), desk.store.last_entry()
    assert last is not None
    foot = f"Printed 10 Mar 2026 09:00 by Ada Berg. Head of the chain: entry {last.number}"
    for page in pages:
        assert missing((page,), "T-1, version 1", foot, last.hash[:16]) == []


def test_it_says_who_wrote_it_who_put_it_in_use_and_why(desk: Desk) -> None:
    first = in_use(desk, PAIR)
    change = replace(PAIR, purpose="Psoriasis")
    second = write_version(desk, change, formula_id=first.formula_id, reason="purpose was missing")
    wanted = ("Version 1, in use", "Version 2, draft", "purpose was missing")
    assert missing(sheet(desk, second), *wanted) == []
    assert missing(sheet(desk, first), "Put in use by Ben Cole", "Written by Ada Berg") == []


def test_it_shows_findings_with_their_source_and_the_reason_that_lets_them_stand(
    desk: Desk,
) -> None:
    version = send_to_review(desk, write_version(desk, PAIR).id)
    before = sheet(desk, version)
    pair = next(e for e in review_version(desk, version).open if e.rule == "incompatible")
    assert missing(before, "Needs a reason: ") == []
    override_finding(at(desk, BEN), version.id, pair, "made fresh for one week", PIN)
    after = sheet(desk, put_in_use(at(desk, BEN), version.id, PIN))
    assert missing(after, "made fresh for one week (Ben Cole, 10 Mar 2026 09:00)") == []
    assert missing(before, "made fresh for one week") != []


def test_a_reason_stays_on_it_when_a_rule_of_the_house_silences_the_finding(desk: Desk) -> None:
    version = send_to_review(desk, write_version(desk, PAIR).id)
    pair = next(e for e in review_version(desk, version).open if e.rule == "incompatible")
    override_finding(at(desk, BEN), version.id, pair, "made fresh for one week", PIN)
    heard = sheet(desk, version)
    rule = HouseRule(new_id(), "we make it often", ("Zinc oxide",), silences="incompatible")
    add_house_rule(at(desk, BEN), rule, PIN)
    silenced = sheet(desk, version)
    wanted = ("A rule of the house keeps silent: ", "made fresh for one week (Ben Cole")
    assert missing(silenced, *wanted) == []
    assert missing(heard, *wanted) == [wanted[0]]


def test_a_version_that_isnt_in_use_says_so_across_each_page(desk: Desk) -> None:
    draft = write_version(desk, PAIR)
    pages = sheet(desk, draft)
    assert all(missing((page,), "NOT FOR USE – draft") == [] for page in pages)
    used = in_use(desk, replace(PAIR, code="T-2"))
    assert missing(sheet(desk, used), "NOT FOR USE – in use", "NOT FOR USE – draft") == [
        "NOT FOR USE – in use",
        "NOT FOR USE – draft",
    ]


def test_the_working_of_the_date_stands_there_with_its_rule_set(sample: Desk) -> None:
    version = next(e for e in sample.store.every(Version) if e.content.code == "CR-005")
    wanted = ("Rule set: USP <795>, limits of 2023", "16; from 100 on it counts as high")
    assert missing(sheet(sample, version), *wanted) == []


def test_every_stated_field_has_its_name(sample: Desk) -> None:
    contents: list[Content] = [each.content for each in sample.store.every(Version)]
    names = {each.place.key for content in contents for each in stated(content)}
    assert all(key.startswith("difference.field.") for key in names)
    assert len(names) > 30
