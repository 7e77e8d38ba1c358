"""``misce worksheet``: a formula's worksheet before it has a lot, a lot's, or blanks set aside."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_desk import current
from formulary.command_writing import write_pages
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.messages import Message, message
from formulary.papers.blanks import reserved_blanks
from formulary.papers.printed import made_here
from formulary.papers.subject import of_lot, without_lot
from formulary.papers.worksheet import worksheets
from formulary.verbs.start_preparation import Order


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Write the PDF and return what it holds as data and as a line for people."""
    if options.lot:
        return _of_lot(desk, options, catalogue)
    if not options.to:
        raise WrongUsage(message("command.worksheet.needs_target"))
    if options.blanks:
        return _blanks(desk, options, catalogue)
    version = current(desk, options.formula)
    pages = worksheets([without_lot(desk, version, Order(options.to, options.excess))])
    out = Path(options.out or f"{version.content.code}.pdf")
    write_pages(pages, out, version.content.code, origin=made_here(desk))
    what = message("command.worksheet.without_lot")
    return _said(None, len(pages), out, what, catalogue)


def _of_lot(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    if options.to or options.excess or options.blanks:
        raise WrongUsage(message("command.worksheet.lot_alone"))
    subject = of_lot(desk, options.lot)
    pages = worksheets([subject])
    out = Path(options.out or f"{subject.lot}.pdf")
    write_pages(pages, out, subject.lot, origin=made_here(desk))
    what = message("command.worksheet.of_lot", lot=subject.lot)
    return _said(subject.lot, len(pages), out, what, catalogue)


def _blanks(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    version = current(desk, options.formula)
    order = Order(options.to, options.excess)
    lots, pages = reserved_blanks(desk, version, order, options.blanks, options.reason)
    out = Path(options.out or f"{lots[0]}.pdf")
    write_pages(pages, out, lots[0], origin=made_here(desk))
    what = message("command.worksheet.reserved", n=len(lots), lots=lots)
    data, lines = _said(None, len(pages), out, what, catalogue)
    return data | {"lots": list(lots)}, lines


def _said(
    lot: str | None, pages: int, out: Path, what: Message, catalogue: Catalogue
) -> tuple[dict[str, Any], list[str]]:
    data = {"lot": lot, "pages": pages, "out": str(out)}
    said = message("command.worksheet.done", what=what, n=pages, out=str(out))
    return data, [catalogue.text(said)]
