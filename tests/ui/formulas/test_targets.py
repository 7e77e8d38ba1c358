"""How many containers an order of units fills."""

from __future__ import annotations

import pytest

from formulary.house import Pack
from tests.helpers.formulas import amount
from ui.formulas.targets import containers_for, target_of


@pytest.mark.parametrize(
    ("target", "content", "count"),
    [
        ("30", "1 piece", 30),
        ("30", "20 piece", 2),
        ("30", "30 piece", 1),
        ("3 x 60 g", "50 g", 3),
        ("100 g", "60 g", 1),
        ("not a target", "1 piece", 1),
    ],
)
def test_an_order_of_units_goes_into_as_many_containers_as_hold_it(
    target: str, content: str, count: int
) -> None:
    pack = Pack("Box", amount(content))
    assert containers_for(target, pack, ".") == count


def test_picking_a_container_for_one_unit_never_makes_thirty_into_one() -> None:
    pack = Pack("Wrapped singly", amount("1 piece"))
    assert target_of(containers_for("30", pack, "."), pack, ".") == "30"
