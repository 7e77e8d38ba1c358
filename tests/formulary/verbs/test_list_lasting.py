"""A list never says a formula's own period where the rule allows less."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.formula.content import Content, Period, Role, ShelfLife, Span, Storage
from formulary.formula.stability import Preservation, Preserved, Water, WaterClass
from formulary.formula.version import Version
from formulary.store import Store
from formulary.verbs.date_preparation import date_version
from formulary.verbs.list_lasting import lasting_otherwise
from formulary.verbs.write_version import write_version
from tests.formulary.review.cases import a_cream
from tests.helpers.desks import ADA, a_desk, at, furnished, in_use
from tests.helpers.formulas import a_line, active

FAT = a_line("White soft paraffin", "to 100 g", Role.BASE)


@pytest.fixture
def desk(store: Store) -> Desk:
    return a_desk(furnished(store))


def lasting(days: int, **more: object) -> Content:
    """Return a cream of which nothing is known, with its own period."""
    life = ShelfLife(Period(days, Span.DAYS), Period(7, Span.DAYS), "own", "invented")
    content = a_cream(active("Urea", "5 g"), FAT, storage=Storage(2, 8))
    return replace(content, shelf_life=life, **more)  # type: ignore[arg-type]  # by name


def said(desk: Desk, version: Version) -> str:
    found = lasting_otherwise(desk, [version.formula_id]).get(version.formula_id)
    return "" if found is None else Catalogue("en").text(found).replace("\N{NO-BREAK SPACE}", " ")


def test_ninety_days_of_its_own_give_way_to_fourteen_by_rule(desk: Desk) -> None:
    version = in_use(desk, lasting(90))
    # USP <795> (2023): a watery preparation without preservative, 14 days.
    end = date_version(desk.house, version, desk.today).use_by
    assert end - desk.today <= timedelta(days=14)
    written = Catalogue("en").written(end).replace("\N{NO-BREAK SPACE}", " ")
    words = said(desk, version)
    assert words == f"made today it lasts to {written}, not 90 days; 7 days once opened"


def test_a_period_within_the_rule_is_said_as_it_is(desk: Desk) -> None:
    assert said(desk, in_use(desk, lasting(7))) == ""


def test_what_is_not_to_be_made_has_no_period(desk: Desk) -> None:
    warm = lasting(
        90,
        storage=Storage(15, 25),
        water=Water(WaterClass.AQUEOUS, source="water is the vehicle"),
        preservation=Preservation(Preserved.NO, "none"),
    )
    assert said(desk, write_version(at(desk, ADA), warm)) == "not to be made like this"
