"""``misce find``, ``show``, ``scale``, ``import`` and ``export``: what is about formulas."""

from __future__ import annotations

import json
from argparse import Namespace
from pathlib import Path
from typing import Any

from formulary import command_texts
from formulary.catalogue import Catalogue
from formulary.command_desk import (
    Answer,
    acting_desk,
    catalogue_of,
    choices_of,
    content_of,
    current,
    formulary_there,
    reading_desk,
)
from formulary.command_difference import compared
from formulary.command_writing import write_text
from formulary.exchange.formula_text import read_formula, text_of, write_formula
from formulary.formula.content import Content
from formulary.formula.fields_of import fields_of
from formulary.formula.review import review_of
from formulary.formula.version import Formula
from formulary.kept_calculation import KeptCalculation
from formulary.messages import Message, message
from formulary.scaling.balance_sheet import balance_sheet
from formulary.scaling.plan import Plan, scale
from formulary.scaling.plan_json import finding_json, plan_json
from formulary.scaling.target import parse_excess, parse_target
from formulary.store import Hit
from formulary.verbs.keep_calculation import kept_with
from formulary.verbs.list_lasting import lasting_otherwise
from formulary.verbs.plan import plan
from formulary.verbs.write_version import write_version

MOST_HITS = 200


def find(options: Namespace) -> Answer:
    """List the formulas that the words find, with how each is kept and how long it lasts."""
    with reading_desk(options) as desk:
        hits = desk.store.find_formulas(" ".join(options.text), limit=MOST_HITS)
        otherwise = lasting_otherwise(desk, [hit.formula_id for hit in hits])
        catalogue = catalogue_of(desk)
    rows = [_hit(hit, otherwise.get(hit.formula_id), catalogue) for hit in hits]
    return Answer(rows, command_texts.hits(rows, catalogue))


def _hit(hit: Hit, otherwise: Message | None, catalogue: Catalogue) -> dict[str, str]:
    lasts = command_texts.shelf_life(hit.shelf_life, catalogue)
    return {
        "code": hit.code,
        "title": hit.title,
        "form": hit.form.value,
        "state": hit.state.value,
        "storage": command_texts.storage(hit.storage, catalogue),
        "shelf_life": catalogue.text(otherwise) if otherwise is not None else lasts,
    }


def show(options: Namespace) -> Answer:
    """Show one formula whole."""
    if options.file:
        content = read_formula(text_of(Path(options.file)))
        return Answer(fields_of(content), command_texts.leaf(content, None, Catalogue()))
    with reading_desk(options) as desk:
        if options.difference is not None:
            return compared(desk, options, catalogue_of(desk))
        version = current(desk, options.formula)
        review = review_of(version, desk.house.review_months)
        today = desk.today
        kept = kept_with(desk.store, version.formula_id)
        catalogue = catalogue_of(desk)
    data = fields_of(version.content) | {"version": version.number, "state": version.state.value}
    data["calculations"] = [_kept(each) for each in kept]
    data["review_due"] = review.due.isoformat() if review is not None else None
    lines = command_texts.leaf(version.content, version, catalogue)
    if review is not None:
        key = "overdue" if review.due < today else "review"
        lines += ["", catalogue.text(message(f"command.show.{key}", day=review.due))]
    return Answer(data, lines + command_texts.kept(kept, catalogue))


def _kept(calculation: KeptCalculation) -> dict[str, Any]:
    return {
        "name": calculation.calculation,
        "inputs": dict(calculation.given),
        "answer": json.loads(calculation.answer),
        "note": calculation.note,
        "kept_at": calculation.kept_at.isoformat(),
        "kept_by": calculation.kept_by,
    }


def scale_(options: Namespace) -> Answer:
    """Scale a formula to a target."""
    if options.file and not formulary_there(options):
        content = read_formula(text_of(Path(options.file)))
        target, excess = parse_target(options.to), parse_excess(options.excess)
        made = scale(content, target, excess, choices=choices_of(options, content, "."))
        return _plan_answer(content, made, Catalogue())
    with reading_desk(options) as desk:
        content = content_of(desk, options)
        choices = choices_of(options, content, desk.house.decimal_sign)
        made = plan(desk.store, desk.house, content, options.to, options.excess, choices)
        return _plan_answer(content, made, catalogue_of(desk))


def _plan_answer(content: Content, made: Plan, catalogue: Catalogue) -> Answer:
    data = {"formula": {"code": content.code, "title": content.title}} | plan_json(made, catalogue)
    return Answer(data, command_texts.plan(content, made, catalogue))


def import_formula(options: Namespace) -> Answer:
    """Keep the formula of a file as a draft version."""
    content = read_formula(text_of(Path(options.file)))
    with acting_desk(options) as desk:
        known = [
            each
            for each in desk.store.formulas_named(content.code)
            if each.code.casefold() == content.code.casefold()
        ]
        formula_id = known[0].id if known else ""
        version = write_version(desk, content, formula_id=formula_id, reason=options.reason)
        formula = desk.store.get(Formula, version.formula_id)
        catalogue = catalogue_of(desk)
    code = formula.code if formula else content.code
    sheet = balance_sheet(version.content)
    data = {
        "code": code,
        "version": version.number,
        "state": version.state.value,
        "findings": [finding_json(each, catalogue) for each in sheet.findings],
    }
    said = message("command.import.done", code=code, title=content.title, number=version.number)
    doubts = [command_texts.finding(each, catalogue) for each in sheet.findings]
    return Answer(data, [catalogue.text(said), *doubts])


def export_formula(options: Namespace) -> Answer:
    """Write a formula as a formula file, to a file or to standard output."""
    with reading_desk(options) as desk:
        content = current(desk, options.formula).content
        catalogue = catalogue_of(desk)
    text = write_formula(content)
    if not options.out:
        return Answer({"code": content.code, "text": text}, [text.rstrip("\n")])
    out = Path(options.out)
    write_text(text, out)
    said = message("command.export.done", title=content.title, out=str(out))
    return Answer({"code": content.code, "out": str(out)}, [catalogue.text(said)])
