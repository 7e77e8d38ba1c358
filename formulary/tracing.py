"""What went into what: from a supplier's lot to the patients, and from a jar back to its lots.

The trade's links run one way, from what goes in to what comes out: supplier, lot, container,
weighing, preparation, perhaps a lot again, jar, and the patient or ward who got it. People and
balances stand before the weighings they had a hand in. A walk follows the links through any
depth, visits each node once, and so ends whatever the links say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias


class Sort(StrEnum):
    """What a node of the graph is."""

    SUPPLIER = "supplier"
    LOT = "lot"
    CONTAINER = "container"
    PERSON = "person"
    BALANCE = "balance"
    WEIGHING = "weighing"
    PREPARATION = "preparation"
    JAR = "jar"
    PATIENT = "patient"
    WARD = "ward"


RECIPIENTS = (Sort.PATIENT, Sort.WARD)


class Way(StrEnum):
    """Which way the links are followed."""

    FORWARD = "forward"
    BACKWARD = "backward"


@dataclass(frozen=True, slots=True, order=True)
class Node:
    """One thing in the chain; ``name`` is what a reader calls it, the id of a person is opaque."""

    sort: Sort
    id: str
    name: str = field(default="", compare=False)

    # The generated ones hash an enum as well, which takes half of the time of a long walk.
    def __hash__(self) -> int:
        return hash(self.id)


@dataclass(frozen=True, slots=True, order=True)
class Link:
    """What goes in, and what it goes into."""

    source: Node
    target: Node

    def __hash__(self) -> int:
        return hash((self.source.id, self.target.id))


Neighbours: TypeAlias = Callable[[Sequence[Node]], Iterable[Link]]
"""All links of the nodes of one depth, in one question to wherever they are kept."""


@dataclass(frozen=True, slots=True)
class Trace:
    """A walk from ``starts``: nodes in the order of their depth, and the links between them."""

    starts: tuple[Node, ...]
    way: Way
    nodes: tuple[Node, ...]
    links: tuple[Link, ...]
    depths: Mapping[Node, int]

    def of(self, *sorts: Sort) -> tuple[Node, ...]:
        """Return the nodes of these sorts, nearest first."""
        return tuple(node for node in self.nodes if node.sort in sorts)

    @property
    def preparations(self) -> tuple[Node, ...]:
        """Return every preparation touched, intermediates among them."""
        return self.of(Sort.PREPARATION)

    @property
    def jars(self) -> tuple[Node, ...]:
        """Return every jar touched."""
        return self.of(Sort.JAR)

    @property
    def supplier_lots(self) -> tuple[Node, ...]:
        """Return the lots that no preparation of this trace became."""
        made_here = {each.target for each in self.links if each.source.sort is Sort.PREPARATION}
        return tuple(lot for lot in self.of(Sort.LOT) if lot not in made_here)

    @property
    def to_call(self) -> tuple[Delivery, ...]:
        """Return each patient and ward reached, with the jars they got."""
        got: dict[Node, list[Node]] = {each: [] for each in self.of(*RECIPIENTS)}
        for link in self.links:
            if link.target in got:
                got[link.target].append(link.source)
        return tuple(Delivery(who, tuple(sorted(jars))) for who, jars in got.items())

    @property
    def not_handed_over(self) -> tuple[Node, ...]:
        """Return the jars that nobody got: those still on the shelf."""
        gone = {link.source for link in self.links if link.target.sort in RECIPIENTS}
        return tuple(jar for jar in self.jars if jar not in gone)


@dataclass(frozen=True, slots=True)
class Delivery:
    """Who got which jars."""

    recipient: Node
    jars: tuple[Node, ...]


def trace(starts: Sequence[Node], way: Way, neighbours: Neighbours) -> Trace:
    """Return all that is reached from the starts, asking once for each depth."""
    depths = dict.fromkeys(starts, 0)
    links: dict[Link, None] = {}
    edge = list(depths)
    while edge:
        found: list[Node] = []
        for link in neighbours(edge):
            links[link] = None
            reached = _end(link, way)
            if reached not in depths:
                depths[reached] = depths[_beginning(link, way)] + 1
                found.append(reached)
        edge = found
    return Trace(tuple(starts), way, tuple(depths), tuple(links), depths)


def both_ways(
    starts: Sequence[Node], forward: Neighbours, backward: Neighbours
) -> tuple[Trace, Trace]:
    """Return what came of the starts, and what they came from."""
    return trace(starts, Way.FORWARD, forward), trace(starts, Way.BACKWARD, backward)


def among(links: Iterable[Link], way: Way) -> Neighbours:
    """Return the neighbours within links at hand; any more of them than needed do no harm."""
    beginning: dict[Node, list[Link]] = {}
    for link in links:
        beginning.setdefault(_beginning(link, way), []).append(link)
    return lambda nodes: [link for node in nodes for link in beginning.get(node, ())]


def _beginning(link: Link, way: Way) -> Node:
    return link.source if way is Way.FORWARD else link.target


def _end(link: Link, way: Way) -> Node:
    return link.target if way is Way.FORWARD else link.source
