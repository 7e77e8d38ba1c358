"""A house built, its records kept, and its formulas looked up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from formulary.desk import Desk
from formulary.errors import Conflict, NotFound, Refusal
from formulary.exchange.sample_house import sample_house
from formulary.finding import Severity
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.people import Person, Post
from formulary.scaling.balance_sheet import balance_sheet
from formulary.stock.listing import counts
from formulary.store import Store
from formulary.verbs.build_house import HouseBook, build_house
from formulary.verbs.keep_records import save_house, save_ingredient, save_person
from formulary.verbs.list_stock import list_stock
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.plan import plan
from formulary.verbs.write_version import write_version
from tests.helpers.desks import ADA, furnished, in_use
from tests.helpers.formulas import a_formula, a_house, a_line, amount, density
from tests.helpers.kept import ACT, a_content, a_version


def test_a_house_is_built_once(desk: Desk) -> None:
    with pytest.raises(Refusal) as caught:
        build_house(desk.store, ACT, HouseBook(a_house(), (ADA,)))
    assert caught.value.message.key == "verbs.house_there_already"


def test_a_house_is_built_in_one_act(memory_store: Store) -> None:
    store = furnished(memory_store)
    assert [entry.verb for entry in store.history()] == ["build_house"]
    assert [each.name for each in store.every(House)] == ["Test house"]
    assert len(store.every(Person)) == 3


def test_versions_of_a_book_belong_to_formulas_of_their_own(memory_store: Store) -> None:
    oil = Ingredient("i-1", "Zinc oxide", density=density("5.6"))
    versions = tuple(a_version(a_content(), "any", number) for number in (1, 2))
    build_house(memory_store, ACT, HouseBook(a_house(), (ADA,), (oil,), versions))
    formula = formula_named(memory_store, "ZC")
    found = memory_store.versions(formula.id)
    assert [each.number for each in found] == [1, 2]
    assert found[0].content.lines[0].density == oil.density


@pytest.fixture(scope="module")
def sample() -> HouseBook:
    """The sample pharmacy."""
    return sample_house(today=date(2026, 2, 3))


def test_the_sample_pharmacy_has_what_was_promised(sample: HouseBook) -> None:
    assert len({each.formula_id for each in sample.versions}) >= 18
    assert len(sample.ingredients) >= 50
    assert sample.house.sample


def test_the_sample_pharmacy_is_built(memory_store: Store, sample: HouseBook) -> None:
    build_house(memory_store, ACT, sample)
    assert len(memory_store.every(Ingredient)) == len(sample.ingredients)
    assert len(memory_store.find_formulas("")) == len({e.formula_id for e in sample.versions})
    assert list(memory_store.register()) == []


def test_the_sample_pharmacy_s_shelves_show_good_and_bad(
    memory_store: Store, sample: HouseBook
) -> None:
    build_house(memory_store, ACT, sample)
    stock = list_stock(memory_store, date(2026, 2, 3))
    assert {each.lot.ingredient_id for each in stock.lots} == {e.id for e in sample.ingredients}
    assert all(counts(stock.lots).values())
    assert {name for name, _ in stock.low} >= {"Hydrocortisone", "Eucalyptus oil"}
    assert [each.good.name for each in stock.goods if each.is_low] == ["Jar 120 mL"]
    numbers = [held.container.number for each in stock.lots for held in each.holdings]
    assert len(numbers) == len(set(numbers))


def test_every_sample_formula_adds_up(sample: HouseBook) -> None:
    from formulary.formula.completing import completed

    for version in sample.versions:
        content = completed(version.content, sample.ingredients)
        stops = [e for e in balance_sheet(content).findings if e.severity is Severity.STOP]
        assert not stops, content.code


def test_no_sample_version_in_use_was_approved_by_its_author(sample: HouseBook) -> None:
    used = [each for each in sample.versions if each.state is State.IN_USE]
    assert used
    for version in used:
        assert version.approver_id, version.formula_id
        assert version.approver_id != version.author_id, version.formula_id
        assert version.content.storage, version.formula_id
        assert version.content.shelf_life, version.formula_id


def test_a_formula_is_found_by_code_title_or_the_only_hit(desk: Desk) -> None:
    version = in_use(desk)
    for text in ("ZC", "zc", "Zinc cream", "ZINC CREAM", "zin", "cream base"):
        assert formula_named(desk.store, text).id == version.formula_id


def test_a_code_wins_over_words_that_fit_several(desk: Desk) -> None:
    in_use(desk)
    in_use(desk, a_content("Zinc cream strong", "ZC-2"))
    assert formula_named(desk.store, "ZC").title == "Zinc cream"
    with pytest.raises(Refusal) as caught:
        formula_named(desk.store, "zin")
    assert caught.value.message.key == "verbs.several_formulas"


def test_nothing_found_is_said(desk: Desk) -> None:
    with pytest.raises(NotFound):
        formula_named(desk.store, "moon dust")
    with pytest.raises(NotFound):
        current_version(desk.store, "nowhere")


def test_the_version_in_use_counts_before_a_newer_draft(desk: Desk) -> None:
    used = in_use(desk)
    write_version(desk, a_content("New"), formula_id=used.formula_id, reason="better")
    assert current_version(desk.store, used.formula_id).id == used.id


def test_without_one_in_use_the_newest_counts(desk: Desk) -> None:
    version: Version = write_version(desk, a_content())
    assert current_version(desk.store, version.formula_id) == version


def test_the_houses_settings_are_kept(desk: Desk) -> None:
    save_house(desk, replace(desk.house, telephone="01632 960000"), "moved")
    assert desk.house.telephone == "01632 960000"
    assert desk.store.history()[-1].act.reason == "moved"


def test_settings_that_somebody_changed_since_are_a_conflict(desk: Desk) -> None:
    old = desk.house
    save_house(desk, replace(old, telephone="1"))
    with pytest.raises(Conflict):
        save_house(desk, replace(old, telephone="2"))
    assert desk.house.telephone == "1"


def test_an_ingredients_name_is_its_own(desk: Desk) -> None:
    first = save_ingredient(desk, Ingredient("i-1", "Zinc oxide"))
    with pytest.raises(Refusal) as caught:
        save_ingredient(desk, Ingredient("i-2", "ZINC OXIDE"))
    assert caught.value.message.key == "verbs.ingredient_taken"
    assert save_ingredient(desk, replace(first, latin="Zinci oxidum")).latin == "Zinci oxidum"


def test_somebody_new_is_kept(desk: Desk) -> None:
    save_person(desk, Person("p-new", "Dora Eck", Post.TECHNICIAN))
    assert "Dora Eck" in [each.name for each in desk.store.every(Person)]


def test_a_plan_takes_densities_from_the_house(desk: Desk) -> None:
    save_ingredient(desk, Ingredient("i-1", "Oil", density=density("0.9")))
    content = a_formula(a_line("Oil", "10 mL"), a_line("Base", "to 100 g"))
    made = plan(desk.store, desk.house, content, "100 g")
    base = made.lines[1].required
    assert base is not None
    assert base == amount("91 g")
