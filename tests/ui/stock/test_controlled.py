"""Controlled substances in the window: two PINs for each change, and the register of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.people import Person
from formulary.stock.moves import StockMove
from formulary.verbs.list_stock import list_stock
from tests.helpers.desks import PIN, PIN_HASH
from tests.ui.at_desk import plain, unnamed
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import keys
from ui.context import Context, Signing
from ui.sign_in.countersign import Countersigning
from ui.sign_in.dialog import Answered
from ui.stock.page import StockPage

Settle = Callable[[], None]
CODEINE = "Codeine phosphate hemihydrate"


@pytest.fixture
def both(context: Context) -> list[str]:
    """Give everybody the PIN, let each sign who is asked, and return what each signature meant."""
    meanings: list[str] = []
    desk = context.desk
    with desk.store.writing(desk.act(), "set up") as writing:
        for each in desk.store.every(Person):
            writing.put(replace(each, pin_hash=PIN_HASH))
    people = tuple(desk.store.every(Person))
    context.sit_down(desk, desk.house, people)
    context.seat(replace(desk, person=next(e for e in people if e.id == desk.person.id)))

    def sign(wanted: Signing | Countersigning) -> None:
        meanings.append(wanted.meaning)
        if isinstance(wanted, Signing):
            wanted.act(PIN, lambda: None, _refused(context))
        else:
            wanted.attempt(Answered(wanted.chosen, PIN), lambda: None, _refused(context))

    context.signature_wanted.connect(sign)
    return meanings


def _refused(context: Context) -> Callable[[FormularyError], None]:
    return context.say.refuse


def open_codeine(page: StockPage, desk: Desk, settle: Settle) -> str:
    """Open the lot, and return the id of its container."""
    stock = list_stock(desk.store, desk.today)
    lot = next(each for each in stock.lots if each.ingredient == CODEINE)
    page.open_lot(lot.lot.id)
    settle()
    return lot.holdings[0].container.id


def test_a_count_asks_for_both_pins_and_lands_with_both_names(
    page: StockPage, desk: Desk, settle: Settle, both: list[str]
) -> None:
    jar = open_codeine(page, desk, settle)
    keys(page, "Ctrl+E")
    form = page.details.panel.form
    assert form is not None
    form.inputs["found"].set_text("24.3 g")
    form.inputs["reason"].set_text("weighed back")
    keys(page, "Ctrl+Return")
    settle()
    last = desk.store.having(StockMove, container_id=jar)[-1]
    assert len({each.person_id for each in last.signatures}) == 2
    assert len(both) == 2
    assert "second person" in both[1]


def test_more_than_the_book_holds_isn_t_wasted_and_the_reason_is_said(
    page: StockPage, context: Context, desk: Desk, settle: Settle, both: list[str]
) -> None:
    jar = open_codeine(page, desk, settle)
    before = len(desk.store.having(StockMove, container_id=jar))
    keys(page, "Ctrl+Shift+D")
    form = page.details.panel.form
    assert form is not None
    form.inputs["amount"].set_text("30 g")
    form.inputs["reason"].set_text("spilled")
    keys(page, "Ctrl+Return")
    settle()
    assert context.say.history[-1].message.key == "stock.move.more_than_held"
    assert len(desk.store.having(StockMove, container_id=jar)) == before
    assert both


def test_a_wrong_entry_is_corrected_either_way(
    page: StockPage, desk: Desk, settle: Settle, both: list[str]
) -> None:
    jar = open_codeine(page, desk, settle)
    keys(page, "Ctrl+Shift+E")
    form = page.details.panel.form
    assert form is not None
    form.inputs["amount"].set_text("0.1 g")
    form.inputs["reason"].set_text("typed twice")
    keys(page, "Ctrl+Return")
    settle()
    last = desk.store.having(StockMove, container_id=jar)[-1]
    assert last.amount.number < 0
    assert len(both) == 2


def test_the_register_shows_the_running_balance_and_is_saved_as_a_pdf(
    page: StockPage, settle: Settle, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys(page, "Ctrl+E")
    settle()
    view = page.controlled
    assert view.isVisible()
    rows = [view.list.topLevelItem(row) for row in range(view.list.topLevelItemCount())]
    told = [[plain(each.text(column)) for column in range(8)] for each in rows if each]
    assert told[0][4:6] == ["0.62 g", "24.38 g"]
    assert told[-1][3] == "25 g"
    assert all(" + " in each[6] for each in told)
    assert unnamed(page) == []
    out = tmp_path / "register.pdf"
    choose_file(monkeypatch, out)
    keys(page, "Ctrl+S")
    settle()
    assert out.read_bytes().startswith(b"%PDF")
    keys(page, "Escape")
    assert page.listing.isVisible()
