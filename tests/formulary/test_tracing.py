"""From a supplier's lot to every patient, and from a jar back to every lot, in one step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from formulary.tracing import Link, Node, Sort, Way, among, both_ways, trace


def node(sort: Sort, name: str) -> Node:
    return Node(sort, name)


LOT, OTHER_LOT = node(Sort.LOT, "zinc"), node(Sort.LOT, "talc")
SUPPLIER = node(Sort.SUPPLIER, "invented supplier")
BALANCE, PERSON = node(Sort.BALANCE, "balance 1"), node(Sort.PERSON, "ben")
BASE, BASE_LOT = node(Sort.PREPARATION, "base"), node(Sort.LOT, "base lot")
CREAM, PASTE = node(Sort.PREPARATION, "cream"), node(Sort.PREPARATION, "paste")
JARS = tuple(node(Sort.JAR, f"jar {n}") for n in range(4))
PATIENT, WARD = node(Sort.PATIENT, "p-17"), node(Sort.WARD, "ward 3")


def weighed(lot: Node, into: Node, name: str) -> list[Link]:
    """Return a lot's container, the weighing from it, and the preparation it went into."""
    jar, weighing = node(Sort.CONTAINER, f"c {name}"), node(Sort.WEIGHING, name)
    return [
        Link(lot, jar),
        Link(jar, weighing),
        Link(BALANCE, weighing),
        Link(PERSON, weighing),
        Link(weighing, into),
    ]


LINKS = [
    Link(SUPPLIER, LOT),
    *weighed(LOT, BASE, "w1"),
    Link(BASE, BASE_LOT),
    *weighed(BASE_LOT, CREAM, "w2"),
    *weighed(OTHER_LOT, CREAM, "w3"),
    *weighed(OTHER_LOT, PASTE, "w4"),
    Link(CREAM, JARS[0]),
    Link(CREAM, JARS[1]),
    Link(CREAM, JARS[2]),
    Link(PASTE, JARS[3]),
    Link(JARS[0], PATIENT),
    Link(JARS[1], WARD),
    Link(JARS[3], PATIENT),
]
FORWARD, BACKWARD = among(LINKS, Way.FORWARD), among(LINKS, Way.BACKWARD)


def test_a_lot_is_followed_through_an_intermediate_to_everybody_who_got_it() -> None:
    found = trace([LOT], Way.FORWARD, FORWARD)
    assert found.preparations == (BASE, CREAM)
    assert found.jars == JARS[:3]
    assert [(each.recipient, each.jars) for each in found.to_call] == [
        (PATIENT, (JARS[0],)),
        (WARD, (JARS[1],)),
    ]
    assert found.not_handed_over == (JARS[2],)


def test_a_jar_is_followed_back_to_lots_supplier_balance_and_people() -> None:
    found = trace([JARS[0]], Way.BACKWARD, BACKWARD)
    assert set(found.supplier_lots) == {LOT, OTHER_LOT}
    assert BASE_LOT in found.of(Sort.LOT)
    assert found.of(Sort.SUPPLIER, Sort.BALANCE) == (BALANCE, SUPPLIER)
    assert found.of(Sort.PERSON) == (PERSON,)
    assert PASTE not in found.nodes


def test_a_wrong_balance_is_followed_to_all_that_was_weighed_on_it() -> None:
    assert set(trace([BALANCE], Way.FORWARD, FORWARD).preparations) == {BASE, CREAM, PASTE}


def test_both_ways_at_once() -> None:
    forward, backward = both_ways([CREAM], FORWARD, BACKWARD)
    assert set(forward.jars) == set(JARS[:3])
    assert set(backward.supplier_lots) == {LOT, OTHER_LOT}


def test_two_deliveries_of_one_lot_are_followed_together() -> None:
    assert trace([LOT, OTHER_LOT], Way.FORWARD, FORWARD).jars == JARS


def test_a_circle_ends() -> None:
    links = [Link(BASE, BASE_LOT), Link(BASE_LOT, CREAM), Link(CREAM, BASE)]
    found = trace([BASE], Way.FORWARD, among(links, Way.FORWARD))
    assert (found.nodes, found.links) == ((BASE, BASE_LOT, CREAM), tuple(links))


def test_what_leads_nowhere_is_found_alone() -> None:
    found = trace([WARD], Way.FORWARD, FORWARD)
    assert (found.nodes, found.links, found.to_call[0].jars) == ((WARD,), (), ())


def test_each_depth_is_asked_for_once() -> None:
    asked: list[Sequence[Node]] = []

    def counted(nodes: Sequence[Node]) -> Iterable[Link]:
        asked.append(tuple(nodes))
        return FORWARD(nodes)

    found = trace([LOT], Way.FORWARD, counted)
    assert len(asked) == max(found.depths.values()) + 1
    assert len({each for nodes in asked for each in nodes}) == len(found.nodes)


def test_the_shortest_way_gives_the_depth() -> None:
    links = [Link(LOT, BASE), Link(BASE, CREAM), Link(LOT, CREAM)]
    found = trace([LOT], Way.FORWARD, among(links, Way.FORWARD))
    assert found.depths == {LOT: 0, BASE: 1, CREAM: 1}


def test_a_node_is_the_same_under_any_name() -> None:
    renamed = Node(Sort.LOT, "zinc", "Zinc oxide ZN-4711")
    assert trace([renamed], Way.FORWARD, FORWARD).preparations == (BASE, CREAM)
