"""A sheet that isn't saved yet, as the edits that are kept on this computer."""

from __future__ import annotations

from ui.forms.kept_edits import Edits
from ui.settings.house_sheet import Sheet

REVISION = "revision"
HOUSE = "house"


def to_edits(sheet: Sheet, revision: int) -> Edits:
    """Return a sheet as edits, with the revision of the house that they began on.

    A PIN is never written down, so it is typed again after a crash.
    """
    rows = {
        f"{name}/{number:04d}": row | {"new_pin": ""} if "new_pin" in row else row
        for name, table in sheet.tables.items()
        for number, row in enumerate(table)
    }
    empty: Edits = {f"{name}/": {} for name, table in sheet.tables.items() if not table}
    return {HOUSE: sheet.house | {REVISION: str(revision)}, **rows, **empty}


def from_edits(edits: Edits) -> Sheet | None:
    """Return the sheet that was kept, None where there is none."""
    house = dict(edits.get(HOUSE, {}))
    if not house.pop(REVISION, "").isdecimal():
        return None
    tables: dict[str, list[dict[str, str]]] = {}
    for place in sorted(edits):
        name, parted, number = place.partition("/")
        if not parted:
            continue
        table = tables.setdefault(name, [])
        if number:
            table.append(edits[place])
    return Sheet(house, tables)
