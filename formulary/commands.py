"""What each command does: a verb called with the arguments, its answer as data and as lines."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from formulary import command_texts, opening
from formulary.catalogue import Catalogue
from formulary.command_pin import pin_of
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal, WrongUsage
from formulary.exchange.formula_text import read_formula, text_of, write_formula
from formulary.exchange.sample_house import sample_pins
from formulary.formula.content import Content
from formulary.formula.fields_of import fields_of
from formulary.formula.version import Formula, Version
from formulary.house import Printer
from formulary.kept_calculation import KeptCalculation
from formulary.labels.content import LabelContent
from formulary.labels.page import Page
from formulary.labels.stock import LabelStock, label_stock
from formulary.messages import message
from formulary.scaling.balance_sheet import balance_sheet
from formulary.scaling.lot_text import parse_lots
from formulary.scaling.plan import Choices, Plan, scale
from formulary.scaling.plan_json import finding_json, plan_json
from formulary.scaling.target import parse_excess, parse_target
from formulary.store import Hit
from formulary.verbs.issue_labels import issue_labels, trial_contents_of
from formulary.verbs.keep_calculation import keep_calculation, kept_with
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.plan import plan
from formulary.verbs.sign_in import sign_in
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.write_version import write_version

MOST_HITS = 200


@dataclass(frozen=True, slots=True)
class Answer:
    """A command's answer: ``data`` for JSON, ``lines`` for people."""

    data: Any
    lines: Sequence[str]


@contextmanager
def _desk(options: Namespace) -> Iterator[Desk]:
    """Open the formulary that the options name for the person they name, and close it after."""
    location = options.formulary or opening.default_location()
    if not opening.exists(location):
        raise NotFound(message("command.no_formulary", place=str(location)))
    desk = opening.open_desk(location, options.person)
    try:
        yield desk
    finally:
        desk.store.close()


@contextmanager
def _acting(options: Namespace) -> Iterator[Desk]:
    """Open the formulary for an act: the person's PIN is asked for."""
    with _desk(options) as desk:
        yield sign_in(desk, desk.person.id, pin_of(desk.person.name))


def _catalogue(desk: Desk) -> Catalogue:
    return Catalogue(desk.house.language, desk.house.decimal_sign)


def find(options: Namespace) -> Answer:
    """List the formulas that the words find, with how each is kept and how long it lasts."""
    with _desk(options) as desk:
        hits = desk.store.find_formulas(" ".join(options.text), limit=MOST_HITS)
        catalogue = _catalogue(desk)
    rows = [_hit(hit, catalogue) for hit in hits]
    return Answer(rows, command_texts.hits(rows, catalogue))


def _hit(hit: Hit, catalogue: Catalogue) -> dict[str, str]:
    return {
        "code": hit.code,
        "title": hit.title,
        "form": hit.form.value,
        "state": hit.state.value,
        "storage": command_texts.storage(hit.storage, catalogue),
        "shelf_life": command_texts.shelf_life(hit.shelf_life, catalogue),
    }


def show(options: Namespace) -> Answer:
    """Show one formula whole."""
    if options.file:
        content = read_formula(text_of(Path(options.file)))
        return Answer(fields_of(content), command_texts.leaf(content, None, Catalogue()))
    with _desk(options) as desk:
        version = _current(desk, options.formula)
        kept = kept_with(desk.store, version.formula_id)
        catalogue = _catalogue(desk)
    data = fields_of(version.content) | {"version": version.number, "state": version.state.value}
    data["calculations"] = [_kept(each) for each in kept]
    lines = command_texts.leaf(version.content, version, catalogue)
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


def _current(desk: Desk, formula: str) -> Version:
    return current_version(desk.store, formula_named(desk.store, formula).id)


def scale_(options: Namespace) -> Answer:
    """Scale a formula to a target."""
    if options.file and not _formulary_there(options):
        content = read_formula(text_of(Path(options.file)))
        target, excess = parse_target(options.to), parse_excess(options.excess)
        made = scale(content, target, excess, choices=_lots(options, content, "."))
        return _plan_answer(content, made, Catalogue())
    with _desk(options) as desk:
        content = _content(desk, options)
        choices = _lots(options, content, desk.house.decimal_sign)
        made = plan(desk.store, desk.house, content, options.to, options.excess, choices)
        return _plan_answer(content, made, _catalogue(desk))


def _lots(options: Namespace, content: Content, decimal_sign: str) -> Choices:
    lots = parse_lots(options.lot, content, decimal_sign)
    return Choices(lots=lots.certificates, potencies=lots.potencies)


def _formulary_there(options: Namespace) -> bool:
    return bool(options.formulary) or opening.exists(opening.default_location())


def _content(desk: Desk, options: Namespace) -> Content:
    if options.file:
        return read_formula(text_of(Path(options.file)))
    return _current(desk, options.formula).content


def _plan_answer(content: Content, made: Plan, catalogue: Catalogue) -> Answer:
    data = {"formula": {"code": content.code, "title": content.title}} | plan_json(made, catalogue)
    return Answer(data, command_texts.plan(content, made, catalogue))


def prepare(options: Namespace) -> Answer:
    """Start a preparation and give its lot number."""
    with _acting(options) as desk:
        version = _current(desk, options.formula)
        choices = _lots(options, version.content, desk.house.decimal_sign)
        order = Order(options.to, options.excess, choices, directions=options.directions)
        started = start_preparation(desk, version.id, order)
        catalogue = _catalogue(desk)
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
    with _acting(options) as desk:
        record = issue_labels(
            desk,
            options.what,
            options.stock,
            lambda pages, _: _draw(pages, out, options.what),
            printer=_printer(desk, options.printer),
            language=options.language,
        )
        catalogue = _catalogue(desk)
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
    with _desk(options) as desk:
        content = read_formula(text_of(Path(options.file))) if options.file else None
        if content is None:
            content = _current(desk, options.what).content
        order = Order(options.to, options.excess)
        contents = trial_contents_of(desk, content, order, language=options.language)
        stock, printer = label_stock(options.stock), _printer(desk, options.printer)
        catalogue = _catalogue(desk)
    out = Path(options.out or "trial.pdf")
    _draw_contents(contents, stock, printer, out)
    data = {"lot": None, "stock": stock.code, "copies": len(contents), "out": str(out)}
    return Answer(data, [_written(catalogue, len(contents), stock.code, out)])


def _draw_contents(
    contents: Sequence[LabelContent], stock: LabelStock, printer: Printer | None, out: Path
) -> None:
    # ReportLab is loaded only where something is drawn.
    from formulary.labels.for_printer import label_pages

    _draw(label_pages(contents, stock, printer), out, "trial")


def _draw(pages: Sequence[Page], out: Path, title: str) -> None:
    from formulary.labels.drawing import draw

    try:
        draw(pages, out, title=title)
    except OSError as error:
        why = error.strerror or ""
        raise Refusal(message("command.cannot_write", path=str(out), why=why)) from error


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


def import_(options: Namespace) -> Answer:
    """Keep the formula of a file as a draft version."""
    content = read_formula(text_of(Path(options.file)))
    with _acting(options) as desk:
        known = [
            each
            for each in desk.store.formulas_named(content.code)
            if each.code.casefold() == content.code.casefold()
        ]
        formula_id = known[0].id if known else ""
        version = write_version(desk, content, formula_id=formula_id, reason=options.reason)
        formula = desk.store.get(Formula, version.formula_id)
        catalogue = _catalogue(desk)
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


def export(options: Namespace) -> Answer:
    """Write a formula as a formula file, to a file or to standard output."""
    with _desk(options) as desk:
        content = _current(desk, options.formula).content
        catalogue = _catalogue(desk)
    text = write_formula(content)
    if not options.out:
        return Answer({"code": content.code, "text": text}, [text.rstrip("\n")])
    out = Path(options.out)
    try:
        out.write_text(text, encoding="utf-8")
    except OSError as error:
        why = error.strerror or ""
        raise Refusal(message("command.cannot_write", path=str(out), why=why)) from error
    said = message("command.export.done", title=content.title, out=str(out))
    return Answer({"code": content.code, "out": str(out)}, [catalogue.text(said)])


def sample(options: Namespace) -> Answer:
    """Make the sample pharmacy at a path."""
    location = options.path or options.formulary or opening.default_location()
    desk = opening.create_sample(location)
    try:
        hits = desk.store.find_formulas("", limit=MOST_HITS)
        house, catalogue = desk.house, _catalogue(desk)
    finally:
        desk.store.close()
    people = sample_pins()
    data = {
        "path": str(location),
        "house": house.name,
        "formulas": len(hits),
        "people": [{"name": name, "post": post.value, "pin": pin} for name, post, pin in people],
    }
    said = message("command.sample.done", house=house.name, n=len(hits), place=str(location))
    return Answer(data, [catalogue.text(said), *command_texts.pins(people, catalogue)])


def calculate(options: Namespace) -> Answer:
    """Do one of the trade's sums, in the house's decimal sign where there is a formulary."""
    # The sums are loaded only where one is done.
    from formulary.command_calculate import asked, pairs

    if not options.keep_with and not _formulary_there(options):
        return Answer(*asked(options, Catalogue()))
    with _acting(options) if options.keep_with else _desk(options) as desk:
        catalogue = _catalogue(desk)
        data, lines = asked(options, catalogue)
        if options.keep_with and not options.describe:
            given = pairs(options.inputs)
            kept = keep_calculation(desk, options.name, given, options.keep_with, options.note)
            data["kept_with"] = options.keep_with
            said = message("command.calculate.kept", title=kept.title, what=options.keep_with)
            lines.append(catalogue.text(said))
    return Answer(data, lines)


def makegood(options: Namespace) -> Answer:
    """Scale a batch up to its most overweighed line; the lines come from standard input."""
    from formulary.command_makegood import asked

    if not _formulary_there(options):
        return Answer(*asked(Catalogue()))
    with _desk(options) as desk:
        catalogue = _catalogue(desk)
    return Answer(*asked(catalogue))


def stock(options: Namespace) -> Answer:
    """List what is on the shelf."""
    from formulary.command_stock import asked

    with _desk(options) as desk:
        return Answer(*asked(desk, options, _catalogue(desk)))


def trace(options: Namespace) -> Answer:
    """Say what a lot, container or jar went into, and what it came from."""
    from formulary.command_stock import traced

    with _desk(options) as desk:
        return Answer(*traced(desk, options, _catalogue(desk)))


RUN: dict[str, Callable[[Namespace], Answer]] = {
    "find": find,
    "show": show,
    "scale": scale_,
    "prepare": prepare,
    "label": label,
    "import": import_,
    "export": export,
    "sample": sample,
    "calculate": calculate,
    "makegood": makegood,
    "stock": stock,
    "trace": trace,
}
