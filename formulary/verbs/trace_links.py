"""The links of a trace as the store keeps them, one question for each sort and depth.

Only the columns that links are made of are read: a walk may touch thousands of weighings.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any

from formulary.people import Person
from formulary.preparation import Preparation
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.store import Reading
from formulary.tracing import Link, Neighbours, Node, Sort
from formulary.verbs.trace_jars import JarLinks, Rows, lot_of

_Ask = Callable[[Reading, Sequence[Node]], Iterable[Link]]


def lot_node(lot: SupplyLot) -> Node:
    """Return the node of a lot."""
    return Node(Sort.LOT, lot.id, lot.number)


def container_node(container: StockContainer) -> Node:
    """Return the node of a container."""
    return Node(Sort.CONTAINER, container.id, container.number)


def preparation_node(preparation: Preparation) -> Node:
    """Return the node of a preparation, called by its lot."""
    return Node(Sort.PREPARATION, preparation.id, preparation.lot)


def forward(store: Reading) -> Neighbours:
    """Return what asks for the links from what goes in to what comes out, for one walk."""
    return _Forward(store)


def backward(store: Reading) -> Neighbours:
    """Return what asks for the links from what came out to what went in."""
    return _asking(
        store,
        {
            Sort.JAR: _preparations_of_jars,
            Sort.PREPARATION: _into_preparations,
            Sort.CONTAINER: _into_containers,
            Sort.LOT: _into_lots,
        },
    )


def _asking(store: Reading, asks: dict[Sort, _Ask]) -> Neighbours:
    def neighbours(nodes: Sequence[Node]) -> Iterator[Link]:
        for sort, ask in asks.items():
            wanted = [node for node in nodes if node.sort is sort]
            if wanted:
                yield from ask(store, wanted)

    return neighbours


def _containers(store: Reading, field: str, values: Collection[str]) -> Rows:
    return store.columns(StockContainer, ("id", "number", "lot_id", "filled_from"), field, values)


def _lots(store: Reading, field: str, values: Collection[str]) -> Rows:
    return store.columns(SupplyLot, ("id", "number", "made_as"), field, values)


def _weighings(store: Reading, field: str, values: Collection[str]) -> list[tuple[Any, ...]]:
    """Return id, container, preparation's lot and person of what was weighed for a preparation."""
    names = ("id", "container_id", "preparation_lot", "person_id", "cause")
    return [
        (move, container, lot, person)
        for move, container, lot, person, cause in store.columns(StockMove, names, field, values)
        if lot and cause == Cause.WEIGHED
    ]


def _preparations(store: Reading, field: str, values: Collection[str]) -> dict[str, Node]:
    """Return the nodes of preparations by that field, the lot or the id."""
    found = store.columns(Preparation, ("id", "lot"), field, values)
    at = 1 if field == "lot" else 0
    return {row[at]: Node(Sort.PREPARATION, row[0], row[1]) for row in found}


class _Forward:
    """Asks for the links of one walk forward; what a preparation led to is asked for once."""

    def __init__(self, store: Reading) -> None:
        self._store = store
        self._jars = JarLinks(store)

    def __call__(self, nodes: Sequence[Node]) -> Iterator[Link]:
        """Yield the links of the nodes of one depth."""
        asks = {
            Sort.LOT: self._containers_of_lots,
            Sort.CONTAINER: self._out_of_containers,
            Sort.PREPARATION: self._out_of_preparations,
            Sort.JAR: self._jars.of_jars,
        }
        for sort, ask in asks.items():
            wanted = {node.id: node for node in nodes if node.sort is sort}
            if wanted:
                yield from ask(wanted)

    def _containers_of_lots(self, lots: Mapping[str, Node]) -> Iterator[Link]:
        for container, number, lot, _ in _containers(self._store, "lot_id", lots):
            yield Link(lots[lot], Node(Sort.CONTAINER, container, number))

    def _out_of_containers(self, containers: Mapping[str, Node]) -> Iterator[Link]:
        by_number = {node.name: node for node in containers.values()}
        for container, number, _, source in _containers(self._store, "filled_from", by_number):
            yield Link(by_number[source], Node(Sort.CONTAINER, container, number))
        moves = _weighings(self._store, "container_id", containers)
        made = {row[1]: row for row in self._jars.made("lot", {lot for _, _, lot, _ in moves})}
        for move, container, lot, _ in moves:
            weighing = Node(Sort.WEIGHING, move, lot)
            yield Link(containers[container], weighing)
            if lot in made:
                yield Link(weighing, Node(Sort.PREPARATION, made[lot][0], lot))
        yield from self._jars.of_preparations(made.values())

    def _out_of_preparations(self, preparations: Mapping[str, Node]) -> Iterator[Link]:
        for lot, number, made_as in _lots(self._store, "made_as", preparations):
            yield Link(preparations[made_as], Node(Sort.LOT, lot, number))
        yield from self._jars.of_preparations(self._jars.made("id", preparations))


def _preparations_of_jars(store: Reading, jars: Sequence[Node]) -> Iterator[Link]:
    made = _preparations(store, "lot", {lot_of(jar) for jar in jars})
    for jar in jars:
        if lot_of(jar) in made:
            yield Link(made[lot_of(jar)], jar)


def _into_preparations(store: Reading, preparations: Sequence[Node]) -> Iterator[Link]:
    by_lot = {node.name: node for node in preparations}
    moves = _weighings(store, "preparation_lot", by_lot)
    asked = _containers(store, "id", {container for _, container, _, _ in moves})
    containers = {each[0]: Node(Sort.CONTAINER, each[0], each[1]) for each in asked}
    people = {each.id: each.name for each in store.every(Person)}
    for move, container, lot, person in moves:
        weighing = Node(Sort.WEIGHING, move, lot)
        yield Link(weighing, by_lot[lot])
        yield Link(containers[container], weighing)
        yield Link(Node(Sort.PERSON, person, people.get(person, "")), weighing)


def _into_containers(store: Reading, nodes: Sequence[Node]) -> Iterator[Link]:
    containers = _containers(store, "id", {node.id for node in nodes})
    asked = _lots(store, "id", {lot for _, _, lot, _ in containers})
    lots = {each[0]: Node(Sort.LOT, each[0], each[1]) for each in asked}
    numbers = {source for _, _, _, source in containers if source}
    sources = {each[1]: each[0] for each in _containers(store, "number", numbers)}
    for container, number, lot, source in containers:
        node = Node(Sort.CONTAINER, container, number)
        yield Link(lots[lot], node)
        if source in sources:
            yield Link(Node(Sort.CONTAINER, sources[source], source), node)


def _into_lots(store: Reading, nodes: Sequence[Node]) -> Iterator[Link]:
    lots = store.having_any(SupplyLot, "id", {node.id for node in nodes})
    made = _preparations(store, "id", {each.made_as for each in lots if each.made_as})
    for each in lots:
        if each.made_as in made:
            yield Link(made[each.made_as], lot_node(each))
        elif each.supplier:
            yield Link(Node(Sort.SUPPLIER, each.supplier, each.supplier), lot_node(each))
