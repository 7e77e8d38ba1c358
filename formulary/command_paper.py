"""``misce paper``: formula sheet, record, leaflet, list of labels, stock list, inspection pack."""

from __future__ import annotations

from argparse import Namespace
from datetime import date
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_desk import current
from formulary.command_writing import write_pages
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.messages import message
from formulary.papers.every_paper import OF_LOT, Paper, leaflet_of, of_formula, pack_of, stock_now
from formulary.verbs.read_period import days_between


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Write the PDF and return what it is as data and as a line for people."""
    paper = _paper(desk, options)
    out = Path(options.out or f"{paper.name}.pdf")
    write_pages(paper.pages, out, paper.name, paper.bookmarks, paper.origin)
    what = message(f"command.paper.{options.paper}")
    said = message("command.worksheet.done", what=what, n=len(paper.pages), out=str(out))
    data = {"paper": options.paper, "pages": len(paper.pages), "out": str(out)}
    return data, [catalogue.text(said)]


def _paper(desk: Desk, options: Namespace) -> Paper:
    if options.paper == "stock":
        return stock_now(desk)
    if options.paper == "pack":
        if not (options.first and options.last):
            raise WrongUsage(message("command.paper.needs.pack"))
        return pack_of(desk, days_between(_day(options.first), _day(options.last)))
    if not options.subject:
        raise WrongUsage(message(f"command.paper.needs.{options.paper}"))
    if options.paper == "formula":
        return of_formula(desk, current(desk, options.subject))
    if options.paper == "leaflet":
        return leaflet_of(desk, options.subject, options.language)
    return OF_LOT[options.paper](desk, options.subject)


def _day(typed: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise WrongUsage(message("command.paper.no_day", typed=typed)) from None
