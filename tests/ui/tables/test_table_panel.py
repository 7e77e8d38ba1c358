"""A table in the window: every row's fate first, then all of it or nothing, by keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.stock.lot import Status, SupplyLot
from formulary.verbs.keep_records import save_ingredient
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import keys
from ui.context import Context
from ui.ingredients.page import IngredientsPage
from ui.stock.page import StockPage
from ui.tables.table_panel import TablePanel

Settle = Callable[[], None]


@pytest.fixture
def table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the file that somebody chooses whenever a table is asked for."""
    path = tmp_path / "table.csv"
    choose_file(monkeypatch, path)
    return path


def rows(panel: TablePanel) -> list[tuple[str, ...]]:
    tree = panel.list
    items = (tree.topLevelItem(number) for number in range(tree.topLevelItemCount()))
    return [tuple(item.text(each) for each in range(3)) for item in items if item is not None]


def ingredient(desk: Desk, name: str) -> Ingredient | None:
    return next((each for each in desk.store.every(Ingredient) if each.name == name), None)


def test_ingredients_are_looked_at_then_taken_over(
    context: Context, show: Callable[[IngredientsPage], None], settle: Settle, table: Path
) -> None:
    table.write_text("name;latin\nInvented oil;Oleum inventum\nTalc;Talcum purum\n", "utf-8")
    page = IngredientsPage(context)
    show(page)
    settle()
    keys(page.index.search, "Ctrl+O")
    assert page.table.isVisible()
    assert not page.table.take.isEnabled()
    keys(page.table.choose_button, "Ctrl+O")
    settle()
    assert rows(page.table) == [("2", "Invented oil", "new"), ("3", "Talc", "changed")]
    assert "1 new, 1 changed" in page.table.summary.text()
    assert ingredient(context.desk, "Invented oil") is None
    keys(page.table.list, "Down")
    assert "Talcum purum" in page.table.said.text()
    keys(page.table.list, "Ctrl+S")
    settle()
    assert ingredient(context.desk, "Invented oil") is not None
    assert not page.table.isVisible()
    assert page.index.isVisible()


def test_a_refused_row_is_gone_to_and_nothing_can_be_taken_over(
    context: Context, show: Callable[[IngredientsPage], None], settle: Settle, table: Path
) -> None:
    table.write_text("name;drop\nInvented oil;\nInvented drops;1,234 g\n", "utf-8")
    page = IngredientsPage(context)
    show(page)
    settle()
    keys(page.index.search, "Ctrl+O")
    keys(page.table.choose_button, "Ctrl+O")
    settle()
    assert [each[2] for each in rows(page.table)] == ["new", "refused"]
    assert page.table.list.currentIndex().row() == 1
    assert page.table.said.text().startswith("drop: ")
    assert not page.table.take.isEnabled()
    keys(page.table.list, "Esc")
    assert page.index.isVisible()


def test_what_changed_since_the_look_is_shown_before_anything_is_written(
    context: Context, show: Callable[[IngredientsPage], None], settle: Settle, table: Path
) -> None:
    table.write_text("name;latin\nInvented oil;Oleum inventum\n", "utf-8")
    page = IngredientsPage(context)
    show(page)
    settle()
    keys(page.index.search, "Ctrl+O")
    keys(page.table.choose_button, "Ctrl+O")
    settle()
    save_ingredient(context.desk, Ingredient("i-other", "Invented oil", "Oleum alterum"))
    keys(page.table.list, "Ctrl+S")
    settle()
    kept = ingredient(context.desk, "Invented oil")
    assert kept is not None
    assert kept.latin == "Oleum alterum"
    assert rows(page.table) == [("2", "Invented oil", "changed")]
    keys(page.table.list, "Ctrl+S")
    settle()
    after = ingredient(context.desk, "Invented oil")
    assert after == replace(kept, latin="Oleum inventum", revision=kept.revision + 1)


def test_lots_come_into_quarantine(
    context: Context, show: Callable[[StockPage], None], settle: Settle, table: Path
) -> None:
    table.write_text(
        "ingredient;number;containers;expiry;supplier;supplier_reason\n"
        'Talc;INV-1;"2 x 500 g; 250 g";2099-03;Elsewhere;shortage\n',
        "utf-8",
    )
    page = StockPage(context)
    show(page)
    settle()
    keys(page.listing.search, "Ctrl+O")
    keys(page.table.choose_button, "Ctrl+O")
    settle()
    assert rows(page.table) == [("2", "INV-1", "new")]
    keys(page.table.list, "Ctrl+S")
    settle()
    lots = [each for each in context.desk.store.every(SupplyLot) if each.number == "INV-1"]
    assert [each.status for each in lots] == [Status.QUARANTINE]
    assert page.listing.isVisible()


def test_an_empty_table_can_be_saved_and_read(
    context: Context, show: Callable[[StockPage], None], settle: Settle, table: Path
) -> None:
    page = StockPage(context)
    show(page)
    settle()
    keys(page.listing.search, "Ctrl+O")
    keys(page.table.choose_button, "Ctrl+E")
    settle()
    assert "containers" in table.read_text("utf-8")
    keys(page.table.choose_button, "Ctrl+O")
    settle()
    assert rows(page.table) == []
    assert not page.table.take.isEnabled()
