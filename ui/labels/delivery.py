"""Where finished pages go: into a file, or to a printer.

Called while the print is recorded, so that what fails here leaves nothing on record.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from formulary.desk import Desk
from formulary.house import Printer
from formulary.labels.page import Page
from formulary.labels.stock import LabelStock
from formulary.preparation import LabelPrint
from formulary.verbs.address_preparation import address_preparation
from formulary.verbs.issue_labels import Deliver, LeafletWanted, issue_run
from ui.files import writing_to
from ui.labels.proof import Titled, Wanted, pdf_title
from ui.labels.subject import Address, Subject
from ui.papers.paper import Destination
from ui.papers.system_printer import Medium, PrintJob, hand_over

AREA = "ui_labels"
CANNOT_WRITE = f"{AREA}.cannot_write"


def keep_address(desk: Desk, subject: Subject, address: Address) -> None:
    """Keep directions and people with the preparation where they were changed on screen."""
    said = address.tidy()
    if subject.addressable and said != subject.address.tidy():
        address_preparation(
            desk,
            subject.lot,
            said.directions,
            said.patient,
            said.prescriber,
            language=said.language,
            dosing=said.dosing,
        )


def issue(
    desk: Desk, wanted: Wanted, deliver: Deliver, leaflets: Destination | None = None
) -> tuple[LabelPrint, ...]:
    """Keep the address, record the prints of what is on screen, and deliver them.

    ``leaflets`` is where those that complete the labels go, in the same act.
    """
    keep_address(desk, wanted.subject, wanted.address)
    lots = (*wanted.run, wanted.subject.lot)
    beside = None if leaflets is None else partial(_drawn, desk, leaflets)
    return issue_run(desk, lots, wanted.printing, deliver, beside)


def _drawn(
    desk: Desk, destination: Destination, wanted: Sequence[LeafletWanted]
) -> Callable[[], None]:
    """Draw the leaflets of a run, as many as there are containers; return what delivers them."""
    from formulary.papers.every_paper import leaflets_of

    paper = leaflets_of(desk, wanted)
    return lambda: destination.deliver(paper)


def to_file(subject: Titled, path: Path) -> Deliver:
    """Return what writes the pages as a PDF. Raises a Refusal where that can't be."""

    def deliver(pages: Sequence[Page], _: LabelStock) -> None:
        from formulary.labels.drawing import draw

        with writing_to(path, CANNOT_WRITE):
            draw(pages, path, title=pdf_title(subject))

    return deliver


def write_file(pdf: bytes, path: Path) -> None:
    """Write a PDF that is already drawn, a trial's. Raises a Refusal where that can't be."""
    with writing_to(path, CANNOT_WRITE):
        path.write_bytes(pdf)


def to_printer(subject: Titled, printer: Printer) -> Deliver:
    """Return what hands the pages to a printer at their true size."""

    def deliver(pages: Sequence[Page], stock: LabelStock) -> None:
        from formulary.labels.drawing import pdf_bytes

        pdf = pdf_bytes(pages, title=pdf_title(subject))
        width, height = stock.page_mm
        medium = Medium(f"Custom.{width:g}x{height:g}mm", width, height)
        hand_over(PrintJob(pdf, len(pages), subject.lot, medium, AREA), printer)

    return deliver
