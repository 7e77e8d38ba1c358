"""What anybody may read of the jars that are here."""

from __future__ import annotations

import pytest

from formulary.bench.kept import Place
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import BadText, NotFound
from formulary.register.series import Measure
from formulary.register.shelf import JarStanding
from formulary.store import Store
from formulary.verbs.figures_of_formula import figures_of_formula
from formulary.verbs.list_shelf import list_shelf, look_up_jar
from formulary.verbs.start_preparation import Order, start_preparation
from tests.helpers.bench_work import packed
from tests.helpers.desks import a_desk, furnished, in_use


@pytest.fixture
def desk(store: Store) -> Desk:
    return a_desk(furnished(store))


def two_jars(desk: Desk) -> str:
    return packed(desk, start_preparation(desk, in_use(desk).id, Order("2 x 50 g"))).lot


def test_the_filled_jars_are_on_the_shelf(desk: Desk) -> None:
    lot = two_jars(desk)
    assert [each.jar_id for each in list_shelf(desk.store, desk.today)] == [f"{lot}/1", f"{lot}/2"]


def test_a_jar_is_found_by_what_stands_on_it_with_its_own_version(desk: Desk) -> None:
    lot = two_jars(desk)
    found = look_up_jar(desk.store, f" {lot}/2 ", desk.today)
    assert (found.lot, found.number, found.version_number) == (lot, 2, 1)
    assert found.storage is not None
    assert found.storage.highest == 25
    assert found.place is Place.SHELF
    # Watery and of unknown preservation: 14 days by USP <795>, which is soon.
    assert (found.stage, found.standing) == (Stage.PACKED, JarStanding.ENDING)


def test_the_label_s_code_alone_is_enough(desk: Desk) -> None:
    lot = two_jars(desk)
    assert look_up_jar(desk.store, lot, desk.today).number == 0


@pytest.mark.parametrize("number", ["3", "0003"])
def test_a_jar_that_was_never_filled_is_not_found(desk: Desk, number: str) -> None:
    lot = two_jars(desk)
    with pytest.raises(NotFound):
        look_up_jar(desk.store, f"{lot}/{number}", desk.today)


def test_what_is_no_number_is_refused(desk: Desk) -> None:
    lot = two_jars(desk)
    with pytest.raises(BadText):
        look_up_jar(desk.store, f"{lot}/two", desk.today)


def test_the_figures_of_a_formula_are_those_of_what_was_made(desk: Desk) -> None:
    lot = two_jars(desk)
    made = desk.store.preparation(lot)
    assert made is not None
    found = figures_of_formula(desk.store, made.formula_id)
    assert {each.measure for each in found} == set(Measure)
    assert all(each.figures[0].lot == lot for each in found)
