"""Rows that are taken over: by the same rules as one by one, and with what is on file kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from formulary.desk import Desk
from formulary.formula.version import State
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.quantity.density import Density
from formulary.stock.container import StockContainer
from formulary.stock.lot import Status, SupplyLot
from formulary.taking_over import Fate, Fated, FormulaFile, TableRow
from formulary.verbs.all_or_nothing import as_seen, only_look
from formulary.verbs.keep_records import save_house, save_ingredient
from formulary.verbs.take_over_formulas import house_formulas, take_over_formulas
from formulary.verbs.take_over_ingredients import take_over_ingredients
from formulary.verbs.take_over_lots import take_over_lots
from tests.helpers.desks import in_use
from tests.helpers.kept import a_content
from tests.helpers.stocked import ZINC, a_lot, keep_zinc, received


def a_row(line: int = 2, *, by: str = "name", **texts: str) -> TableRow:
    return TableRow(texts.get(by, ""), line, texts)


def a_lots_row(line: int = 2, **texts: str) -> TableRow:
    usual = {"ingredient": "Zinc oxide", "number": "INV-1", "containers": "500 g"}
    return a_row(line, by="number", **(usual | {"expiry": "2027-03"} | texts))


def fates(found: tuple[Fated, ...]) -> list[Fate]:
    return [each.fate for each in found]


def where(found: tuple[Fated, ...]) -> list[tuple[int, str]]:
    return [(each.line, each.field) for each in found if each.fate is Fate.REFUSED]


def test_an_empty_cell_leaves_what_is_on_file(desk: Desk) -> None:
    one = Ingredient("i-1", "Invented oil", "Oleum", ("Oil",), high_alert=True)
    save_ingredient(desk, replace(one, density=Density(Fraction(91, 100), "book, page 3")))
    (found,) = take_over_ingredients(desk, [a_row(name="invented OIL", note="Kept cool")])
    assert found.fate is Fate.CHANGED
    assert [(each.field, each.after) for each in found.changes] == [("note", "Kept cool")]
    kept = desk.store.get(Ingredient, "i-1")
    assert kept is not None
    assert (kept.name, kept.synonyms, kept.high_alert) == ("Invented oil", ("Oil",), True)
    assert kept.note == "Kept cool"


def test_the_rules_of_one_ingredient_hold_in_a_table(desk: Desk) -> None:
    rows = [
        a_row(2, name="Good powder"),
        a_row(3, name="Bad number", cas="7732-18-4"),
        a_row(4, name="No source", solubility="soluble"),
        a_row(5, name="Listed", listings="List; 2025"),
        a_row(6, name="Like nothing", look_alikes="Nobody knows"),
        a_row(7, name="Unknown warning", warnings="beware"),
        a_row(8, name="Good Powder"),
    ]
    before = desk.store.last_entry()
    found = take_over_ingredients(desk, rows)
    assert where(found) == [
        (3, "cas"),
        (4, "source_of_facts"),
        (5, "precautions"),
        (6, "look_alikes"),
        (7, "warnings"),
        (8, "name"),
    ]
    assert desk.store.last_entry() == before


def test_a_look_alike_may_stand_above(desk: Desk) -> None:
    rows = [a_row(2, name="One"), a_row(3, name="Other", look_alikes="One")]
    assert fates(take_over_ingredients(desk, rows)) == [Fate.NEW, Fate.NEW]


def test_what_was_seen_is_what_is_kept_or_nothing(desk: Desk) -> None:
    rows = [a_row(name="One", latin="Unum")]
    seen = take_over_ingredients(desk, rows, only_look)
    assert not desk.store.every(Ingredient)
    save_ingredient(desk, Ingredient("i-1", "One", "Aliud"))
    found = take_over_ingredients(desk, rows, as_seen(seen))
    assert fates(found) == [Fate.CHANGED]
    assert [each.latin for each in desk.store.every(Ingredient)] == ["Aliud"]
    take_over_ingredients(desk, rows, as_seen(found))
    assert [each.latin for each in desk.store.every(Ingredient)] == ["Unum"]


def test_each_lot_is_received_like_any(desk: Desk) -> None:
    keep_zinc(desk.store)
    (found,) = take_over_lots(desk, [a_lots_row(containers="2 x 500 g; 250 g")])
    assert found.fate is Fate.NEW
    assert found.doubts
    (lot,) = desk.store.having(SupplyLot, ingredient_id=ZINC.id)
    assert (lot.status, lot.received_on) == (Status.QUARANTINE, desk.today)
    assert lot.expiry.last_day == date(2027, 3, 31)
    assert len(desk.store.having(StockContainer, lot_id=lot.id)) == 3


def test_a_lot_on_file_is_not_received_twice_but_a_second_delivery_is(desk: Desk) -> None:
    received(desk, a_lot("INV-1"))
    again = a_lots_row(expiry="2027-03-31")
    assert fates(take_over_lots(desk, [again])) == [Fate.UNCHANGED]
    assert where(take_over_lots(desk, [a_lots_row(expiry="2027-04")])) == [(2, "expiry")]
    same_day = a_lots_row(received_on="2026-03-02")
    assert fates(take_over_lots(desk, [same_day])) == [Fate.UNCHANGED]
    later = a_lots_row(received_on="2026-03-09")
    assert fates(take_over_lots(desk, [later])) == [Fate.NEW]


def test_where_a_row_of_a_lot_is_wrong_is_said(desk: Desk) -> None:
    keep_zinc(desk.store)
    rows = [
        a_lots_row(2, number="L2", ingredient="Nothing"),
        a_lots_row(3, number="L3", containers=""),
        a_lots_row(4, number="L4", containers="500"),
        a_lots_row(5, number="L5", expiry="03/04/2027"),
        a_lots_row(6, number="L6", received_on="2099-01-01"),
        a_lots_row(7, number="L7", assay="1,234"),
        a_lots_row(8, number="A"),
        a_lots_row(9, number="A"),
    ]
    rows[1] = replace(rows[1], texts={k: v for k, v in rows[1].texts.items() if v})
    assert where(take_over_lots(desk, rows)) == [
        (2, "ingredient"),
        (3, "containers"),
        (4, "containers"),
        (5, "expiry"),
        (6, "received_on"),
        (7, "assay"),
        (9, "number"),
    ]
    assert not desk.store.every(SupplyLot)


def test_no_table_goes_round_the_two_signatures_of_a_controlled_substance(desk: Desk) -> None:
    save_ingredient(desk, replace(ZINC, controlled=True))
    (found,) = take_over_lots(desk, [a_lots_row()])
    assert found.fate is Fate.REFUSED
    assert not desk.store.every(SupplyLot)


def test_numbers_have_the_decimal_sign_of_the_house(desk: Desk) -> None:
    save_house(desk, replace(desk.store.every(House)[0], decimal_sign=","))
    row = a_row(name="Invented oil", density="0,915 g/mL", density_source="book, page 3")
    (found,) = take_over_ingredients(desk, [row])
    assert found.fate is Fate.NEW
    (kept,) = desk.store.every(Ingredient)
    assert kept.density == Density(Fraction(915, 1000), "book, page 3")


def test_a_file_becomes_a_draft_beside_the_version_in_use(desk: Desk) -> None:
    version = in_use(desk)
    content = a_content()
    same = FormulaFile("one.toml", content)
    assert fates(take_over_formulas(desk, [same])) == [Fate.UNCHANGED]
    other = FormulaFile("one.toml", replace(content, purpose="Something else"))
    assert fates(take_over_formulas(desk, [other])) == [Fate.REFUSED]
    assert fates(take_over_formulas(desk, [other], "clearer")) == [Fate.CHANGED]
    states = [each.state for each in desk.store.versions(version.formula_id)]
    assert states == [State.IN_USE, State.DRAFT]
    # What the house gives out is still the version in use.
    given = FormulaFile("given.toml", content)
    assert fates(take_over_formulas(desk, [given], "no change")) == [Fate.UNCHANGED]
    assert len(desk.store.versions(version.formula_id)) == 2
    assert [each.purpose for each in house_formulas(desk.store)] == [content.purpose]


def test_two_files_of_one_code_are_refused(desk: Desk) -> None:
    files = [FormulaFile(name, a_content()) for name in ("one.toml", "two.toml")]
    assert fates(take_over_formulas(desk, files)) == [Fate.NEW, Fate.REFUSED]
    assert [*house_formulas(desk.store)] == []
