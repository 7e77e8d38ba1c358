"""The fixtures of single pages, and a zinc paste whose talc went to a patient and a ward."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QWidget

from formulary.bench.kept import FilledJar, Place
from formulary.desk import Desk
from formulary.people import Identity, Part, Person, Post
from formulary.preparation import Preparation
from formulary.verbs.list_stock import list_stock
from tests.helpers.desks import PIN, PIN_HASH
from tests.helpers.kept import ACT
from tests.helpers.stocked import grams, weigh
from tests.ui.at_desk import context, desk, furnished, packed_jars, settle, show
from ui.context import Context, Signing
from ui.register.page import RegisterPage

__all__ = ["context", "desk", "furnished", "settle", "show"]

PATIENT = "Quentin Zimt"
TALC = "Talc"


@pytest.fixture
def signing(context: Context) -> list[str]:
    """Let the pharmacist at the desk sign with the PIN; return what each signature meant."""
    meanings: list[str] = []
    pharmacist = next(each for each in context.people if each.post is Post.PHARMACIST)
    _seat(context, pharmacist)

    def sign(wanted: Signing) -> None:
        meanings.append(wanted.meaning)
        wanted.act(PIN, lambda: None, context.say.refuse)

    context.signature_wanted.connect(sign)
    return meanings


@pytest.fixture
def paste(desk: Desk) -> Preparation:
    """Return a packed zinc paste: one jar at a patient, one at a ward, one still here."""
    made = packed_jars(desk, "zinc paste", "3 x 60 g")
    with desk.store.writing(ACT, "keep") as writing:
        patient = writing.put(Identity("x-1", Part.PATIENT, PATIENT))
        for number, place, whom in ((1, Place.PATIENT, patient.id), (2, Place.WARD, "Ward 3")):
            jar = desk.store.get(FilledJar, f"{made.lot}/{number}")
            assert jar is not None
            writing.put(replace(jar, place=place, recipient_id=whom, given_at=ACT.at))
    stock = list_stock(desk.store, desk.today)
    talc = next(each for each in stock.lots if each.ingredient == TALC)
    weigh(desk, talc.holdings[0].container, grams(5), made.lot)
    return made


@pytest.fixture
def talc(desk: Desk) -> str:
    """Return the number of the talc's lot."""
    lots = list_stock(desk.store, desk.today).lots
    return next(each.lot.number for each in lots if each.ingredient == TALC)


@pytest.fixture
def register(context: Context, show: Callable[[QWidget], None], paste: Preparation) -> RegisterPage:  # noqa: ARG001
    """Return the page with the paste in it, in view."""
    page = RegisterPage(context)
    show(page)
    return page


def _seat(context: Context, person: Person) -> None:
    at = context.desk
    with at.store.writing(at.act(), "set up") as writing:
        kept = writing.put(replace(person, pin_hash=PIN_HASH))
    context.seat(replace(at, person=kept))
