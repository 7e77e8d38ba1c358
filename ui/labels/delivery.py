"""Where finished pages go: into a file, or to a printer.

Called while the print is recorded, so that what fails here leaves nothing on record.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import Printer
from formulary.labels.page import Page
from formulary.labels.stock import LabelStock
from formulary.messages import message
from formulary.preparation import LabelPrint
from formulary.verbs.address_preparation import address_preparation
from formulary.verbs.issue_labels import Deliver, issue_run
from ui.labels.proof import Titled, Wanted, pdf_title
from ui.labels.subject import Address, Subject

PATIENCE_SECONDS = 30


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


def issue(desk: Desk, wanted: Wanted, deliver: Deliver) -> tuple[LabelPrint, ...]:
    """Keep the address, record the prints of what is on screen, and deliver them."""
    keep_address(desk, wanted.subject, wanted.address)
    return issue_run(desk, (*wanted.run, wanted.subject.lot), wanted.printing, deliver)


def to_file(subject: Titled, path: Path) -> Deliver:
    """Return what writes the pages as a PDF. Raises a Refusal where that can't be."""

    def deliver(pages: Sequence[Page], _: LabelStock) -> None:
        from formulary.labels.drawing import draw

        try:
            draw(pages, path, title=pdf_title(subject))
        except OSError as trouble:
            raise cannot_write(path, trouble) from trouble

    return deliver


def write_file(pdf: bytes, path: Path) -> None:
    """Write a PDF that is already drawn, a trial's. Raises a Refusal where that can't be."""
    try:
        path.write_bytes(pdf)
    except OSError as trouble:
        raise cannot_write(path, trouble) from trouble


def cannot_write(path: Path, trouble: OSError) -> Refusal:
    """Return the refusal that names the place and the system's reason."""
    why = trouble.strerror or str(trouble)
    return Refusal(message("ui_labels.cannot_write", place=str(path), why=why))


def to_printer(subject: Titled, printer: Printer) -> Deliver:
    """Return what hands the pages to a printer at their true size."""

    def deliver(pages: Sequence[Page], stock: LabelStock) -> None:
        from formulary.labels.drawing import pdf_bytes

        pdf = pdf_bytes(pages, title=pdf_title(subject))
        if os.name == "posix":
            _to_queue(pdf, subject.lot, printer, stock)
        else:
            from ui.labels.raster_print import print_as_dots

            print_as_dots(pdf, len(pages), printer, stock)

    return deliver


def _to_queue(pdf: bytes, lot: str, printer: Printer, stock: LabelStock) -> None:
    """Hand a PDF to a CUPS queue. The file bears the lot and is gone afterwards: lp copies it."""
    with tempfile.TemporaryDirectory(prefix="misce-") as folder:
        path = Path(folder) / f"{lot}.pdf"
        path.write_bytes(pdf)
        width, height = stock.page_mm
        media = f"media=Custom.{width:g}x{height:g}mm"
        _run(["lp", "-d", printer.queue, "-o", media, str(path)], printer)


def _run(command: list[str], printer: Printer) -> None:
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as trouble:
        raise Refusal(message("ui_labels.printer_silent", printer=printer.name)) from trouble
    if done.returncode:
        why = done.stderr.strip() or str(done.returncode)
        raise Refusal(message("ui_labels.printer_refused", printer=printer.name, why=why))
