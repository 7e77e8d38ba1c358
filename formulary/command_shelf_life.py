"""``misce shelf-life``: how long a formula lasts that is made on a day, and what bounds it."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from formulary import command_texts
from formulary.catalogue import Catalogue
from formulary.command_desk import current
from formulary.desk import Desk
from formulary.errors import WrongUsage
from formulary.exchange.formula_text import read_formula, text_of
from formulary.formula.content import Content
from formulary.formula.periods import said as period_said
from formulary.messages import Message, message
from formulary.shelf_life.dated_json import dated_json
from formulary.shelf_life.dating import Dated
from formulary.verbs.date_preparation import date_content, is_signed


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the date of a formula as data and as lines for people; nothing is kept."""
    content, signed = _content(desk, options)
    made_on = _day(options.made) if options.made else desk.today
    found = date_content(desk.house, content, made_on, signed=signed)
    data = {"formula": {"code": content.code, "title": content.title}}
    return data | dated_json(found, catalogue), list(_lines(content, found, catalogue))


def _content(desk: Desk, options: Namespace) -> tuple[Content, bool]:
    """Return the content of a file, which nobody signed, or of the formula's version."""
    if options.file:
        return read_formula(text_of(Path(options.file))), False
    version = current(desk, options.formula)
    return version.content, is_signed(version)


def _day(typed: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise WrongUsage(message("command.shelf_life.no_day", typed=typed)) from None


def _found(content: Content, found: Dated) -> Message:
    key = "found" if found.stop is None else "stopped"
    title, bound = content.title, found.bound_by.said
    return message(f"command.shelf_life.{key}", title=title, end=found.use_by, bound=bound)


def _lines(content: Content, found: Dated, catalogue: Catalogue) -> Iterator[str]:
    yield catalogue.text(_found(content, found))
    if found.opened is not None:
        opened = message("command.shelf_life.opened", period=period_said(found.opened))
        yield catalogue.text(opened)
    for step in found.working.steps:
        yield f"    {catalogue.text(step)}"
    for finding in found.findings:
        yield command_texts.finding(finding, catalogue)
