"""A paper asked for on a page: where its file goes, then written on the worker."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError
from ui.context import Context
from ui.papers.files import last_folder
from ui.papers.paper import Draw, into_file, tell

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper


def save_paper(parent: QWidget, context: Context, title: str, proposed: str, make: Draw) -> None:
    """Ask for the file of a paper and write it."""
    path = ask_path(parent, title, proposed)
    if path is not None:
        write_paper(context, make, path)


def ask_path(parent: QWidget, title: str, proposed: str) -> Path | None:
    """Return where a paper is to be written, None where somebody steps back."""
    place = str(last_folder() / f"{proposed}.pdf")
    name, _ = QFileDialog.getSaveFileName(parent, title, place, "PDF (*.pdf)")
    return Path(name) if name else None


def write_paper(
    context: Context,
    make: Draw,
    path: Path,
    then: Callable[[], None] | None = None,
    failed: Callable[[FormularyError], None] | None = None,
) -> None:
    """Write a paper on the worker and say so."""
    file = into_file(path)

    def write(desk: Desk) -> Paper:
        paper = make(desk)
        file.deliver(paper)
        return paper

    def written(paper: Paper) -> None:
        tell(context, file.said(paper))
        if then is not None:
            then()

    context.do(write, written, failed=failed)
