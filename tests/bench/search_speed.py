"""Search as one types among 50,000 formulas, beside the raw, unranked full-text query."""

from __future__ import annotations

import random
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from formulary.canonical import canonical_text
from formulary.formula.content import Period, ShelfLife, Span, Storage
from formulary.ids import new_id
from formulary.records.opening import open_store
from formulary.records.searchable import Keeping
from tests.bench.measuring import MILLISECOND, Figure, percentile

FORMULAS = 50_000
QUERIES = 300
PAGE = 50
SYLLABLES = tuple(
    "ba co di fe gu hy jo ka li mo na or pa qui ro sa ti un ve xi zo cre mel pho tri".split()  # noqa: SIM905  read at a glance
)
FORMS = ("cream", "ointment", "gel", "solution", "powder")
RAW = (
    "SELECT f.formula_id, f.code, f.title, f.form, f.state, f.keeping FROM formula_words "
    "JOIN formula_search f ON f.number = formula_words.rowid "
    "WHERE formula_words MATCH ? LIMIT 50"
)


def _vocabulary(chance: random.Random) -> list[str]:
    lengths = (chance.randint(2, 4) for _ in range(6000))
    return ["".join(chance.choice(SYLLABLES) for _ in range(length)) for length in lengths]


def _word(chance: random.Random, vocabulary: Sequence[str]) -> str:
    """Return a word; a few are common and most are rare, as in real titles."""
    return vocabulary[min(int(chance.expovariate(1 / 900)), len(vocabulary) - 1)]


def _fill(path: Path, chance: random.Random, vocabulary: Sequence[str]) -> None:
    """Write the search rows straight into the file, as fifty thousand acts would leave them."""
    keeping = canonical_text(Keeping(Storage(15, 25), ShelfLife(Period(35, Span.DAYS))), "keeping")
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        connection.execute("PRAGMA foreign_keys=OFF")
        for number in range(1, FORMULAS + 1):
            title = " ".join(_word(chance, vocabulary) for _ in range(3))
            words = " ".join(_word(chance, vocabulary) for _ in range(35))
            code = f"F-{number:05d}"
            connection.execute(
                "INSERT INTO formula_search (number, formula_id, version_id, code, title, form,"
                " state, keeping, code_order, title_order, folded)"
                " VALUES (?, ?, ?, ?, ?, ?, 'in use', ?, ?, ?, ?)",
                (
                    number,
                    new_id(),
                    new_id(),
                    code,
                    title,
                    chance.choice(FORMS),
                    keeping,
                    code.casefold(),
                    title,
                    f"{title} {words}",
                ),
            )


def _queries(chance: random.Random, vocabulary: Sequence[str]) -> list[str]:
    found = []
    for number in range(QUERIES):
        query = _word(chance, vocabulary)[: chance.choice((2, 3, 4, 5))]
        if number % 2:
            query += " " + _word(chance, vocabulary)[:3]
        found.append(query)
    return found


def _times(ask: Callable[[str], object], queries: Iterable[str]) -> list[float]:
    found = []
    for query in queries:
        start = time.perf_counter()
        ask(query)
        found.append((time.perf_counter() - start) / MILLISECOND)
    return found


def figures() -> Iterable[Figure]:
    """Yield the median and the 95th percentile of a search."""
    chance = random.Random(7)  # noqa: S311  the same words in every run
    vocabulary = _vocabulary(chance)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "many.misce"
        open_store(path, create=True).close()
        _fill(path, chance, vocabulary)
        queries = _queries(chance, vocabulary)
        store, raw = open_store(path), sqlite3.connect(path)

        def floor(query: str) -> object:
            quoted = " ".join(f'"{word}"*' for word in query.split())
            return raw.execute(RAW, (quoted,)).fetchall()

        def ours(query: str) -> object:
            return store.find_formulas(query, PAGE)

        _times(ours, queries[:20])
        _times(floor, queries[:20])
        our_times, floor_times = _times(ours, queries), _times(floor, queries)
        raw.close()
        store.close()
    for part, aim in ((0.5, "<= 5x"), (0.95, "<= 5x, under 5 ms")):
        name = f"search among 50,000 formulas, p{int(part * 100)}"
        yield Figure(name, "ms", percentile(our_times, part), percentile(floor_times, part), aim)
