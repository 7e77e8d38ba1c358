"""What a worksheet is about: a formula scaled for a target, and what was done of it so far."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypedDict

from formulary.bench.events import Recorded
from formulary.bench.quality import tests_beside
from formulary.bench.state import State, begin
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.formula.version import State as VersionState
from formulary.formula.version import Version
from formulary.house import House
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.messages import Message, message
from formulary.papers.printed import Printed, printed_now
from formulary.people import Person
from formulary.preparation import LabelPrint, Preparation
from formulary.register.shelf import reached_by
from formulary.review.overriding import Overriding
from formulary.scaling.plan import Plan
from formulary.stock.lot import SupplyLot
from formulary.stock.recall import Recall
from formulary.store import Reading
from formulary.verbs.look_up_stock import container_numbered, lot_with
from formulary.verbs.plan import plan
from formulary.verbs.start_preparation import Order, looked_at_twice
from formulary.verbs.work_at_bench import AtBench, at_bench, happened


@dataclass(frozen=True, slots=True)
class Subject:
    """One preparation on paper, or one that has no lot yet.

    ``lots`` are the suppliers' lots by the numbers of the containers that were used, ``names`` the
    people of the house by their ids, ``overridings`` the findings of the review that stood when it
    was started, ``kept`` the calculations kept with it; ``recalled`` is
    whether a recall reached it. No name of a patient or prescriber is in
    here.
    """

    house: House
    content: Content
    version: int
    state: State
    printed: Printed
    preparation: Preparation | None = None
    events: tuple[Recorded, ...] = ()
    prints: tuple[LabelPrint, ...] = ()
    stamps: tuple[Message, ...] = ()
    lots: Mapping[str, SupplyLot] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    overridings: tuple[Overriding, ...] = ()
    kept: tuple[KeptCalculation, ...] = ()
    recalled: bool = False

    @property
    def plan(self) -> Plan:
        """The scaling it is made by."""
        return self.state.job.plan

    @property
    def lot(self) -> str:
        """Its lot number, empty where there is none yet."""
        return self.preparation.lot if self.preparation else ""

    @property
    def is_begun(self) -> bool:
        """Whether anything was done at the bench beyond planning it."""
        return any(each.signature for each in self.events) or bool(self.state.makers)


def without_lot(desk: Desk, version: Version, order: Order) -> Subject:
    """Return a formula scaled for an order, before any lot is given."""
    house = desk.house
    made = plan(desk.store, house, version.content, order.target, order.excess, order.choices)
    state = begin(
        version.content,
        made,
        containers=made.target.count,
        house=house,
        clearance=house.clearance,
        **_marked(desk.store, made),
        tests=tests_beside(version.content),
    )
    return Subject(
        house=house,
        content=version.content,
        version=version.number,
        state=state,
        printed=printed_now(desk),
        stamps=_stamps(sample=house.sample, trial=version.state is not VersionState.IN_USE),
        overridings=tuple(desk.store.having(Overriding, version_id=version.id)),
    )


def of_lot(desk: Desk, lot: str) -> Subject:
    """Return a preparation with all that was done of it.

    Raises :class:`formulary.errors.NotFound` for an unknown lot, and for one that was started
    before work at the bench was kept.
    """
    found = at_bench(desk.store, lot)
    made = found.preparation
    return Subject(
        house=desk.house,
        content=found.content,
        version=made.version_number,
        state=found.state,
        printed=printed_now(desk),
        preparation=made,
        events=happened(found.events),
        prints=tuple(desk.store.prints(made.id)),
        stamps=_stamps(sample=made.sample, trial=found.job.trial),
        lots=dict(_lots(desk.store, found)),
        names={each.id: each.name for each in desk.store.every(Person)},
        overridings=tuple(
            each
            for each in desk.store.having(Overriding, version_id=made.version_id)
            if each.signature.at <= made.started_at
        ),
        kept=tuple(desk.store.having(KeptCalculation, subject_id=made.id)),
        recalled=made.id in reached_by(desk.store.every(Recall)),
    )


class _Marked(TypedDict):
    """The positions of lines that ask for a second person, by why."""

    high_alert: tuple[int, ...]
    needs_check: tuple[int, ...]
    controlled: tuple[int, ...]


def _marked(store: Reading, made: Plan) -> _Marked:
    known = {each.id: each for each in store.every(Ingredient)}
    found = [known.get(each.line.ingredient_id) for each in made.lines]
    return {
        "high_alert": tuple(i for i, each in enumerate(found) if each and each.high_alert),
        "needs_check": looked_at_twice(made, found),
        "controlled": tuple(i for i, each in enumerate(found) if each and each.controlled),
    }


def _stamps(*, sample: bool, trial: bool) -> tuple[Message, ...]:
    marks = (("trial", trial), ("sample", sample))
    return tuple(message(f"papers.stamp.{name}") for name, is_so in marks if is_so)


def _lots(store: Reading, found: AtBench) -> Iterable[tuple[str, SupplyLot]]:
    """Yield the lot of each container that was weighed from; one that isn't on file is left out."""
    numbers = {each.container for line in found.state.lines for each in line.readings}
    for number in sorted(numbers - {""}):
        try:
            yield number, lot_with(store, container_numbered(store, number).lot_id)
        except Refusal:
            continue
