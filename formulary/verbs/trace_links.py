"""The links of a trace as the store keeps them, one question for each sort and depth.

Until jars are handed over on record, each jar of a preparation counts as given to the patient
that the preparation is for: whoever may have got one is called.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from formulary.preparation import Preparation
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.stock.moves import Cause, StockMove
from formulary.store import Reading
from formulary.tracing import Link, Neighbours, Node, Sort

JAR_SIGN = "/"


def lot_node(lot: SupplyLot) -> Node:
    """Return the node of a lot."""
    return Node(Sort.LOT, lot.id, lot.number)


def container_node(container: StockContainer) -> Node:
    """Return the node of a container."""
    return Node(Sort.CONTAINER, container.id, container.number)


def preparation_node(preparation: Preparation) -> Node:
    """Return the node of a preparation, called by its lot."""
    return Node(Sort.PREPARATION, preparation.id, preparation.lot)


def jar_nodes(preparation: Preparation) -> tuple[Node, ...]:
    """Return the node of each jar, called by the lot and its number."""
    names = (f"{preparation.lot}{JAR_SIGN}{i + 1}" for i in range(preparation.containers))
    return tuple(Node(Sort.JAR, name, name) for name in names)


def forward(store: Reading) -> Neighbours:
    """Return what asks for the links from what goes in to what comes out."""
    return _asking(
        store,
        {
            Sort.LOT: _containers_of_lots,
            Sort.CONTAINER: _out_of_containers,
            Sort.PREPARATION: _out_of_preparations,
            Sort.JAR: _out_of_jars,
        },
    )


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


_Ask = Callable[[Reading, Sequence[Node]], Iterable[Link]]


def _asking(store: Reading, asks: dict[Sort, _Ask]) -> Neighbours:
    def neighbours(nodes: Sequence[Node]) -> Iterator[Link]:
        for sort, ask in asks.items():
            wanted = [node for node in nodes if node.sort is sort]
            if wanted:
                yield from ask(store, wanted)

    return neighbours


def _ids(nodes: Iterable[Node]) -> set[str]:
    return {node.id for node in nodes}


def _containers_of_lots(store: Reading, lots: Sequence[Node]) -> Iterator[Link]:
    nodes = {node.id: node for node in lots}
    for each in store.having_any(StockContainer, "lot_id", nodes):
        yield Link(nodes[each.lot_id], container_node(each))


def _out_of_containers(store: Reading, containers: Sequence[Node]) -> Iterator[Link]:
    nodes = {node.id: node for node in containers}
    by_number = {node.name: node for node in containers}
    for each in store.having_any(StockContainer, "filled_from", by_number):
        yield Link(by_number[each.filled_from], container_node(each))
    moves = [each for each in store.having_any(StockMove, "container_id", nodes) if _weighed(each)]
    made = _preparations(store, "lot", {each.preparation_lot for each in moves})
    for move in moves:
        yield Link(nodes[move.container_id], _weighing(move))
        if move.preparation_lot in made:
            yield Link(_weighing(move), preparation_node(made[move.preparation_lot]))


def _weighed(move: StockMove) -> bool:
    return move.cause is Cause.WEIGHED and bool(move.preparation_lot)


def _weighing(move: StockMove) -> Node:
    return Node(Sort.WEIGHING, move.id, move.preparation_lot)


def _preparations(store: Reading, field: str, values: set[str]) -> dict[str, Preparation]:
    return {getattr(each, field): each for each in store.having_any(Preparation, field, values)}


def _out_of_preparations(store: Reading, preparations: Sequence[Node]) -> Iterator[Link]:
    ids = _ids(preparations)
    nodes = {node.id: node for node in preparations}
    for lot in store.having_any(SupplyLot, "made_as", ids):
        yield Link(nodes[lot.made_as], lot_node(lot))
    for made in _preparations(store, "id", ids).values():
        yield from (Link(nodes[made.id], jar) for jar in jar_nodes(made))


def _out_of_jars(store: Reading, jars: Sequence[Node]) -> Iterator[Link]:
    lots = {jar.id: jar.id.rpartition(JAR_SIGN)[0] for jar in jars}
    made = _preparations(store, "lot", set(lots.values()))
    for jar in jars:
        found = made.get(lots[jar.id])
        if found is not None and found.patient_id:
            yield Link(jar, Node(Sort.PATIENT, found.patient_id))


def _preparations_of_jars(store: Reading, jars: Sequence[Node]) -> Iterator[Link]:
    lots = {jar.id: jar.id.rpartition(JAR_SIGN)[0] for jar in jars}
    made = _preparations(store, "lot", set(lots.values()))
    for jar in jars:
        if lots[jar.id] in made:
            yield Link(preparation_node(made[lots[jar.id]]), jar)


def _into_preparations(store: Reading, preparations: Sequence[Node]) -> Iterator[Link]:
    by_lot = {node.name: node for node in preparations}
    moves = [
        each for each in store.having_any(StockMove, "preparation_lot", by_lot) if _weighed(each)
    ]
    containers = {
        each.id: each
        for each in store.having_any(StockContainer, "id", {each.container_id for each in moves})
    }
    for each in moves:
        yield Link(_weighing(each), by_lot[each.preparation_lot])
        yield Link(container_node(containers[each.container_id]), _weighing(each))
        yield Link(Node(Sort.PERSON, each.person_id, each.person), _weighing(each))


def _into_containers(store: Reading, nodes: Sequence[Node]) -> Iterator[Link]:
    containers = store.having_any(StockContainer, "id", _ids(nodes))
    lots = {
        each.id: each
        for each in store.having_any(SupplyLot, "id", {each.lot_id for each in containers})
    }
    numbers = {each.filled_from for each in containers if each.filled_from}
    sources = {each.number: each for each in store.having_any(StockContainer, "number", numbers)}
    for each in containers:
        yield Link(lot_node(lots[each.lot_id]), container_node(each))
        if each.filled_from in sources:
            yield Link(container_node(sources[each.filled_from]), container_node(each))


def _into_lots(store: Reading, nodes: Sequence[Node]) -> Iterator[Link]:
    lots = store.having_any(SupplyLot, "id", _ids(nodes))
    made = _preparations(store, "id", {each.made_as for each in lots if each.made_as})
    for each in lots:
        if each.made_as in made:
            yield Link(preparation_node(made[each.made_as]), lot_node(each))
        elif each.supplier:
            yield Link(Node(Sort.SUPPLIER, each.supplier, each.supplier), lot_node(each))
