"""A paper asked for on a page: where its file goes, then written on the worker."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError, Refusal
from formulary.messages import message
from ui.context import Context

if TYPE_CHECKING:
    # What draws is loaded with the first paper.
    from formulary.papers.every_paper import Paper

Make = Callable[[Desk], "Paper"]
"""Puts a paper together, on the worker."""

AREA = "ui_forms.paper"


def save_paper(parent: QWidget, context: Context, title: str, proposed: str, make: Make) -> None:
    """Ask for the file of a paper and write it."""
    path = ask_path(parent, title, proposed)
    if path is not None:
        write_paper(context, make, path)


def ask_path(parent: QWidget, title: str, proposed: str) -> Path | None:
    """Return where a paper is to be written, None where somebody steps back."""
    name, _ = QFileDialog.getSaveFileName(parent, title, f"{proposed}.pdf", "PDF (*.pdf)")
    return Path(name) if name else None


def write_paper(
    context: Context,
    make: Make,
    path: Path,
    then: Callable[[], None] | None = None,
    failed: Callable[[FormularyError], None] | None = None,
) -> None:
    """Write a paper on the worker and say so."""

    def written(pages: int) -> None:
        context.say.tell(f"{AREA}.saved", n=pages, place=str(path))
        if then is not None:
            then()

    context.do(lambda desk: _write(make(desk), path), written, failed=failed)


def _write(paper: Paper, path: Path) -> int:
    from formulary.labels.drawing import draw

    try:
        draw(paper.pages, path, title=paper.name, bookmarks=paper.bookmarks)
    except OSError as trouble:
        why = trouble.strerror or str(trouble)
        raise Refusal(message(f"{AREA}.cannot_write", place=str(path), why=why)) from trouble
    return len(paper.pages)
