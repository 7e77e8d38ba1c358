"""A bench in a pharmacy whose shelf holds what its formula needs, its balances checked today."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from formulary.bench.balance_checks import CheckWeight, WeightRead
from formulary.bench.events import (
    BenchCleared,
    ContainersFilled,
    LabelsPrinted,
    LabelsReconciled,
    PlanChecked,
    QualityTested,
    Released,
    SentForRelease,
    StepDone,
    YieldTaken,
)
from formulary.bench.reading import Reading
from formulary.bench.weighing import remaining
from formulary.desk import Desk
from formulary.formula.content import Content, Form, Route, ShelfLife, Span, Storage
from formulary.formula.content import Period as Lasts
from formulary.formula.version import Version
from formulary.house import Balance
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.preparation import Preparation
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.verbs.check_balance import check_balance
from formulary.verbs.look_up_stock import container_with
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import AtBench, at_bench, record
from tests.helpers.desks import ADA, BEN, CID, PIN, at, in_use
from tests.helpers.formulas import COARSE, MIDDLE, a_formula, a_line, active, amount
from tests.helpers.stocked import a_lot, ready

DUE = date(2026, 12, 31)
WEIGHT = CheckWeight("W-1", amount("200 g"))


def calibrated(balance: Balance) -> Balance:
    """Return a balance whose calibration lasts to the end of the year."""
    return replace(balance, calibration_due=DUE, weights=(WEIGHT,))


def a_stocked_house(desk: Desk) -> Desk:
    """Give a furnished house two balances, checked this morning, and return Cid's desk there."""
    balances = (calibrated(MIDDLE), calibrated(COARSE))
    with at(desk, ADA).writing("save_house") as writing:
        writing.put(replace(desk.house, balances=balances))
    check_all(at(desk, CID))
    return at(desk, CID)


def check_all(desk: Desk) -> None:
    """Check every balance with a weight that it shows rightly."""
    for balance in desk.house.balances:
        check_balance(desk, balance, [WeightRead(WEIGHT, WEIGHT.nominal)])


def keep_ingredient(desk: Desk, name: str, **more: Any) -> Ingredient:  # noqa: ANN401  of many types
    """Put an ingredient on record."""
    with desk.writing("save_ingredient") as writing:
        return writing.put(Ingredient(f"i-{name.casefold()}", name, **more))


def on_shelf(
    desk: Desk,
    ingredient: Ingredient,
    *sizes: int,
    **lot: Any,  # noqa: ANN401  of many types
) -> tuple[StockContainer, ...]:
    """Return identified containers of an accepted lot, of so many grams each."""
    named: dict[str, Any] = {
        "ingredient_id": ingredient.id,
        "source": ingredient.source,
        "strength": ingredient.strength,
        "number": f"{ingredient.name}-1",
    }
    _, containers = ready(desk, a_lot(lot_id=new_id(), **(named | lot)), sizes or (500,))
    return containers


FOUR = (
    active("Urea", "60 g"),
    a_line("Wax", "12 g"),
    a_line("Oil", "3 g"),
    a_line("Water", "25 g"),
)
"""Our four lines, at half their size."""


def kept_well(content: Content, **more: Any) -> Content:  # noqa: ANN401  of many types
    """Return a content with what it needs to go into use."""
    lasts = ShelfLife(Lasts(6, Span.MONTHS))
    given: dict[str, Any] = {"form": Form.CREAM, "route": Route.SKIN}
    return replace(content, storage=Storage(highest=25), shelf_life=lasts, **(given | more))


def four_lines(**more: Any) -> Content:  # noqa: ANN401  of many types
    """Return a formula of the four lines, 60 g, 12 g, 3 g and 25 g."""
    return kept_well(a_formula(*FOUR), **more)


@dataclass
class Job:
    """A preparation that somebody works on, with a container for each line."""

    desk: Desk
    version: Version
    containers: list[StockContainer]
    lot: str = ""

    @property
    def work(self) -> AtBench:
        """Where it stands."""
        return at_bench(self.desk.store, self.lot)

    @property
    def made(self) -> Preparation:
        """The preparation."""
        return self.work.preparation

    def container(self, line: int) -> StockContainer:
        """Return a line's container as it is kept now."""
        return container_with(self.desk.store, self.containers[line].id)

    def started(self, target: str = "200 g", excess: str = "", patient: str = "") -> Job:
        """Start it at Cid's desk."""
        order = Order(target, excess, patient=patient)
        self.lot = start_preparation(self.desk, self.version.id, order).lot
        return self

    def cleared(self) -> Job:
        """Let Ada check the plan, and clear the bench."""
        record(at(self.desk, ADA), self.lot, PlanChecked(), pin=PIN)
        record(self.desk, self.lot, BenchCleared(self.work.job.clearance))
        return self

    def another(self, line: int, number: str, **lot: Any) -> str:  # noqa: ANN401  of many types
        """Return the number of a container of another lot of a line's ingredient."""
        ingredient = self.desk.store.get(
            Ingredient, lot_of(self.desk, self.containers[line]).ingredient_id
        )
        assert ingredient is not None
        return on_shelf(self.desk, ingredient, **({"number": number} | lot))[0].number

    def reading(self, line: int, weight: str, **more: Any) -> Reading:  # noqa: ANN401  of many types
        """Return a reading of a weight from the line's container."""
        given = {"balance": MIDDLE.name, "container": self.containers[line].number} | more
        return Reading(amount(weight), **given)

    def weighs(self, line: int, weight: str, **more: Any) -> AtBench:  # noqa: ANN401  of many types
        """Weigh a line."""
        return weigh_line(self.desk, self.lot, line, self.reading(line, weight, **more))

    def weighs_all(self) -> Job:
        """Weigh whatever is still to weigh, exactly."""
        for line in self.work.state.lines:
            left = remaining(line).result
            if left.number > 0:
                given = self.reading(line.position, "1 g")
                weigh_line(self.desk, self.lot, line.position, replace(given, amount=left))
        return self

    def packed(self, *nets: str) -> Job:
        """Weigh the rest, follow the steps, and fill jars."""
        self.weighs_all()
        for step in range(len(self.work.content.steps)):
            record(self.desk, self.lot, StepDone(step))
        filled = tuple(map(amount, nets)) or (self.made.fill,) * self.made.containers
        total = filled[0] * 0
        for net in filled:
            total += net
        record(self.desk, self.lot, YieldTaken(total, inside=True))
        record(self.desk, self.lot, ContainersFilled(filled))
        return self

    def awaiting_release(self) -> Job:
        """Label the jars, test, and send the record for release."""
        jars = len(self.work.state.jars)
        record(self.desk, self.lot, LabelsPrinted(tuple(range(1, jars + 1))))
        for test in self.work.state.job.tests:
            record(self.desk, self.lot, QualityTested(test, "as it should be", passed=True))
        record(self.desk, self.lot, LabelsReconciled(jars, 0, 0))
        record(self.desk, self.lot, SentForRelease())
        return self

    def released(self, *nets: str) -> Job:
        """Go on from the cleared bench to Ben's release."""
        self.packed(*nets).awaiting_release()
        record(at(self.desk, BEN), self.lot, Released(), pin=PIN)
        return self


def a_job(
    desk: Desk,
    content: Content | None = None,
    *,
    each: int = 500,
    **lot: Any,  # noqa: ANN401  of many types
) -> Job:
    """Return a formula in use with a container of each of its ingredients on the shelf."""
    said = four_lines() if content is None else content
    containers: list[StockContainer] = []
    for line in said.lines:
        kept = desk.store.get(Ingredient, f"i-{line.ingredient.casefold()}")
        ingredient = kept or keep_ingredient(desk, line.ingredient)
        containers += on_shelf(desk, ingredient, each, **lot)
    return Job(desk, in_use(desk, said), containers)


def lot_of(desk: Desk, container: StockContainer) -> SupplyLot:
    """Return a container's lot."""
    found = desk.store.get(SupplyLot, container.lot_id)
    assert found is not None
    return found


UREA, WAX, OIL, WATER = range(4)
"""The lines' positions."""
