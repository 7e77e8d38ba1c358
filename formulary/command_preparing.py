"""``misce prepare`` and ``misce label``: a preparation is started, and its labels written."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from formulary.catalogue import Catalogue
from formulary.command_desk import (
    Answer,
    acting_desk,
    catalogue_of,
    choices_of,
    current,
    reading_desk,
)
from formulary.command_writing import write_pages
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal, WrongUsage
from formulary.exchange.formula_text import read_formula, text_of
from formulary.house import Printer
from formulary.labels.content import LabelContent
from formulary.labels.design import Design
from formulary.labels.missing import missing
from formulary.labels.overflow import Overflow, in_parts, leaflet_needed
from formulary.labels.stock import LabelStock
from formulary.messages import message
from formulary.verbs.issue_labels import LeafletWanted, Printing, issue_run, trial_contents_of
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.stocks_of_house import design_for, stock_called
from formulary.wording.label_profile import label_profile


def prepare(options: Namespace) -> Answer:
    """Start a preparation and give its lot number."""
    with acting_desk(options) as desk:
        version = current(desk, options.formula)
        choices = choices_of(options, version.content, desk.house.decimal_sign)
        order = Order(options.to, options.excess, choices, directions=options.directions)
        started = start_preparation(desk, version.id, order)
        catalogue = catalogue_of(desk)
    data = {
        "lot": started.lot,
        "formula": started.code,
        "version": started.version_number,
        "made": started.made_on.isoformat(),
        "use_by": started.use_by.isoformat(),
        "containers": started.containers,
    }
    said = message(
        "command.prepare.done",
        lot=started.lot,
        title=started.title,
        target=started.target,
        use_by=started.use_by,
    )
    return Answer(data, [catalogue.text(said)])


def label(options: Namespace) -> Answer:
    """Write the labels of lots, trial labels of a formula, or a page to align a printer by."""
    if options.calibrate:
        return _calibration(options)
    if options.trial:
        return _trial_label(options)
    if options.file or options.to or not options.what:
        raise WrongUsage(message("command.label.trial_only"))
    out = Path(options.out or f"{options.what[0]}.pdf")
    beside = out.with_name(f"{out.stem}-leaflet.pdf")
    with acting_desk(options) as desk, _options_named():
        records = issue_run(
            desk,
            options.what,
            _printing(desk, options),
            lambda pages, _: write_pages(pages, out, ", ".join(options.what)),
            lambda wanted: _leaflets(desk, wanted, beside),
        )
        catalogue = catalogue_of(desk)
    copies, stock = sum(each.copies for each in records), records[0].stock
    data = {
        "lot": records[0].lot,
        **({"lots": [each.lot for each in records]} if len(records) > 1 else {}),
        "stock": stock,
        "copies": copies,
        "language": records[0].language,
        "out": str(out),
    }
    said = [_written(catalogue, copies, stock, out)]
    leaflets = sum(each.leaflets for each in records)
    if leaflets:
        data |= {"leaflets": leaflets, "leaflet": str(beside)}
        told = message("command.label.leaflets", n=leaflets, out=str(beside))
        said.append(catalogue.text(told))
    return Answer(data, said)


@contextmanager
def _options_named() -> Iterator[None]:
    """Say with which option the reason is given that a reprint lacks."""
    try:
        yield
    except Refusal as error:
        if error.message.key != "bench.labels.reason_missing":
            raise
        raise Refusal(message("command.label.reason_missing", why=error.message)) from error


def _leaflets(desk: Desk, wanted: Sequence[LeafletWanted], out: Path) -> Callable[[], None]:
    """Draw the leaflet of each lot, as often as it has containers, and return what writes them."""
    # ReportLab is loaded only where something is drawn.
    from formulary.papers.every_paper import leaflets_of

    paper = leaflets_of(desk, wanted)
    return lambda: write_pages(paper.pages, out, paper.name, origin=paper.origin)


def _printing(desk: Desk, options: Namespace) -> Printing:
    return Printing(
        _stock(desk, options.stock),
        _printer(desk, options.printer),
        options.language,
        options.reason,
        Overflow(options.overflow.replace("-", " ")),
        options.start,
        options.awaiting_release,
    )


def _trial_label(options: Namespace) -> Answer:
    """Write trial labels; with a leaflet, tell what it has to say."""
    if not options.to:
        raise WrongUsage(message("command.label.needs_target"))
    if not options.file and len(options.what) != 1:
        raise WrongUsage(message("command.label.one_trial"))
    with reading_desk(options) as desk:
        content = read_formula(text_of(Path(options.file))) if options.file else None
        if content is None:
            content = current(desk, options.what[0]).content
        order = Order(options.to, options.excess)
        contents = trial_contents_of(desk, content, order, language=options.language)
        printing = _printing(desk, options)
        catalogue = catalogue_of(desk)
        stock = stock_called(desk.store, printing.stock)
        design = design_for(desk.store, stock.code)
    labels = in_parts(contents, printing.overflow)
    out = Path(options.out or "trial.pdf")
    _draw_contents(labels, stock, printing, out, design)
    lacking = missing(contents[0], label_profile(contents[0].profile))
    leaflet = leaflet_needed(contents[0]) if printing.overflow is Overflow.LEAFLET else ()
    data = {
        "lot": None,
        "stock": stock.code,
        "copies": len(labels),
        "out": str(out),
        "missing": [each.field for each in lacking],
        "leaflet": [str(field) for field, _ in leaflet],
    }
    said = [_written(catalogue, len(labels), stock.code, out)]
    if lacking:
        named = tuple(each.said for each in lacking)
        said.append(catalogue.text(message("command.label.missing", missing=named)))
    if leaflet:
        fields = tuple(message(f"label.field.{field}") for field, _ in leaflet)
        said.append(catalogue.text(message("command.label.leaflet", fields=fields)))
    return Answer(data, said)


def _calibration(options: Namespace) -> Answer:
    """Write the page by which a printer's offset is found, printed as labels are."""
    # ReportLab is loaded only where something is drawn.
    from formulary.labels.for_printer import calibration

    with reading_desk(options) as desk:
        stock = stock_called(desk.store, _stock(desk, options.stock))
        printer, catalogue = _printer(desk, options.printer), catalogue_of(desk)
    out = Path(options.out or "calibration.pdf")
    write_pages(calibration(stock, catalogue, printer), out, "calibration")
    said = message("command.label.calibration", stock=stock.code, out=str(out))
    return Answer({"stock": stock.code, "out": str(out)}, [catalogue.text(said)])


def _draw_contents(
    contents: Sequence[LabelContent],
    stock: LabelStock,
    printing: Printing,
    out: Path,
    design: Design | None,
) -> None:
    # ReportLab is loaded only where something is drawn.
    from formulary.labels.for_printer import label_pages

    pages = label_pages(contents, stock, printing.printer, printing.start, design)
    write_pages(pages, out, "trial")


USUAL_STOCK = "70x35"


def _stock(desk: Desk, asked: str) -> str:
    """Return the stock that was asked for, else this workstation's roll."""
    return asked or desk.here.stock or USUAL_STOCK


def _printer(desk: Desk, name: str) -> Printer | None:
    """Return the printer that was asked for, else this workstation's where the house knows it."""
    printers = desk.house.printers
    if not name:
        return next((each for each in printers if each.name == desk.here.printer), None)
    for each in printers:
        if each.name.casefold() == name.casefold():
            return each
    known = tuple(each.name for each in printers)
    raise NotFound(message("command.label.no_printer", name=name, known=known))


def _written(catalogue: Catalogue, copies: int, stock: str, out: Path) -> str:
    return catalogue.text(message("command.label.done", n=copies, stock=stock, out=str(out)))
