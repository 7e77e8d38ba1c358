"""The fixtures of single pages, and whoever signs with a PIN."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from formulary.errors import FormularyError
from formulary.people import Person, Post
from tests.helpers.desks import PIN, PIN_HASH
from tests.ui.at_desk import context, desk, furnished, settle, show
from ui.context import Context, Signing
from ui.stock.page import StockPage

__all__ = ["context", "desk", "furnished", "settle", "show"]


@pytest.fixture
def signing(context: Context) -> list[str]:
    """Let the pharmacist at the desk sign with the PIN; return what each signature meant."""
    meanings: list[str] = []
    pharmacist = next(each for each in context.people if each.post is Post.PHARMACIST)
    _seat(context, pharmacist)

    def sign(wanted: Signing) -> None:
        meanings.append(wanted.meaning)
        wanted.act(PIN, lambda: None, _refused(context))

    context.signature_wanted.connect(sign)
    return meanings


@pytest.fixture
def page(context: Context, show: Callable[[StockPage], None]) -> StockPage:
    """Return the page, in view."""
    made = StockPage(context)
    show(made)
    return made


def _seat(context: Context, person: Person) -> None:
    desk = context.desk
    with desk.store.writing(desk.act(), "set up") as writing:
        kept = writing.put(replace(person, pin_hash=PIN_HASH))
    context.seat(replace(desk, person=kept))


def _refused(context: Context) -> Callable[[FormularyError], None]:
    return context.say.refuse
