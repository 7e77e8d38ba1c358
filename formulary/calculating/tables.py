"""Reference tables: published figures, each row with its source, read when first asked for."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from formulary.resources import resource_path


@cache
def table(name: str) -> tuple[Mapping[str, Any], ...]:
    """Return the rows of a table; its figures are texts, to be read as exact numbers.

    ``source``, ``edition`` and ``seen`` stand in every row, or under ``every_row`` for those that
    don't say otherwise; ``doubtful`` says why, in a row that mustn't be used without saying so.
    """
    whole = document(name)
    shared = whole.get("every_row", {})
    return tuple(MappingProxyType({**shared, **row}) for row in whole["row"])


@cache
def document(name: str) -> Mapping[str, Any]:
    """Return a whole table file, such as ``atomic-weights`` or ``tariffs/example``."""
    path = resource_path("tables", *f"{name}.toml".split("/"))
    return MappingProxyType(tomllib.loads(path.read_text(encoding="utf-8")))


@cache
def names_in(folder: str) -> tuple[str, ...]:
    """Return the names of the tables in a folder (``tariffs``), in order; none is read."""
    return tuple(sorted(path.stem for path in resource_path("tables", folder).glob("*.toml")))
