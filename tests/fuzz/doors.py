"""The doors by which files come in, each with good files to spoil and what reads them."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import openpyxl

from formulary.bench.balance_lines import read_line
from formulary.canonical import canonical_text
from formulary.desk import Desk
from formulary.errors import BadText
from formulary.exchange.balance_text import BrokenOff, LineAssembly
from formulary.exchange.formula_folder import read_folder
from formulary.exchange.formula_text import read_formula_file, text_of, write_formula
from formulary.exchange.house_lines import read_house, write_house
from formulary.exchange.sample_house import sample_house
from formulary.exchange.table_file import read_table
from formulary.exchange.workstation_file import kept_workstation, place
from formulary.labels.design_text import read_design
from formulary.records.copying import rows_of, shapes
from formulary.records.schema import SCHEMA
from formulary.records.sql_store import SqlStore
from formulary.taking_over import Fated, is_sound
from formulary.verbs.read_prescription import read_prescription
from formulary.verbs.take_over_formulas import take_over_formulas
from formulary.verbs.take_over_tables import INGREDIENTS, LOTS, TableSort
from formulary.workstation import Workstation
from tests.fuzz.mutating import spoilt, spoilt_inside

INGREDIENT_ROWS = (
    ("name", "density", "density_source", "synonyms", "controlled", "ph", "source_of_facts"),
    ("Invented oil", "0.91 g/mL", "Invented certificate 3", "Oil one|Oil two", "no", "", ""),
    ("Invented acid", "", "", "", "", "2 to 4.5", "Invented handbook, p. 3"),
)
LOT_ROWS = (
    ("ingredient", "number", "containers", "expiry", "supplier", "assay", "cost"),
    ("Zinc oxide", "INV-1", "2 x 500 g; 250 g", "2028-03", "Elsewhere", "99.5", "12.50 EUR/100 g"),
    ("Zinc oxide", "INV-2", "500 g", "2028-03-31", "Elsewhere", "", ""),
)
DESIGN = b"""[stock]
code = "70x35"
kind = "roll"
width_mm = 70
height_mm = 35
margin_mm = 2
dots_per_inch = 203

[[element]]
says = "name"
left_mm = 2
top_mm = 2
width_mm = 40
height_mm = 8
size_pt = 9
align = "start"
"""
PRESCRIPTION = (
    b"Rp.\nAcid. salicyl. 2,0\nZinci oxid. 10.0\nVaselin. alb. ad 100,0\nM.f. ungt.\n"
    b"S. twice daily\nD. tal. dos. No X\n"
)
BALANCE = b"+   12.3456 g  \r\nS S     100.00 g\r\nN     +    0.05 g\r\n"


@dataclass(frozen=True, slots=True)
class Door:
    """What comes in by it, how that is spoilt, and what reads it from a file."""

    name: str
    good: Sequence[bytes]
    read: Callable[[Path, Desk], object]
    spoil: Callable[..., bytes] = spoilt


def doors(whole: SqlStore) -> tuple[Door, ...]:
    """Return all of them; ``whole`` is a house that is carried as lines."""
    contents = [each.content for each in sample_house().versions[:4]]
    formulas = [write_formula(each).encode() for each in contents]
    lines = "".join(write_house(rows_of(whole), SCHEMA.head)).encode()
    return (
        Door("formula file", formulas, lambda path, _: read_formula_file(path)),
        Door("formula as a draft", formulas, _take_formula),
        Door("ingredients, CSV", [_csv(INGREDIENT_ROWS)], _table(INGREDIENTS)),
        Door("ingredients, XLSX", [_xlsx(INGREDIENT_ROWS)], _table(INGREDIENTS), spoilt_inside),
        Door("lots, CSV", [_csv(LOT_ROWS)], _table(LOTS)),
        Door("lots, XLSX", [_xlsx(LOT_ROWS)], _table(LOTS), spoilt_inside),
        Door("a whole house", [lines], _house),
        Door("label layout", [DESIGN], lambda path, _: read_design(text_of(path))),
        Door("workstation", [canonical_text(Workstation(), "workstation").encode()], _workstation),
        Door("prescription", [PRESCRIPTION], _prescription),
        Door("balance", [BALANCE], _balance),
    )


def _csv(rows: Sequence[Sequence[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


def _xlsx(rows: Sequence[Sequence[str]]) -> bytes:
    book = openpyxl.Workbook()
    assert book.active is not None
    for row in rows:
        book.active.append(list(row))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _table(sort: TableSort) -> Callable[[Path, Desk], object]:
    def read(path: Path, desk: Desk) -> object:
        sign = desk.house.decimal_sign
        rows = read_table(path, sort.columns, sort.called_by, sign)
        return _told(sort.take(desk, rows, is_sound))

    return read


def _take_formula(path: Path, desk: Desk) -> object:
    return _told(take_over_formulas(desk, read_folder(path)))


def _told(fates: Sequence[Fated]) -> Sequence[Fated]:
    """Raise what the first refused row is told, so that it counts as any refusal."""
    for each in fates:
        if each.trouble is not None:
            raise BadText(each.trouble, line=each.line, field=each.field)
    return fates


def _house(path: Path, _: Desk) -> object:
    with path.open("rb") as file:
        return [*read_house(file, shapes(), SCHEMA.head)]


def _workstation(path: Path, _: Desk) -> object:
    assert path == place()
    return kept_workstation()


def _prescription(path: Path, desk: Desk) -> object:
    return read_prescription(desk.store, desk.house, text_of(path))


def _balance(path: Path, _: Desk) -> object:
    whole = LineAssembly().take(path.read_bytes())
    return [read_line(each, "B1", "") for each in whole if not isinstance(each, BrokenOff)]
