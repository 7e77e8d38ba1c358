"""Rows that are worked out from records: a version's lines, and what a formula is found by."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import delete, or_, select
from sqlalchemy.orm import Session

from formulary.canonical import canonical_text
from formulary.folding import as_key, in_order
from formulary.formula.content import Content, Line
from formulary.formula.version import Version
from formulary.ingredient import Ingredient
from formulary.records import rows
from formulary.records.line_figures import figure
from formulary.records.searchable import Keeping, searched_text, speaking
from formulary.records.tables import (
    FormulaRow,
    FormulaSearchRow,
    IngredientRow,
    VersionLineRow,
    VersionRow,
)


def write_lines(session: Session, version: Version) -> None:
    """Replace the lines derived from the version's content."""
    session.execute(delete(VersionLineRow).where(VersionLineRow.version_id == version.id))
    session.add_all(lines_of(version))
    session.flush()


def lines_of(version: Version) -> list[VersionLineRow]:
    """Return the rows that a version's lines are found by."""
    return [_line_row(version, i, line) for i, line in enumerate(version.content.lines)]


def _line_row(version: Version, position: int, line: Line) -> VersionLineRow:
    shown = figure(line.quantity)
    return VersionLineRow(
        version_id=version.id,
        position=position,
        ingredient=line.ingredient,
        ingredient_key=as_key(line.ingredient),
        ingredient_id=line.ingredient_id,
        role=line.role,
        kind=shown.kind,
        amount=shown.amount,
        unit=shown.unit,
        scaled=shown.scaled,
    )


def refresh_formulas(session: Session, formula_ids: Iterable[str]) -> None:
    """Write anew what these formulas are found by and what their hits show."""
    for formula_id in formula_ids:
        _refresh(session, formula_id)
    session.flush()


def formulas_with(session: Session, ingredient_id: str, names: Iterable[str]) -> list[str]:
    """Return the ids of the formulas with a line of this ingredient, by its id or its name."""
    keys = {as_key(name) for name in names}
    wanted = (
        select(VersionRow.formula_id)
        .join(VersionLineRow, VersionLineRow.version_id == VersionRow.id)
        .where(
            or_(
                VersionLineRow.ingredient_id == ingredient_id,
                VersionLineRow.ingredient_key.in_(keys),
            )
        )
        .distinct()
    )
    return [*session.scalars(wanted)]


def _refresh(session: Session, formula_id: str) -> None:
    values = found_by(session, formula_id)
    if values is None:
        return
    found = session.scalar(
        select(FormulaSearchRow).where(FormulaSearchRow.formula_id == formula_id)
    )
    if found is None:
        session.add(FormulaSearchRow(formula_id=formula_id, **values))
        return
    for name, value in values.items():
        setattr(found, name, value)


def found_by(session: Session, formula_id: str) -> dict[str, str] | None:
    """Return what a formula is found by and its hit shows; None where it is in no list.

    A one-off is found by its order alone, never among the house formulas.
    """
    formula_row = session.get(FormulaRow, formula_id)
    version = _speaking(session, formula_id)
    if formula_row is None or version is None or version.order_id:
        return None
    formula, content = rows.formula_of(formula_row), version.content
    return {
        "version_id": version.id,
        "code": formula.code,
        "title": formula.title,
        "form": content.form.value,
        "state": version.state.value,
        "keeping": canonical_text(Keeping(content.storage, content.shelf_life), "keeping"),
        "code_order": in_order(formula.code),
        "title_order": in_order(formula.title),
        "folded": searched_text(formula, content, _ingredients(session, content)),
    }


def _speaking(session: Session, formula_id: str) -> Version | None:
    found = session.scalars(select(VersionRow).where(VersionRow.formula_id == formula_id))
    return speaking([rows.version_of(row) for row in found])


def _ingredients(session: Session, content: Content) -> list[Ingredient]:
    ids = {line.ingredient_id for line in content.lines if line.ingredient_id}
    keys = {as_key(line.ingredient) for line in content.lines if not line.ingredient_id}
    wanted = select(IngredientRow).where(
        or_(IngredientRow.id.in_(ids), IngredientRow.name_key.in_(keys))
    )
    found = [rows.ingredient_of(row) for row in session.scalars(wanted)]
    return sorted(found, key=lambda ingredient: ingredient.id)
