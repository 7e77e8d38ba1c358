"""The first page of the list, read before SQLAlchemy is there, in a few milliseconds.

The window shows it at once and opens the store behind it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from formulary.records.schema import SCHEMA, found_in_file
from formulary.records.searchable import hit_of, withdrawn_last
from formulary.store import Hit

_QUERY = """
    SELECT formula_id, code, title, form, state, keeping FROM formula_search
    ORDER BY title_order, number LIMIT ?
"""


def first_hits(where: str | Path, limit: int = 50) -> Sequence[Hit]:
    """Return what ``find_formulas("")`` will; nothing for a server or a file to be migrated.

    It says nothing of what is wrong with a file: opening the store does, a moment later.
    """
    path = Path(where)
    if "://" in str(where) or not path.is_file():
        return ()
    try:
        if found_in_file(path).revision != SCHEMA.head:
            return ()
        with closing(
            sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True)
        ) as connection:
            rows = connection.execute(_QUERY, (limit,))
            return withdrawn_last(hit_of(*row) for row in rows)
    except sqlite3.Error:
        return ()
