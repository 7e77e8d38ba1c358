"""A rule of the review: its name, by which it is cited and silenced, and what it looks at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from formulary.finding import Finding, Severity
from formulary.messages import Message, Parameter, message
from formulary.review.case import Case

NO_EDITION = "not stated"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule; ``name`` never changes, since overridings and house rules keep it."""

    name: str
    look: Callable[[Case], Iterator[Finding]]


def stop(key: str, field: str, source: Message | None = None, **said: Parameter) -> Finding:
    """Return a finding on what can't be right."""
    return _finding(Severity.STOP, key, field, source, said)


def reason(key: str, field: str, source: Message | None = None, **said: Parameter) -> Finding:
    """Return a finding that an expert may decide."""
    return _finding(Severity.REASON, key, field, source, said)


def note(key: str, field: str, source: Message | None = None, **said: Parameter) -> Finding:
    """Return a finding that informs."""
    return _finding(Severity.NOTE, key, field, source, said)


def cited(row: Mapping[str, Any]) -> Message:
    """Return the source of a table's row, with its edition where it has one."""
    if row["edition"] == NO_EDITION:
        return message("review.source.row_alone", source=row["source"])
    return message("review.source.row", source=row["source"], edition=row["edition"])


def standard(name: str) -> Message:
    """Return a standard as a source, by its name in the catalogue."""
    return message(f"review.source.{name}")


def _finding(
    severity: Severity,
    key: str,
    field: str,
    source: Message | None,
    said: Mapping[str, Parameter],
) -> Finding:
    return Finding(severity, message(f"review.finding.{key}", **said), field, source)
