from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.catalogue import Catalogue
from formulary.exchange.sample_house import sample_house
from formulary.people import Post
from ui.settings.house_sheet import BadCell, Sheet, house_of, people_of, sheet_of
from ui.settings.sheet_edits import from_edits, to_edits

BOOK = sample_house()


@pytest.fixture(params=[".", ","])
def sign(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def sheet(sign: str) -> Sheet:
    house = replace(BOOK.house, decimal_sign=sign)
    return sheet_of(house, BOOK.people, Catalogue("en", sign))


def test_what_nobody_edited_stays_the_same(sheet: Sheet, sign: str) -> None:
    house = replace(BOOK.house, decimal_sign=sign)
    assert house_of(sheet, house, sign) == house
    assert people_of(sheet, BOOK.people) == ()


def test_only_changed_people_are_kept(sheet: Sheet) -> None:
    sheet.tables["people"][1]["post"] = Post.READER.value
    (changed,) = people_of(sheet, BOOK.people)
    assert (changed.id, changed.post) == (BOOK.people[1].id, Post.READER)


def test_a_readability_over_the_capacity_is_refused_at_its_cell(sheet: Sheet, sign: str) -> None:
    sheet.tables["measures"][2]["readability"] = "20 L"
    with pytest.raises(BadCell) as refusal:
        house_of(sheet, BOOK.house, sign)
    where = (refusal.value.table, refusal.value.row, refusal.value.field)
    assert where == ("measures", 2, "readability")


def test_the_serial_line_that_an_older_house_has_on_file_is_left_alone(sign: str) -> None:
    first, *others = BOOK.house.balances
    older = replace(BOOK.house, balances=(replace(first, port="COM3", speed="2400"), *others))
    sheet = sheet_of(older, BOOK.people, Catalogue("en", sign))
    assert "port" not in sheet.tables["balances"][0]
    assert house_of(sheet, older, sign).balances == older.balances


def test_a_sheet_that_was_not_saved_comes_back(sheet: Sheet) -> None:
    assert from_edits(to_edits(sheet, 7)) == sheet
