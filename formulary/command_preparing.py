"""``misce prepare`` and ``misce label``: a preparation is started, and its labels written."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
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
from formulary.errors import NotFound, WrongUsage
from formulary.exchange.formula_text import read_formula, text_of
from formulary.house import Printer
from formulary.labels.content import LabelContent
from formulary.labels.stock import LabelStock, label_stock
from formulary.messages import message
from formulary.verbs.issue_labels import issue_labels, trial_contents_of
from formulary.verbs.start_preparation import Order, start_preparation


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
    """Write the labels of a lot, or trial labels of a formula, as a PDF."""
    if options.trial:
        return _trial_label(options)
    if options.file or options.to:
        raise WrongUsage(message("command.label.trial_only"))
    out = Path(options.out or f"{options.what}.pdf")
    with acting_desk(options) as desk:
        record = issue_labels(
            desk,
            options.what,
            options.stock,
            lambda pages, _: write_pages(pages, out, options.what),
            printer=_printer(desk, options.printer),
            language=options.language,
        )
        catalogue = catalogue_of(desk)
    data = {
        "lot": record.lot,
        "stock": record.stock,
        "copies": record.copies,
        "language": record.language,
        "out": str(out),
    }
    return Answer(data, [_written(catalogue, record.copies, record.stock, out)])


def _trial_label(options: Namespace) -> Answer:
    if not options.to:
        raise WrongUsage(message("command.label.needs_target"))
    with reading_desk(options) as desk:
        content = read_formula(text_of(Path(options.file))) if options.file else None
        if content is None:
            content = current(desk, options.what).content
        order = Order(options.to, options.excess)
        contents = trial_contents_of(desk, content, order, language=options.language)
        stock, printer = label_stock(options.stock), _printer(desk, options.printer)
        catalogue = catalogue_of(desk)
    out = Path(options.out or "trial.pdf")
    _draw_contents(contents, stock, printer, out)
    data = {"lot": None, "stock": stock.code, "copies": len(contents), "out": str(out)}
    return Answer(data, [_written(catalogue, len(contents), stock.code, out)])


def _draw_contents(
    contents: Sequence[LabelContent], stock: LabelStock, printer: Printer | None, out: Path
) -> None:
    # ReportLab is loaded only where something is drawn.
    from formulary.labels.for_printer import label_pages

    write_pages(label_pages(contents, stock, printer), out, "trial")


def _printer(desk: Desk, name: str) -> Printer | None:
    if not name:
        return None
    printers = desk.house.printers
    for each in printers:
        if each.name.casefold() == name.casefold():
            return each
    known = tuple(each.name for each in printers)
    raise NotFound(message("command.label.no_printer", name=name, known=known))


def _written(catalogue: Catalogue, copies: int, stock: str, out: Path) -> str:
    return catalogue.text(message("command.label.done", n=copies, stock=stock, out=str(out)))
