"""Which substances a name stands for, and what the tables say of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from typing import Any

from formulary.calculating.tables import table

_NO_WORD = re.compile(r"[^\w%]+")


@lru_cache(maxsize=1 << 13)
def folded(name: str) -> str:
    """Return a name's words in lower case with single spaces; signs between words don't count."""
    return _NO_WORD.sub(" ", name.casefold()).strip()


def known_names(names: Iterable[str]) -> tuple[str, ...]:
    """Return the names folded, each once, without empty ones."""
    return tuple(dict.fromkeys(each for each in map(folded, names) if each))


def is_called(names: tuple[str, ...], wanted: str) -> bool:
    """Tell whether one of the folded names is, or begins with, the wanted one."""
    begins = folded(wanted)
    return any(name == begins or name.startswith(f"{begins} ") for name in names)


@lru_cache(maxsize=4096)
def groups_of(names: tuple[str, ...]) -> frozenset[str]:
    """Return every group and every substance of the tables that these folded names mean."""
    return frozenset(
        called
        for wanted, callings in _callings().items()
        if is_called(names, wanted)
        for called in callings
    )


@lru_cache(maxsize=4096)
def rows_for(name: str, names: tuple[str, ...]) -> tuple[Mapping[str, Any], ...]:
    """Return the rows of a table whose ``substance`` these folded names mean.

    A row's ``unless`` are longer names that it doesn't speak of.
    """
    return tuple(
        row
        for row in table(name)
        if is_called(names, row["substance"])
        and not any(is_called(names, other) for other in row.get("unless", ()))
    )


@cache
def _callings() -> Mapping[str, frozenset[str]]:
    """Return by each name of the tables what it is called there: itself and its groups."""
    found: dict[str, set[str]] = {}
    for row in table("substance-groups"):
        for substance in row["substances"]:
            found.setdefault(folded(substance), set()).update((row["group"], substance))
    for row in table("incompatibilities"):
        for side in (row["a"], row["b"]):
            if side not in _groups():
                found.setdefault(folded(side), set()).add(side)
    return {name: frozenset(callings) for name, callings in found.items()}


@cache
def _groups() -> frozenset[str]:
    return frozenset(row["group"] for row in table("substance-groups"))
