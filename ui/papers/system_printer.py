"""A finished PDF handed to a printer of this computer, on a sheet of a known size."""

from __future__ import annotations

import os
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

from formulary.errors import Refusal
from formulary.house import Printer
from formulary.messages import message

PATIENCE_SECONDS = 30


@dataclass(frozen=True, slots=True)
class Medium:
    """What is printed on, by the name that a queue knows it under."""

    name: str
    width_mm: float
    height_mm: float


A4 = Medium("A4", 210, 297)


@dataclass(frozen=True, slots=True)
class PrintJob:
    """A PDF of ``pages`` pages; its file bears ``name``, never a person's.

    ``area`` is where the sentences stand that say what the printer did wrong.
    """

    pdf: bytes
    pages: int
    name: str
    medium: Medium
    area: str
    copies: int = 1


def hand_over(job: PrintJob, printer: Printer) -> None:
    """Hand pages to a printer at their true size. Raises a Refusal where it won't take them."""
    if os.name == "posix":
        _to_queue(job, printer)
    else:
        from ui.papers.raster_print import print_as_dots

        print_as_dots(job, printer)


def _to_queue(job: PrintJob, printer: Printer) -> None:
    """Hand a PDF to a CUPS queue. The file is gone afterwards: lp copies it."""
    with tempfile.TemporaryDirectory(prefix="misce-") as folder:
        path = Path(folder) / f"{job.name}.pdf"
        path.write_bytes(job.pdf)
        copies = ["-n", str(job.copies)] if job.copies > 1 else []
        media = f"media={job.medium.name}"
        _run(["lp", "-d", printer.queue, *copies, "-o", media, str(path)], printer, job.area)


def _run(command: list[str], printer: Printer, area: str) -> None:
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as trouble:
        raise Refusal(message(f"{area}.printer_silent", printer=printer.name)) from trouble
    if done.returncode:
        why = done.stderr.strip() or str(done.returncode)
        raise Refusal(message(f"{area}.printer_refused", printer=printer.name, why=why))
