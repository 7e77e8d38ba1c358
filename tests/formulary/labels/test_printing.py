from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest

from formulary.errors import BadText, Refusal
from formulary.house import Printer
from formulary.labels.content import each_container
from formulary.labels.for_printer import label_pages
from formulary.labels.layout import DoesNotFit
from formulary.labels.printing import label_pdf
from formulary.labels.stock import label_stock
from tests.formulary.labels.samples import FULL, SHELF, USUAL, code, glyph_runs
from tests.helpers.pdf_text import page_texts

STOCK = label_stock("100x50")


def printer(right: str = "0", down: str = "0", dots_per_inch: int = 203) -> Printer:
    return Printer("Bench", "bench", dots_per_inch, "100x50", right, down)


def test_every_container_gets_its_label() -> None:
    held = BytesIO()
    assert label_pdf(each_container(USUAL), STOCK, held, title="Three labels") == 3
    texts = page_texts(held.getvalue())
    assert ["of 3" in text.replace("\N{NO-BREAK SPACE}", " ") for text in texts] == [True] * 3


def test_nothing_is_written_if_one_label_does_not_fit(tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    with pytest.raises(DoesNotFit):
        label_pdf([SHELF, FULL], label_stock("62x29"), path, title="Labels")
    assert not path.exists()


def test_everything_moves_by_the_printers_offset() -> None:
    (still,) = label_pages([USUAL], STOCK, printer())
    (moved,) = label_pages([USUAL], STOCK, printer("0.5", "-1"))
    for before, after in zip(glyph_runs(still), glyph_runs(moved), strict=True):
        assert after.x_mm - before.x_mm == pytest.approx(0.5)
        assert after.y_mm - before.y_mm == pytest.approx(-1)
    assert code(moved).bars[0][0] - code(still).bars[0][0] == pytest.approx(0.5)


def test_an_offset_that_pushes_text_off_the_label_is_refused() -> None:
    with pytest.raises(Refusal, match="offset_leaves_label"):
        label_pages([USUAL], STOCK, printer("5"))


@pytest.mark.parametrize("typed", ["a bit", "nan", "1,5"])
def test_an_offset_that_is_no_number_is_refused(typed: str) -> None:
    with pytest.raises(BadText, match="bad_offset"):
        label_pages([USUAL], STOCK, printer(typed))


def test_a_finer_printer_gets_bars_of_three_dots() -> None:
    (page,) = label_pages([USUAL], STOCK, printer(dots_per_inch=300))
    assert min(width for _, width in code(page).bars) == pytest.approx(3 * 25.4 / 300)
