"""What becomes of each row of a table, or each file of a folder, that is taken over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from formulary.errors import BadText, FormularyError
from formulary.formula.content import Content
from formulary.messages import Message, message

NO_LINE = 0


class Fate(StrEnum):
    """What taking a row over does, or would do."""

    NEW = "new"
    CHANGED = "changed"
    UNCHANGED = "unchanged"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Changed:
    """A field that gets another text."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Fated:
    """A row's fate: what changes, what is doubtful, or the trouble with its line and field.

    ``name`` is what the row or file is called; ``line`` counts from 1, in a table that of the row.
    """

    name: str
    fate: Fate
    line: int = NO_LINE
    changes: tuple[Changed, ...] = ()
    doubts: tuple[Message, ...] = ()
    trouble: Message | None = None
    field: str = ""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of a table as read: its line, and the texts of its columns that aren't empty."""

    name: str
    line: int
    texts: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class FormulaFile:
    """One formula file of a folder as read: its content, or why it can't be read."""

    name: str
    content: Content | None
    trouble: BadText | None = None
    line: int = NO_LINE


def refused(name: str, line: int, error: FormularyError) -> Fated:
    """Return the fate of what can't be taken over, with the line and field where they are known."""
    at = (error.line, error.field) if isinstance(error, BadText) else (None, None)
    return Fated(
        name, Fate.REFUSED, line or at[0] or NO_LINE, trouble=error.message, field=at[1] or ""
    )


def is_sound(fates: Iterable[Fated]) -> bool:
    """Tell whether nothing is refused."""
    return all(each.fate is not Fate.REFUSED for each in fates)


def changes_between(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[Changed, ...]:
    """Return the fields whose texts differ, in the order of ``after``."""
    return tuple(
        Changed(field, before.get(field, ""), text)
        for field, text in after.items()
        if text != before.get(field, "")
    )


def details(each: Fated) -> Iterator[Message]:
    """Yield what there is to say of a row: what changes, what is doubtful, what is wrong."""
    for change in each.changes:
        if each.fate is Fate.NEW:
            yield message("exchange.taken.holds", field=change.field, after=_one_line(change.after))
            continue
        yield message(
            "exchange.taken.change",
            field=change.field,
            before=_one_line(change.before),
            after=_one_line(change.after),
        )
    yield from each.doubts
    if each.trouble is not None and each.field:
        yield message("formula.file.field_only", field=each.field, sentence=each.trouble)
    elif each.trouble is not None:
        yield each.trouble


def _one_line(text: str) -> str | Message:
    """Return a text whose lines are parted as a cell of a table may part them."""
    return text.replace("\n", " | ") or message("exchange.taken.empty")
