"""What every store keeps to when the register is filtered and sorted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.store import Sorting, Store
from tests.contract.test_jar_contract import JOB
from tests.contract.test_store_contract import put
from tests.helpers.formulas import amount
from tests.helpers.kept import NOW, a_content, a_preparation, keep_formula

STAGES = (Stage.PLANNED, Stage.RELEASED, Stage.PLANNED)
LAST_DAYS = (date(2026, 9, 1), date(2026, 3, 1), date(2026, 6, 1))


@pytest.fixture
def three(store: Store) -> Store:
    keep_formula(store, a_content())
    for number, (stage, use_by) in enumerate(zip(STAGES, LAST_DAYS, strict=True), 1):
        one = a_preparation(f"m-{number}", f"K26-0000{number}")
        started = NOW + timedelta(hours=number)
        put(store, replace(one, stage=stage, use_by=use_by, started_at=started))
    return store


@pytest.mark.parametrize(
    ("sorting", "order"),
    [
        (Sorting.NEWEST, "321"),
        (Sorting.OLDEST, "123"),
        (Sorting.ENDS_FIRST, "231"),
        (Sorting.ENDS_LAST, "132"),
    ],
)
def test_the_register_comes_in_the_order_asked_for(
    three: Store, sorting: Sorting, order: str
) -> None:
    rows = three.register(sorting=sorting)
    assert "".join(row.lot[-1] for row in rows) == order
    assert three.register(limit=1, offset=1, sorting=sorting) == rows[1:2]


def test_only_what_stands_at_a_stage_is_listed(three: Store) -> None:
    assert [row.lot[-1] for row in three.register(stage=Stage.PLANNED)] == ["3", "1"]
    assert [row.lot[-1] for row in three.register("K26-00002", stage=Stage.RELEASED)] == ["2"]
    assert three.register("K26-00002", stage=Stage.PLANNED) == []


def test_only_some_of_them_may_be_asked_for(three: Store) -> None:
    assert [row.lot[-1] for row in three.register(among={"m-1", "m-3"})] == ["3", "1"]
    assert three.register(among=()) == []
    assert three.register("K26-00002", among={"m-1"}) == []


def test_what_was_never_made_has_no_days(three: Store) -> None:
    blank = replace(a_preparation("m-4", "K26-00004"), stage=Stage.REQUESTED)
    put(three, blank)
    days = {row.lot[-1]: (row.made is None, row.lasts_until is None) for row in three.register()}
    assert days == {"4": (True, True)} | dict.fromkeys("123", (False, False))


def test_what_was_filled_comes_in_the_order_of_the_containers(three: Store) -> None:
    put(three, JOB)
    nets = {10: "59.5 g", 2: "59.4 g", 1: "59.3 g"}
    for number, net in nets.items():
        put(three, FilledJar(f"K26-00001/{number}", "m-1", Place.WARD, amount(net)))
    put(three, FilledJar("K26-00001/11", "m-1", Place.NOWHERE, amount("60 g")))
    filled = {row.lot[-1]: row.filled for row in three.register()}
    assert filled == {"1": tuple(amount(nets[each]) for each in (1, 2, 10)), "2": (), "3": ()}
    assert {row.there for row in three.register(among={"m-1"})} == {3}
