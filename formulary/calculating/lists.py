"""Lists that belong together (masses and their factors), and figures looked up for a list."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from formulary.calculating.describing import Suggested
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
        said = tuple(
            message("calculating.count_of", name=given.called(name), count=count)
            for name, count in counts.items()
        )
        raise Refusal(message("calculating.lists_differ", counts=said))


def only_row(name: str, figure: str, **wanted: str) -> Mapping[str, Any]:
    """Return the only row of a table with these words, whatever their capitals and spaces.

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


def names_in_table(name: str, column: str = "substance", **only: str) -> Suggested:
    """Return what lists the names in a column, for those rows alone that have these words."""

    def suggested() -> tuple[str, ...]:
        rows = (row for row in table(name) if _fits(row, only))
        return tuple(sorted({each for row in rows for each in _names(row, column)}))

    return suggested


def _fits(row: Mapping[str, Any], wanted: Mapping[str, str]) -> bool:
    return all(_plain(text) in map(_plain, _called(row, key)) for key, text in wanted.items())


def _called(row: Mapping[str, Any], key: str) -> tuple[str, ...]:
    return (str(row.get(key, "")), *_names(row, key))


def _names(row: Mapping[str, Any], key: str) -> tuple[str, ...]:
    """Return the names that a cell parts by a slash with spaces, and for a substance its others.

    A row has another name under ``also`` only with the source that gives it, ``also_source``.
    """
    also = row.get("also", "") if key == "substance" else ""
    return tuple(each for cell in (str(row.get(key, "")), also) if cell for each in _parted(cell))


def _parted(cell: str) -> list[str]:
    return cell.split(" / ")


def _plain(text: str) -> str:
    """Return a name without capitals and spaces: Tween80 is Tween 80."""
    return "".join(text.casefold().split())


def row_findings(row: Mapping[str, Any], called: Parameter, field: str) -> tuple[Finding, ...]:
    """Return where a looked-up figure comes from, and what is doubtful about it."""
    source = note(message("calculating.row_source", called=called, source=row["source"]), field)
    if "doubtful" in row:
        said = message("calculating.row_doubtful", called=called, why=row["doubtful"])
        return (source, caution(said, field))
    if not row["seen"]:
        return (source, caution(message("calculating.row_unseen", called=called), field))
    return (source,)
