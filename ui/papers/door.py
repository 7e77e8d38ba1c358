"""The way out for the papers of a page: asked where to, then drawn and delivered on the worker."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError, Refusal
from formulary.messages import message
from ui.context import Context, Topic
from ui.files import PDF, ask_to_save
from ui.papers.paper import AREA, Destination, Draw, into_file, onto, tell

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper


class PaperDoor(QObject):
    """Prints papers or writes them to files; ``gone`` tells that one is out."""

    gone = Signal()

    def __init__(self, context: Context, page: QWidget) -> None:
        super().__init__(page)
        self._context, self._page = context, page

    def print(self, draw: Draw, *, changes: tuple[Topic, ...] = ()) -> None:
        """Ask for a printer, then print there."""
        from ui.papers.printers import ask_printer

        ask_printer(self._page, lambda chosen: self.deliver(draw, onto(chosen), changes=changes))

    def save(self, draw: Draw, name: str, *, changes: tuple[Topic, ...] = ()) -> None:
        """Ask for a file, proposing a name, then write there."""
        title = self._context.text(f"{AREA}.save_title")
        ask_to_save(
            self._page,
            title,
            f"{name}.pdf",
            lambda path: self.deliver(draw, into_file(path), changes=changes),
            PDF,
        )

    def deliver(
        self, draw: Draw, destination: Destination, *, changes: tuple[Topic, ...] = ()
    ) -> None:
        """Draw a paper and take it where it goes; what was changed for it is told in any case."""

        def run(desk: Desk) -> Paper:
            paper = draw(desk)
            _take(paper, destination)
            return paper

        def arrived(paper: Paper) -> None:
            said = destination.said(paper)
            if paper.reserved:
                said = message(f"{AREA}.set_aside", out=said, lots=paper.reserved)
            tell(self._context, said)
            self.gone.emit()

        def refused(trouble: FormularyError) -> None:
            for topic in changes:
                self._context.tell_changed(topic)
            self._context.say.refuse(trouble)

        self._context.do(run, arrived, changes=changes, failed=refused)


def _take(paper: Paper, destination: Destination) -> None:
    """Take a paper where it goes; where that fails, say which lots were given for it."""
    try:
        destination.deliver(paper)
    except Refusal as trouble:
        if not paper.reserved:
            raise
        said = message(f"{AREA}.not_out", why=trouble.message, lots=paper.reserved)
        raise Refusal(said) from trouble
