"""``misce show FORMULA --difference``: what changed between two versions."""

from __future__ import annotations

import re
from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_desk import Answer
from formulary.desk import Desk
from formulary.errors import BadText, Refusal
from formulary.formula.difference import Change, Said
from formulary.formula.version import Version
from formulary.messages import Message, message
from formulary.verbs.list_reviews import compare_versions, standing_before
from formulary.verbs.look_up import formula_named

_NUMBERS = re.compile(r"(\d{1,9})(?:\.\.(\d{1,9}))?", re.ASCII)


def compared(desk: Desk, options: Namespace, catalogue: Catalogue) -> Answer:
    """Return what changed between two versions of the formula that the options name.

    Raises :class:`formulary.errors.Refusal` for a formula with one version, BadText for numbers
    that can't be read and NotFound for those that no version has.
    """
    formula = formula_named(desk.store, options.formula)
    versions = desk.store.versions(formula.id)
    one, other = _numbers(options.difference, versions)
    changes = compare_versions(desk, formula.id, one, other)
    data = {
        "code": formula.code,
        "from": one,
        "to": other,
        "changes": [_change(each, catalogue) for each in changes],
    }
    head = message(
        "command.show.difference",
        code=formula.code,
        title=formula.title,
        before=one,
        after=other,
    )
    said = [head, *map(_line, changes)]
    if not changes:
        said.append(message("command.show.nothing"))
    return Answer(data, [catalogue.text(each) for each in said])


def _numbers(typed: str, versions: Sequence[Version]) -> tuple[int, int]:
    first = standing_before(versions)
    if first is None:
        raise Refusal(message("command.show.one_version", title=versions[-1].content.title))
    if not typed:
        return first.number, versions[-1].number
    found = _NUMBERS.fullmatch(typed.strip())
    if found is None:
        raise BadText(message("command.show.bad_versions", typed=typed))
    return int(found[1]), int(found[2] or versions[-1].number)


def _change(change: Change, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "place": catalogue.text(change.place),
        "before": _side(change.before, catalogue),
        "after": _side(change.after, catalogue),
    }


def _side(said: Said, catalogue: Catalogue) -> str:
    return catalogue.text(said) if isinstance(said, Message) else said


def _line(change: Change) -> Message:
    none = message("command.show.none")
    return message(
        "command.show.changed",
        place=change.place,
        before=change.before or none,
        now=change.after or none,
    )
