"""What was printed is kept as it was drawn, and names nobody."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.errors import BadText
from formulary.labels.kept_page import PEOPLE, keep_pages, kept_pages
from formulary.labels.layout import DoesNotFit, lay_out
from formulary.labels.page import GlyphRun
from formulary.labels.stock import LabelStock, label_stocks
from tests.formulary.labels.samples import BRIEF, FULL, GERMAN, USUAL


@pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.code)
def test_what_is_kept_is_what_was_drawn_but_for_people(stock: LabelStock) -> None:
    """Names stand nowhere, not in the small print of a full label either."""
    tried = 0
    for content in (BRIEF, USUAL, FULL, GERMAN):
        named = replace(content, patient="Zuzanna Xavier", prescriber="Dr Quill")
        try:
            page = lay_out(named, stock)
        except DoesNotFit:
            continue
        tried += 1
        (kept,) = kept_pages(keep_pages([page]))
        shown = tuple(each for each in page.items if each.field not in PEOPLE)
        assert kept == replace(page, items=shown)
        said = " ".join(each.text for each in kept.items if isinstance(each, GlyphRun))
        assert content.lot in said
        assert not any(part in said for part in ("Zuzanna", "Xavier", "Quill"))
    assert tried or stock.code == "50x20"


def test_labels_of_one_print_take_little_more_room_than_one() -> None:
    labels = [
        lay_out(replace(USUAL, container=number, containers=9), label_stocks()[-1])
        for number in range(1, 10)
    ]
    assert len(keep_pages(labels)) < 3 * len(keep_pages(labels[:1]))


def test_of_an_older_print_none_is_kept_and_what_is_damaged_is_said() -> None:
    assert kept_pages("") == ()
    for text in ("1:x", "1:eJw=", "{}", "2:eJyLjgUAARUAuQ=="):
        with pytest.raises(BadText):
            kept_pages(text)
