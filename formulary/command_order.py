"""``misce order``: a prescription read line by line into proposals; nothing is kept."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.exchange.formula_text import text_of
from formulary.messages import Message, message
from formulary.prescription.lines import ReadLine
from formulary.prescription.nearest import Near
from formulary.verbs.read_prescription import Proposed, read_prescription


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the prescription of a file as data and as lines for people."""
    proposed = read_prescription(desk.store, desk.house, text_of(Path(options.file)))
    return _data(proposed, catalogue), _lines(proposed, catalogue)


def _data(proposed: Proposed, catalogue: Catalogue) -> dict[str, Any]:
    found = proposed.prescription
    return {
        "lines": [_line(line, catalogue) for line in found.lines],
        "form": found.form.value if found.form else None,
        "route": found.route.value if found.route else None,
        "units": found.units,
        "directions": found.directions,
        "doubts": _said(found.doubts, catalogue),
        "nearest": [_near(each, catalogue) for each in proposed.near],
    }


def _line(line: ReadLine, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "number": line.number,
        "text": line.text,
        "sort": line.sort.value,
        "ingredient": line.ingredient,
        "alternatives": [each.name for each in line.alternatives],
        "quantity": line.quantity,
        "role": line.role.value if line.quantity else None,
        "meaning": _said(line.meaning, catalogue),
        "doubts": _said(line.doubts, catalogue),
    }


def _near(near: Near, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "code": near.code,
        "title": near.title,
        "agreement_percent": str(round(near.score * 100)),
        "differences": _said(near.differences, catalogue),
    }


def _said(messages: tuple[Message, ...], catalogue: Catalogue) -> list[str]:
    return [catalogue.text(each) for each in messages]


def _lines(proposed: Proposed, catalogue: Catalogue) -> list[str]:
    said: list[Message] = []
    for line in proposed.prescription.lines:
        sort = message(f"prescription.sort.{line.sort.value}")
        said.append(message("command.order.line", n=line.number, text=line.text, sort=sort))
        if line.quantity:
            taken = {"ingredient": line.ingredient or "?", "quantity": line.quantity}
            said.append(message("command.order.taken", **taken))
        said += [message("command.order.meaning", said=each) for each in line.meaning]
        said += [message("command.order.doubt", said=each) for each in line.doubts]
    said += [message("command.order.of_whole", said=each) for each in proposed.prescription.doubts]
    for near in proposed.near:
        percent = str(round(near.score * 100))
        named = {"code": near.code, "title": near.title, "percent": percent}
        said.append(message("command.order.near", **named))
        said += [message("command.order.meaning", said=each) for each in near.differences]
    said.append(message("command.order.nothing_kept"))
    return [catalogue.text(each) for each in said]
