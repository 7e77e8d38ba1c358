"""A paper asked for on a page: where its file goes, then written on the worker."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError
from ui.context import Context
from ui.files import PDF, ask_to_save
from ui.papers.paper import Draw, into_file, tell

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper


def save_paper(parent: QWidget, context: Context, title: str, proposed: str, make: Draw) -> None:
    """Ask for the file of a paper and write it."""
    ask_to_save(
        parent, title, f"{proposed}.pdf", lambda path: write_paper(context, make, path), PDF
    )


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
