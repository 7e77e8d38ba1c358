"""A paper that is drawn, and where it goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from formulary.desk import Desk
from formulary.house import Printer
from formulary.messages import Message, message
from ui.context import Context
from ui.files import writing_to
from ui.papers.system_printer import A4, PrintJob, hand_over

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    # What draws is loaded with the first paper, on the worker.
    from formulary.papers.every_paper import Paper

AREA = "ui_papers"
DOTS_PER_INCH = 300


Draw: TypeAlias = "Callable[[Desk], Paper]"
"""Draws a paper on the worker."""


@dataclass(frozen=True, slots=True)
class Destination:
    """Where a paper goes: ``deliver`` takes it there, ``said`` tells it once it is there."""

    deliver: Callable[[Paper], None]
    said: Callable[[Paper], Message]


def into_file(path: Path) -> Destination:
    """Return a file as the destination."""

    def deliver(paper: Paper) -> None:
        from formulary.labels.drawing import draw

        with writing_to(path):
            draw(
                paper.pages, path, title=paper.name, bookmarks=paper.bookmarks, origin=paper.origin
            )

    def said(paper: Paper) -> Message:
        return message(f"{AREA}.saved", n=len(paper.pages), place=str(path))

    return Destination(deliver, said)


def onto(chosen: QPrinter) -> Destination:
    """Return what was chosen in the system's question as the destination."""
    if chosen.outputFormat() is chosen.OutputFormat.PdfFormat:
        return into_file(Path(chosen.outputFileName()))
    name, copies = chosen.printerName(), chosen.copyCount()
    printer = Printer(name, name, DOTS_PER_INCH)

    def deliver(paper: Paper) -> None:
        from formulary.labels.drawing import pdf_bytes

        pdf = pdf_bytes(paper.pages, title=paper.name, origin=paper.origin)
        hand_over(PrintJob(pdf, len(paper.pages), paper.name, A4, AREA, copies), printer)

    def said(paper: Paper) -> Message:
        return message(f"{AREA}.printed", n=len(paper.pages), printer=name)

    return Destination(deliver, said)


def tell(context: Context, said: Message) -> None:
    """Say where a paper went."""
    context.say.tell(said.key, **dict(said.parameters))
