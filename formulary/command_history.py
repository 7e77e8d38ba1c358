"""``misce history``: what happened to a record, by whom and when."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_writing import write_pages
from formulary.desk import Desk
from formulary.messages import message
from formulary.papers.history_paper import history_paper
from formulary.papers.printed import made_here
from formulary.verbs.read_history import Happened, history_of


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return a record's history as data and as lines, and write it as a PDF where asked."""
    history = history_of(desk.store, options.record)
    found = history.filtered(options.words)
    lines = [said for each in found for said in _lines(each, catalogue)]
    if options.out:
        out = Path(options.out)
        pages = history_paper(desk, history, options.words)
        write_pages(pages, out, history.subject.kind, origin=made_here(desk))
        what = message("history.paper")
        done = message("command.worksheet.done", what=what, n=len(pages), out=str(out))
        lines = [catalogue.text(done)]
    return {
        "of": history.subject.name,
        "kind": history.subject.kind,
        "entries": [_data(each, catalogue) for each in found],
    }, lines


def _data(each: Happened, catalogue: Catalogue) -> dict[str, Any]:
    what = "" if each.what is None else catalogue.text(each.what)
    return asdict(replace(each, what=None)) | {"at": each.at.isoformat(), "what": what}


def _lines(each: Happened, catalogue: Catalogue) -> Iterator[str]:
    yield catalogue.text(each.row)
    for said in each.notes():
        yield "   " + catalogue.text(said)
