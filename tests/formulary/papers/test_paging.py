"""Blocks onto pages: together where they fit, under their head again where they don't."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from formulary.labels.page import GlyphRun, Page, Place
from formulary.papers.blocks import FULL_MM, Block, Cell, Strip, Text, bold, box, boxes, heading
from formulary.papers.paging import BOTTOM_MM, LEFT_MM, TOP_MM, Head, paged

BODY = Place(LEFT_MM, TOP_MM, LEFT_MM + FULL_MM, BOTTOM_MM)
EMPTY = Head(20.0, lambda _number, _total: ())
HEAD = (heading("Weigh"),)


def a_line(text: str) -> Block:
    """Return a block of one paragraph."""
    return Block((Strip((Cell(FULL_MM, (Text(text),)),)),), HEAD)


def texts(page: Page) -> list[str]:
    """Return what a page says, run by run."""
    return [each.text for each in page.items if isinstance(each, GlyphRun)]


def test_a_part_begins_with_its_head_and_every_page_within_repeats_it() -> None:
    pages = paged([a_line(f"line {number}") for number in range(150)], EMPTY)
    assert len(pages) > 2
    assert all(texts(page)[0] == "Weigh" for page in pages)
    assert [texts(page).count("Weigh") for page in pages] == [1] * len(pages)


def test_a_head_never_stands_alone_at_the_foot_of_a_page() -> None:
    for filling in range(30, 60):
        one = [a_line("x") for _ in range(filling)]
        other = Block((boxes(box(60, "Container")),), (heading("Vessels"),))
        last = texts(paged([*one, other], EMPTY)[-1])
        assert "Container" in last
        assert last[last.index("Vessels") + 1] == "Container"


def test_a_block_goes_to_the_next_page_whole() -> None:
    card = Block((Strip((Cell(FULL_MM, (bold("Urea"),)),)), boxes(box(60, "Weighed"))), HEAD)
    for page in paged([card] * 60, EMPTY):
        assert texts(page).count("Urea") == texts(page).count("Weighed")


def test_every_page_is_told_its_number_and_how_many_there_are() -> None:
    seen: list[tuple[int, int]] = []

    def drawn(number: int, total: int) -> tuple[()]:
        seen.append((number, total))
        return ()

    pages = paged([a_line("x")] * 120, Head(20.0, drawn))
    assert seen == [(number, len(pages)) for number in range(1, len(pages) + 1)]


def test_a_paper_without_anything_to_say_is_still_a_page() -> None:
    assert len(paged([], EMPTY)) == 1


@given(
    st.lists(
        st.tuples(st.integers(1, 900), st.booleans(), st.sampled_from([20.0, 60.0, 180.0])),
        max_size=12,
    )
)
def test_no_word_is_lost_and_nothing_leaves_the_page(
    blocks: list[tuple[int, bool, float]],
) -> None:
    made, words = [], []
    for number, (length, framed, width) in enumerate(blocks):
        said = [f"w{number}-{at}" for at in range(length)]
        words += said
        cell = Cell(width, (Text(" ".join(said)),), framed=framed)
        made.append(Block((Strip((cell,), least_mm=13.0),), HEAD))
    pages = paged(made, EMPTY)
    found = " ".join(text for page in pages for text in texts(page)).split(" ")
    assert [each for each in found if each.startswith("w")] == words
    assert all(item.place.within(BODY) for page in pages for item in page.items)
