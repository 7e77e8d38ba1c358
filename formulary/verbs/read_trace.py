"""A trace with all that a page or paper says of it, and what a recall of a lot would reach."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from formulary.bench.stages import Stage, is_earlier
from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.preparation import Preparation
from formulary.stock.lot import SupplyLot
from formulary.stock.recall import Reach, reach_of
from formulary.store import Reading
from formulary.tracing import Node, Sort, Trace, Way, trace
from formulary.verbs.recall_lot import ToCall, lots_numbered, people_to_call
from formulary.verbs.trace_links import forward, lot_node
from formulary.verbs.trace_lot import trace_lot


@dataclass(frozen=True, slots=True)
class TraceSeen:
    """A trace both ways from what was ``typed``.

    ``titles`` are those of preparations and the ingredients of lots, ``made`` the preparations, by
    their nodes' ids. No patient's name is in here.
    """

    typed: str
    forward: Trace
    backward: Trace
    titles: Mapping[str, str]
    made: Mapping[str, Preparation]

    @property
    def starts(self) -> tuple[Node, ...]:
        """What it began with."""
        return self.forward.starts


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What a recall of a lot number would freeze, and how many patients and wards are to be called.

    ``lots`` is how many deliveries there are, ``names`` the lots of preparations by their ids.
    """

    number: str
    lots: int
    reach: Reach
    to_call: int
    names: Mapping[str, str]


def read_trace(desk: Desk, typed: str) -> TraceSeen:
    """Return the trace of a lot, a container, a preparation or a jar. Raises NotFound."""
    there, back = trace_lot(desk.store, typed)
    nodes = {*there.nodes, *back.nodes}
    made = _preparations(desk.store, nodes)
    titles = {each.id: each.title for each in made.values()}
    named = titles | _ingredients(desk.store, nodes)
    return TraceSeen(typed.strip(), there, back, named, made)


def whom_to_call(desk: Desk, seen: TraceSeen) -> dict[str, ToCall]:
    """Return the patients reached, by their ids; who asked for them is on record.

    Raises :class:`formulary.errors.Forbidden` for whoever may not see patients.
    """
    ids = {
        each.recipient.id for each in seen.forward.to_call if each.recipient.sort is Sort.PATIENT
    }
    with desk.writing("view_patient") as writing:
        writing.tell(traced=seen.typed, patients=len(ids))
        return people_to_call(writing, ids)


def foresee_recall(store: Reading, number: str) -> Foreseen:
    """Return what a recall would reach. Raises NotFound for a number that no lot here has."""
    lots = lots_numbered(store, number)
    found = trace([lot_node(each) for each in lots], Way.FORWARD, forward(store))
    made = _preparations(store, found.preparations)
    still_open = {each.id for each in made.values() if is_earlier(each.stage, Stage.PACKED)}
    names = {each.id: each.lot for each in made.values()}
    reach = reach_of(found, still_open)
    return Foreseen(lots[0].number, len(lots), reach, len(found.to_call), names)


def _preparations(store: Reading, nodes: Iterable[Node]) -> dict[str, Preparation]:
    ids = {node.id for node in nodes if node.sort is Sort.PREPARATION}
    return {each.id: each for each in store.having_any(Preparation, "id", ids)}


def _ingredients(store: Reading, nodes: Iterable[Node]) -> dict[str, str]:
    lots = store.having_any(SupplyLot, "id", {n.id for n in nodes if n.sort is Sort.LOT})
    wanted = {each.ingredient_id for each in lots}
    names = {each.id: each.name for each in store.having_any(Ingredient, "id", wanted)}
    return {each.id: names.get(each.ingredient_id, "") for each in lots}
