"""What SQL itself can be asked: exact text, and the scaled figure beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction

import pytest
import sqlalchemy as sa
from hypothesis import given

from formulary.formula.content import Line
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.records.columns import Exact, UtcMoment
from formulary.records.line_figures import Figure, figure
from formulary.records.moments import at_offset, offset_of
from formulary.records.sql_store import SqlStore
from formulary.records.tables import VersionLineRow
from tests.helpers.kept import ACT, NOW, a_content, keep_formula
from tests.helpers.strategies import exact_numbers, kinds, moments

SQLITE = sa.create_engine("sqlite://").dialect
HALF = Fraction(1, 2)
THIRD = Fraction(1, 3)


@pytest.mark.parametrize(
    ("quantity", "expected"),
    [
        (Fixed(Amount(HALF, "g")), Figure("fixed", HALF, "g", 500_000_000)),
        (Fixed(Amount(HALF, "microgram")), Figure("fixed", HALF, "microgram", 500)),
        (PerUnit(Amount(HALF, "mL")), Figure("per unit", HALF, "mL", 500_000)),
        (Fixed(Amount(HALF, "drop")), Figure("fixed", HALF, "drop", 500_000)),
        (ToTotal(Amount(THIRD, "g")), Figure("to total", THIRD, "g", 333_333_333)),
        (Share(Concentration(HALF, "% w/w")), Figure("share", HALF, "% w/w", 500_000)),
        (Share(OneIn(Fraction(9), "w/v")), Figure("share", Fraction(9), "1 in w/v", 9_000_000)),
        (InParts(Parts(HALF)), Figure("in parts", HALF, "part", 500_000)),
        (ToFill(), Figure("to fill", None, "", None)),
        (ToEndPoint("pH 5"), Figure("to end point", None, "", None)),
        (ToEndPoint("pH 5", Amount(HALF, "g")), Figure("to end point", HALF, "g", 500_000_000)),
        (Fixed(Amount(Fraction(10**20), "g")), Figure("fixed", Fraction(10**20), "g", None)),
    ],
)  # fmt: skip
def test_a_line_s_figure(quantity: Kind, expected: Figure) -> None:
    assert figure(quantity) == expected


@given(kinds())
def test_every_figure_fits_its_column(quantity: Kind) -> None:
    scaled = figure(quantity).scaled
    assert scaled is None or abs(scaled) < 2**63


def test_the_lines_are_there_for_sql_to_sort(sql_store: SqlStore) -> None:
    keep_formula(sql_store, a_content("Zinc cream", "ZC", "Wool fat"))
    wanted = sa.select(VersionLineRow.ingredient, VersionLineRow.amount).where(
        VersionLineRow.unit == "g"
    )
    with sql_store._engine.connect() as connection:
        found = connection.execute(wanted.order_by(VersionLineRow.scaled)).all()
    assert [tuple(row) for row in found] == [
        ("Wool fat", Fraction(2)),
        ("Cream base", Fraction(100)),
    ]


def test_lines_follow_their_version(sql_store: SqlStore) -> None:
    version = keep_formula(sql_store, a_content("Zinc cream", "ZC", "Wool fat"))
    with sql_store.writing(ACT, "change") as transaction:
        content = replace(version.content, lines=(Line("Talc", Fixed(Amount(HALF, "g"))),))
        transaction.put(replace(version, content=content))
    with sql_store._engine.connect() as connection:
        assert connection.execute(sa.select(VersionLineRow.ingredient)).scalars().all() == ["Talc"]


@given(exact_numbers())
def test_an_exact_column_loses_nothing(number: Fraction) -> None:
    column = Exact()
    kept = column.process_bind_param(number, SQLITE)
    assert isinstance(kept, str)
    assert column.process_result_value(kept, SQLITE) == number


@pytest.mark.parametrize("number", [0.5, 1, "1"])
def test_an_exact_column_refuses_what_isn_t_exact(number: object) -> None:
    with pytest.raises(TypeError):
        Exact().process_bind_param(number, SQLITE)


@given(moments())
def test_a_moment_and_its_offset_come_back(moment: datetime) -> None:
    column = UtcMoment()
    kept = column.process_bind_param(moment, SQLITE)
    found = column.process_result_value(kept, SQLITE)
    assert found is not None
    again = at_offset(found, offset_of(moment))
    assert (again, again.utcoffset()) == (moment, moment.utcoffset())
    assert len(str(kept)) == len("2026-01-31T09:30:00.000000Z")


def test_a_moment_without_its_offset_is_refused() -> None:
    with pytest.raises(TypeError):
        UtcMoment().process_bind_param(NOW.replace(tzinfo=None), SQLITE)
