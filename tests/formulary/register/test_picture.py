"""A trace laid out in columns."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from formulary.register.picture import Box, Picture, picture
from formulary.tracing import Link, Node, Sort, Trace, Way, among, trace

SUPPLIER = Node(Sort.SUPPLIER, "s", "Tidewater")
LOT = Node(Sort.LOT, "l", "ZN-4711")
TUB = Node(Sort.CONTAINER, "c", "100012")
PASTE = Node(Sort.PREPARATION, "m-1", "K26-00001")
PASTE_LOT = Node(Sort.LOT, "l-2", "K26-00001")
PASTE_TUB = Node(Sort.CONTAINER, "c-2", "100019")
CREAM = Node(Sort.PREPARATION, "m-2", "K26-00002")
WARD = Node(Sort.WARD, "Ward 3", "Ward 3")
JARS = [Node(Sort.JAR, f"K26-00002/{number}", f"K26-00002/{number}") for number in range(1, 12)]


def weighed(number: str, container: Node, made: Node) -> list[Link]:
    weighing = Node(Sort.WEIGHING, number, made.name)
    person = Node(Sort.PERSON, "p-1", "Ada")
    return [Link(container, weighing), Link(weighing, made), Link(person, weighing)]


LINKS = [
    Link(SUPPLIER, LOT),
    Link(LOT, TUB),
    *weighed("w-1", TUB, PASTE),
    Link(PASTE, PASTE_LOT),
    Link(PASTE_LOT, PASTE_TUB),
    *weighed("w-2", PASTE_TUB, CREAM),
    *weighed("w-3", PASTE_TUB, CREAM),
    *(Link(CREAM, jar) for jar in JARS),
    *(Link(jar, WARD) for jar in JARS[:2]),
]


def drawn(start: Node, links: Sequence[Link] = LINKS) -> Picture:
    return picture(*(trace([start], way, among(links, way)) for way in Way))


def boxes(found: Picture) -> list[Box]:
    return [box for column in found.columns for box in column]


def names(found: Picture) -> list[list[str]]:
    return [[box.nodes[0].name for box in column] for column in found.columns]


def test_an_intermediate_stands_between_what_it_came_from_and_what_it_went_into() -> None:
    assert names(drawn(LOT)) == [
        ["Tidewater"],
        ["ZN-4711"],
        ["100012"],
        ["K26-00001"],
        ["K26-00001"],
        ["100019"],
        ["K26-00002"],
        ["K26-00002/1", "K26-00002/3"],
        ["Ward 3"],
    ]


def test_weighings_and_people_are_not_drawn_and_two_weighings_are_one_line() -> None:
    found = drawn(CREAM)
    assert not {box.sort for box in boxes(found)} & {Sort.WEIGHING, Sort.PERSON}
    assert len(found.lines) == len(set(found.lines)) == 9


def test_jars_that_went_the_same_way_share_a_box_in_the_order_of_their_numbers() -> None:
    handed, here = (box for box in boxes(drawn(LOT)) if box.sort is Sort.JAR)
    assert [node.name for node in handed.nodes] == ["K26-00002/1", "K26-00002/2"]
    assert [node.name[-2:] for node in here.nodes][-3:] == ["/9", "10", "11"]


def test_the_start_is_marked_and_a_jar_that_is_one_has_its_own_box() -> None:
    found = drawn(JARS[1])
    (begun,) = (box for box in boxes(found) if box.begun)
    assert begun.nodes == (JARS[1],)


def test_nothing_is_drawn_of_nothing() -> None:
    assert picture(Trace((), Way.FORWARD, (), (), {})) == Picture((), ())


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), max_size=40))
def test_every_line_runs_from_left_to_right(pairs: list[tuple[int, int]]) -> None:
    nodes = [
        Node((Sort.PREPARATION, Sort.LOT, Sort.CONTAINER)[number % 3], f"n-{number}")
        for number in range(13)
    ]
    links = [Link(nodes[one], nodes[other]) for one, other in pairs if one < other]
    found = drawn(nodes[0], links)
    assert all(source[0] < target[0] for source, target in found.lines)
