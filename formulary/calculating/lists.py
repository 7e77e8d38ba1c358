"""Lists that belong together (masses and their factors), and figures looked up for a list."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from formulary.calculating.outcome import caution, note
from formulary.calculating.tables import table
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Parameter, message


def require_equal_lengths(given: Given, *names: str) -> None:
    """Raise Refusal unless the lists have as many values each; those left out don't count."""
    counts = {name: len(given.values[name]) for name in names if given.has(name)}
    if len(set(counts.values())) > 1:
        said = ", ".join(f"{name}: {count}" for name, count in counts.items())
        raise Refusal(message("calculating.lists_differ", counts=said))


def only_row(name: str, figure: str, **wanted: str) -> Mapping[str, Any]:
    """Return the only row of a table with these words, in capitals or not.

    ``figure`` is the column to be used. Raises Refusal for no such row, and for several whose
    figures differ: the program doesn't choose between sources.
    """
    found = [row for row in table(name) if _fits(row, wanted)]
    said = ", ".join(wanted.values())
    if not found:
        raise Refusal(message("calculating.no_row", wanted=said))
    figures = dict.fromkeys(row[figure] for row in found)
    if len(figures) > 1:
        numbers = tuple(Fraction(each) for each in figures)
        raise Refusal(message("calculating.several_rows", wanted=said, figures=numbers))
    return found[0]


def _fits(row: Mapping[str, Any], wanted: Mapping[str, str]) -> bool:
    return all(text.casefold() in _names(row.get(key, "")) for key, text in wanted.items())


def _names(cell: object) -> set[str]:
    """Return a cell as it stands, and each of the names that it parts by a slash with spaces."""
    whole = str(cell).casefold()
    return {whole, *whole.split(" / ")}


def row_findings(row: Mapping[str, Any], called: Parameter, field: str) -> tuple[Finding, ...]:
    """Return where a looked-up figure comes from, and what is doubtful about it."""
    source = note(message("calculating.row_source", called=called, source=row["source"]), field)
    if "doubtful" in row:
        said = message("calculating.row_doubtful", called=called, why=row["doubtful"])
        return (source, caution(said, field))
    if not row["seen"]:
        return (source, caution(message("calculating.row_unseen", called=called), field))
    return (source,)
