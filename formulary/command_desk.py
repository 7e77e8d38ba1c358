"""What every command begins with: a desk at the formulary that its options name, and an answer."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from formulary import opening
from formulary.catalogue import Catalogue
from formulary.command_pin import pin_of
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.exchange.formula_text import read_formula, text_of
from formulary.formula.content import Content
from formulary.formula.version import Version
from formulary.messages import message
from formulary.scaling.lot_text import parse_lots
from formulary.scaling.plan import Choices
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.sign_in import sign_in


@dataclass(frozen=True, slots=True)
class Answer:
    """A command's answer: ``data`` for JSON, ``lines`` for people, ``code`` for a script."""

    data: Any
    lines: Sequence[str]
    code: int = 0


@contextmanager
def reading_desk(options: Namespace) -> Iterator[Desk]:
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
def acting_desk(options: Namespace) -> Iterator[Desk]:
    """Open the formulary for an act: the person's PIN is asked for."""
    with reading_desk(options) as desk:
        yield sign_in(desk, desk.person.id, pin_of(desk.person.name))


def named_desk(options: Namespace) -> AbstractContextManager[Desk]:
    """Open the formulary to write a paper: whoever is named on it says so with the PIN."""
    return acting_desk(options) if options.person else reading_desk(options)


def formulary_there(options: Namespace) -> bool:
    """Tell whether there is a formulary to work in, or the command works by itself."""
    return bool(options.formulary) or opening.exists(opening.default_location())


def catalogue_of(desk: Desk) -> Catalogue:
    """Return the house's sentences."""
    return Catalogue(desk.house.language, desk.house.decimal_sign)


def current(desk: Desk, formula: str) -> Version:
    """Return the version in use of a formula by code or title, else its newest."""
    return current_version(desk.store, formula_named(desk.store, formula).id)


def content_of(desk: Desk, options: Namespace) -> Content:
    """Return the content of the file that the options name, else of the formula."""
    if options.file:
        return read_formula(text_of(Path(options.file)))
    return current(desk, options.formula).content


def choices_of(options: Namespace, content: Content, decimal_sign: str) -> Choices:
    """Return what the options say of the lots at hand."""
    lots = parse_lots(options.lot, content, decimal_sign)
    return Choices(lots=lots.certificates, potencies=lots.potencies)
