"""The proof: the very PDF that would be printed, in memory, and one page of it as dots."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from formulary.desk import Desk
from formulary.house import Printer
from formulary.labels.stock import LabelStock
from formulary.messages import Message
from formulary.verbs.wordings import held_back, latin_on
from formulary.wording.book import Wording
from ui.labels.subject import Address, Subject

if TYPE_CHECKING:
    from formulary.labels.raster import Raster


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be drawn: ``page`` counts from 0, ``dots_per_inch`` are the screen's.

    ``reason`` is why labels that were printed before are printed again.
    """

    subject: Subject
    address: Address
    stock: LabelStock
    printer: Printer | None
    language: str
    page: int
    dots_per_inch: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Proof:
    """A PDF of ``count`` labels, one of them rasterised.

    ``waiting`` is what no pharmacist approved for patients yet, ``latin`` what none may.
    """

    wanted: Wanted
    pdf: bytes
    count: int
    raster: Raster
    waiting: tuple[Wording, ...] = ()
    latin: tuple[Message, ...] = ()


def prove(desk: Desk, wanted: Wanted) -> Proof:
    """Return the proof. Raises a refusal where a label can't be printed."""
    # Loaded with the first label: ReportLab and the renderer take a while.
    from formulary.labels.drawing import pdf_bytes
    from formulary.labels.for_printer import label_pages
    from formulary.labels.raster import rasterise

    contents = wanted.subject.contents(desk, wanted.address, wanted.language)
    pages = label_pages(contents, wanted.stock, wanted.printer)
    pdf = pdf_bytes(pages, title=pdf_title(wanted.subject))
    page = min(wanted.page, len(pages) - 1)
    waiting = held_back(desk.store, contents[0], desk.house.label_language)
    latin = latin_on(contents[0])
    raster = rasterise(pdf, page, wanted.dots_per_inch)
    return Proof(wanted, pdf, len(pages), raster, waiting, latin)


class Titled(Protocol):
    """Something that labels are printed for: what it is called, and its lot or number."""

    @property
    def title(self) -> str:
        """Return what it is called."""

    @property
    def lot(self) -> str:
        """Return its lot or number."""


def pdf_title(subject: Titled) -> str:
    """Return the PDF's title: the preparation, never a person."""
    return f"{subject.title}, {subject.lot}"
