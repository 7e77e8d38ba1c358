"""The proof: the very PDF that would be printed, in memory, and one page of it as dots."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from formulary.desk import Desk
from formulary.finding import Finding
from formulary.house import Printer
from formulary.labels.content import LabelContent, awaiting_release
from formulary.labels.doses import dose_doubts
from formulary.labels.missing import missing
from formulary.labels.overflow import Overflow, in_parts, leaflet_needed
from formulary.labels.page import Field
from formulary.labels.stock import LabelStock
from formulary.messages import Message
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.issue_labels import Printing, label_contents
from formulary.verbs.stocks_of_house import design_for
from formulary.verbs.wordings import LEAFLET, latin_on, waiting_on
from formulary.wording.book import Submitted
from formulary.wording.label_profile import label_profile
from ui.labels.subject import Address, Subject

if TYPE_CHECKING:
    from formulary.labels.raster import Raster


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be drawn: ``page`` counts from 0, ``dots_per_inch`` are the screen's.

    ``reason`` is why labels that were printed before are printed again. ``run`` are the lots that
    are printed before this one, each in its own language then. With ``awaiting`` the label is the
    one for the tray.
    """

    subject: Subject
    address: Address
    stock: LabelStock
    printer: Printer | None
    language: str
    page: int
    dots_per_inch: float
    reason: str = ""
    overflow: Overflow = Overflow.NONE
    start: int = 1
    run: tuple[str, ...] = ()
    awaiting: bool = False

    @property
    def with_leaflet(self) -> bool:
        """Whether leaflets go out with the labels."""
        trial = self.subject.trial is not None
        return self.overflow is Overflow.LEAFLET and not self.awaiting and not trial

    @property
    def printing(self) -> Printing:
        """How it is printed; of several preparations each in its own language."""
        language = "" if self.run else self.language
        return Printing(
            self.stock.code,
            self.printer,
            language,
            self.reason,
            self.overflow,
            self.start,
            self.awaiting,
        )


@dataclass(frozen=True, slots=True)
class Proof:
    """A PDF of ``count`` pages with ``labels`` on them, one page rasterised.

    ``missing`` is what the house's rules for labels ask for and isn't there, ``leaflet`` what a
    leaflet has to say where one was chosen. ``waiting`` is what no pharmacist approved for patients
    yet, by language: that of each lot of a run, and the second of a label in two. ``stops`` is what
    none may.
    """

    wanted: Wanted
    pdf: bytes
    count: int
    raster: Raster
    waiting: tuple[Submitted, ...] = ()
    stops: tuple[Message, ...] = ()
    labels: int = 0
    missing: tuple[Finding, ...] = ()
    leaflet: tuple[Field, ...] = ()


def prove(desk: Desk, wanted: Wanted) -> Proof:
    """Return the proof. Raises a refusal where a label can't be printed."""
    # Loaded with the first label: ReportLab and the renderer take a while.
    from formulary.labels.drawing import pdf_bytes
    from formulary.labels.for_printer import label_pages
    from formulary.labels.raster import rasterise

    desk = desk.for_one_act()
    language = wanted.printing.language or wanted.address.language
    contents = wanted.subject.contents(desk, wanted.address, language)
    every = (*_before(desk, wanted.run), *contents)
    labels = in_parts(every, wanted.overflow)
    if wanted.awaiting:
        # One for each preparation of the run.
        labels = tuple({each.lot: awaiting_release(each) for each in every}.values())
    design = design_for(desk.store, wanted.stock.code)
    pages = label_pages(labels, wanted.stock, wanted.printer, wanted.start, design)
    pdf = pdf_bytes(pages, title=pdf_title(wanted.subject))
    page = min(wanted.page, len(pages) - 1)
    also = LEAFLET if wanted.with_leaflet else ()
    # The labels of one lot differ in their number alone.
    of_each_lot = {each.lot: each for each in reversed(every)}.values()
    waiting = waiting_on(desk.store, of_each_lot, desk.house.label_language, also)
    doses = dose_doubts(contents[0], wanted.subject.strength)
    stops = (*latin_on(contents[0]), *doses)
    raster = rasterise(pdf, page, wanted.dots_per_inch)
    lacking = missing(contents[0], label_profile(contents[0].profile))
    by_leaflet = leaflet_needed(contents[0]) if wanted.overflow is Overflow.LEAFLET else ()
    fields = tuple(field for field, _ in by_leaflet)
    return Proof(wanted, pdf, len(pages), raster, waiting, stops, len(labels), lacking, fields)


def _before(desk: Desk, lots: Sequence[str]) -> Iterator[LabelContent]:
    """Yield the labels of the lots that are printed first."""
    for lot in lots:
        yield from label_contents(desk, preparation_of(desk, lot))


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
