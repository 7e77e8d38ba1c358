"""What in a free text is easily misread: the rules are rows of a table, and the trade's Latin.

For titles, directions, warnings, method and notes alike; a text is never changed here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from formulary.calculating.tables import table
from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.prescription.instructing import term_said
from formulary.prescription.latin import TABLE as LATIN
from formulary.prescription.latin import Found, terms_in, tokens_of

TABLE = "error-prone-writing"
_LATIN_KINDS = ("direction", "drops", "half", "error-prone")


@dataclass(frozen=True, slots=True)
class Slip:
    """One way of writing that misleads: where it stands, which rule says so, and its source."""

    rule: str
    severity: Severity
    said: Message
    citation: str
    start: int
    end: int

    def finding(self, field: str = "") -> Finding:
        """Return it as a finding about a field."""
        return Finding(self.severity, self.said, field, message("wording.source", it=self.citation))


@dataclass(frozen=True, slots=True)
class _Rule:
    name: str
    pattern: re.Pattern[str]
    severity: Severity
    citation: str
    on_labels_only: bool


def lint(text: str, *, label: bool = False) -> tuple[Slip, ...]:
    """Return what is easily misread in a text, in the order in which it stands there.

    With ``label`` the rules for what a patient reads apply too, and Latin is a stop: nobody but
    the trade reads it.
    """
    found = sorted(
        (*_by_pattern(text, label=label), *_latin(text, label=label)),
        key=lambda slip: (slip.start, -slip.end),
    )
    return tuple(_outermost(found))


def loud(slips: Iterable[Slip]) -> tuple[Slip, ...]:
    """Return those that are more than a note."""
    return tuple(each for each in slips if each.severity is not Severity.NOTE)


def _by_pattern(text: str, *, label: bool) -> Iterator[Slip]:
    for rule in _rules():
        if rule.on_labels_only and not label:
            continue
        for found in rule.pattern.finditer(text):
            said = message(f"wording.slip.{rule.name}", written=found[0].strip())
            yield Slip(rule.name, rule.severity, said, rule.citation, found.start(), found.end())


def _latin(text: str, *, label: bool) -> Iterator[Slip]:
    tokens = tokens_of(text)
    for found in terms_in(tokens, _LATIN_KINDS):
        start, end = tokens[found.first].start, tokens[found.after - 1].end
        yield _of_term(found, text[start:end], start, label=label)


def _of_term(found: Found, written: str, start: int, *, label: bool) -> Slip:
    misread = found.term.kind == "error-prone"
    rule = "abbreviation" if misread else "latin"
    severity = Severity.REASON if misread or label else Severity.NOTE
    if label and not misread:
        severity = Severity.STOP
    said = message(f"wording.slip.{rule}", written=written, meaning=term_said(found.term))
    return Slip(rule, severity, said, _latin_source(), start, start + len(written))


def _outermost(slips: Iterable[Slip]) -> Iterator[Slip]:
    """Yield those that don't lie inside the one before: one writing is told once."""
    end = -1
    for slip in slips:
        if slip.end > end:
            yield slip
            end = slip.end


@cache
def _rules() -> tuple[_Rule, ...]:
    return tuple(
        _Rule(
            row["rule"],
            re.compile(row["pattern"], re.IGNORECASE if row["any_case"] else 0),
            Severity(row["severity"]),
            row["source"],
            row["where"] == "label",
        )
        for row in table(TABLE)
    )


@cache
def _latin_source() -> str:
    return str(table(LATIN)[0]["source"])
