"""One text for one record, whoever writes it and whenever."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given

from formulary import canonical
from formulary.canonical_codecs import codec
from formulary.errors import BadText
from formulary.formula.content import Content, Form, Line, Period, Role, Route, ShelfLife, Span
from formulary.formula.kinds import Fixed, Share, ToTotal
from formulary.formula.version import Version
from formulary.house import House
from formulary.messages import Message, message
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.working import Working
from tests.helpers.formulas import a_balance
from tests.helpers.strategies import contents

CREAM = Content(
    title="Zinc cream",
    code="ZC",
    form=Form.CREAM,
    route=Route.SKIN,
    lines=(
        Line("Zinc oxide", Share(Concentration(Fraction(5), "% w/w")), Role.ACTIVE),
        Line("Chlorhexidine", Share(OneIn(Fraction(1000), "w/w")), Role.PRESERVATIVE),
        Line("Oil", Fixed(Amount(Fraction(1, 2), "g"))),
        Line("Base", ToTotal(Amount(Fraction(100, 3), "g")), Role.BASE),
    ),
)
WRITTEN = (
    '{"code":"ZC","form":"cream","format":1,"kind":"content","lines":['
    '{"ingredient":"Zinc oxide","quantity":{"kind":"share","strength":'
    '{"amount":"5","kind":"concentration","unit":"% w/w"}},"role":"active"},'
    '{"ingredient":"Chlorhexidine","quantity":{"kind":"share","strength":'
    '{"kind":"one in","of":"w/w","total":"1000"}},"role":"preservative"},'
    '{"ingredient":"Oil","quantity":{"amount":{"amount":"0.5","unit":"g"},"kind":"fixed"},'
    '"role":"other"},'
    '{"ingredient":"Base","quantity":{"kind":"to total",'
    '"total":{"amount":"100/3","unit":"g"}},"role":"base"}],'
    '"route":"skin","title":"Zinc cream"}'
)


@given(contents())
def test_what_is_written_comes_back_the_same(content: Content) -> None:
    text = canonical.canonical_text(content)
    assert canonical.from_canonical_text(Content, text) == content
    assert canonical.from_plain(Content, canonical.to_plain(content)) == content


@given(contents())
def test_reading_and_writing_again_gives_the_same_hash(content: Content) -> None:
    again = canonical.from_canonical_text(Content, canonical.canonical_text(content))
    assert canonical.content_hash(again) == canonical.content_hash(content)


def test_a_formula_is_written_like_this_and_stays_so() -> None:
    # Hashes in every kept history hang on this text: if it must change, FORMAT goes up.
    assert canonical.canonical_text(CREAM) == WRITTEN
    assert canonical.content_hash(CREAM) == canonical.text_hash(WRITTEN)


def test_two_spellings_of_one_letter_are_one_text() -> None:
    composed, decomposed = replace(CREAM, title="Crème"), replace(CREAM, title="Cre\u0300me")
    assert canonical.content_hash(composed) == canonical.content_hash(decomposed)
    assert canonical.from_plain(Content, canonical.to_plain(decomposed)) == composed


def test_a_new_optional_field_changes_no_old_hash() -> None:
    @dataclass(frozen=True)
    class Before:
        name: str

    @dataclass(frozen=True)
    class After:
        name: str
        note: str = ""
        checked: bool = False
        ways: tuple[str, ...] = ()
        dose: Amount | None = None

    assert canonical.content_hash(After("x"), "thing") == canonical.content_hash(
        Before("x"), "thing"
    )


def test_a_default_that_says_something_is_written() -> None:
    version = Version("v", "f", 1, CREAM)
    assert canonical.to_plain(version)["state"] == "draft"
    assert canonical.to_plain(version)["revision"] == 0


def test_every_kind_of_message_parameter_comes_back() -> None:
    moment = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
    said = message(
        "a.b",
        text="x",
        count=3,
        exact=Fraction(1, 3),
        read=Decimal("10.00"),
        day=date(2026, 3, 1),
        moment=moment,
        amount=Amount(Fraction(2), "g"),
        strength=Concentration(Fraction(1), "mg/mL"),
        ratio=OneIn(Fraction(1000), "w/v"),
        parts=Parts(Fraction(2)),
        inner=message("c.d", n=1),
        several=("x", Fraction(1, 2), (message("e"),)),
    )
    text = canonical.canonical_text(said, "message")
    assert canonical.from_canonical_text(Message, text) == said


def test_a_generic_working_comes_back() -> None:
    working = Working(Amount(Fraction(1), "g"), (message("a", n=1),))
    hint: Any = Working[Amount]
    plain = codec(hint).write(working)
    assert canonical.from_plain(hint, json.loads(json.dumps(plain))) == working


def damaged(**changes: object) -> dict[str, Any]:
    plain: dict[str, Any] = json.loads(WRITTEN)
    return plain | changes


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"title": 3}, "title"),
        ({"units": "3"}, "units"),
        ({"units": True}, "units"),
        ({"form": "jelly"}, "form"),
        ({"colour": "red"}, "colour"),
        ({"lines": {}}, "lines"),
        ({"lines": [3]}, "lines[0]"),
        ({"lines": [{"ingredient": "x"}]}, "lines[0].quantity"),
        ({"lines": [{"ingredient": "x", "quantity": {"kind": "lots"}}]}, "lines[0].quantity.kind"),
        ({"total": {"amount": "1e3", "unit": "g"}}, "total.amount"),
        ({"total": {"amount": 1.5, "unit": "g"}}, "total.amount"),
        ({"total": {"amount": "1", "unit": "spoon"}}, "total"),
        ({"shelf_life": {"unopened": {"number": 0, "span": "days"}}}, "shelf_life.unopened"),
        ({"density": {"g_per_mL": "0", "source": "x"}}, "density"),
        ({"code": "A\0"}, "code"),
        ({"code": "A\ud800"}, "code"),
    ],
)
def test_bad_data_is_refused_and_says_where(changes: dict[str, object], field: str) -> None:
    with pytest.raises(BadText) as refused:
        canonical.from_plain(Content, damaged(**changes))
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("{", "store.canonical.not_json"),
        ("[" * 100_000, "store.canonical.not_json"),
        ('{"format":2,"kind":"content"}', "store.canonical.other_format"),
        ('{"format":1,"kind":"person"}', "store.canonical.other_kind"),
        ("3", "store.canonical.not_a"),
    ],
)
def test_another_document_is_refused(text: str, key: str) -> None:
    with pytest.raises(BadText) as refused:
        canonical.from_canonical_text(Content, text)
    assert refused.value.message.key == key


def test_text_that_no_database_keeps_is_refused_before_it_gets_there() -> None:
    with pytest.raises(BadText):
        canonical.canonical_text(replace(CREAM, title="A\0B"))


def test_a_period_comes_back_with_its_span() -> None:
    life = ShelfLife(Period(6, Span.MONTHS), Period(4, Span.WEEKS), "why", "where")
    content = replace(CREAM, shelf_life=life)
    assert canonical.from_plain(Content, canonical.to_plain(content)).shelf_life == life


def test_a_balance_without_a_serial_line_is_written_as_before_there_were_any() -> None:
    plain = a_balance("Middle bench", "620 g", "0.01 g", "1 g")
    house = House("h-1", "Linden Pharmacy", balances=(plain,))
    written = canonical.canonical_text(house)
    assert not [name for name in ("port", "speed", "pattern") if f'"{name}"' in written]
    wired = replace(house, balances=(replace(plain, port="COM3"),))
    assert canonical.from_canonical_text(House, canonical.canonical_text(wired)) == wired
