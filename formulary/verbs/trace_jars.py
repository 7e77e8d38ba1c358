"""The links from preparations to their jars, and from jars to whoever has them.

A jar is followed by its hand-over. What was made before jars were handed over on record counts as
given to the patient that it is for: whoever may have got one is called.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeAlias

from formulary.bench.kept import BenchJob, FilledJar, Place
from formulary.labels.jar_code import JAR_SIGN
from formulary.preparation import Preparation
from formulary.store import Reading
from formulary.tracing import Link, Node, Sort

Rows: TypeAlias = Sequence[tuple[Any, ...]]

_RECIPIENTS = {Place.PATIENT: Sort.PATIENT, Place.WARD: Sort.WARD}
_IN_JARS = (Place.SHELF, *_RECIPIENTS)
"""What went into stock is followed as a lot of its own."""


def lot_of(jar: Node) -> str:
    """Return the lot of the preparation that a jar belongs to."""
    return jar.id.rpartition(JAR_SIGN)[0]


def jar_node(store: Reading, typed: str) -> Node | None:
    """Return the jar of that name, None where there is none or what was in it went elsewhere."""
    filled = store.get(FilledJar, typed)
    if filled is not None:
        return _jar(typed) if filled.place in _IN_JARS else None
    lot, _, number = typed.rpartition(JAR_SIGN)
    made = store.preparation(lot)
    if made is None or store.get(BenchJob, made.id) is not None:
        return None
    return _jar(typed) if number in map(str, range(1, made.containers + 1)) else None


class JarLinks:
    """Asks for the jars of one walk forward; each preparation's are told once."""

    def __init__(self, store: Reading) -> None:
        self._store = store
        self._told: set[str] = set()

    def made(self, field: str, values: Collection[str]) -> Rows:
        """Return id, lot, number of containers and patient of preparations not told of yet."""
        wanted = frozenset(values) - self._told if field == "id" else values
        names = ("id", "lot", "containers", "patient_id")
        return self._store.columns(Preparation, names, field, wanted) if wanted else ()

    def of_preparations(self, rows: Iterable[tuple[Any, ...]]) -> Iterator[Link]:
        """Yield the links to jars, and from those to whoever has them."""
        new = {row[0]: row for row in rows if row[0] not in self._told}
        filled = self._filled("preparation_id", new)
        without = new.keys() - {row[1] for row in filled}
        unfilled = self._at_bench(without)
        for jar, made, place, recipient in filled:
            yield from self._links(new[made], jar, place, recipient)
        for made in sorted(without - unfilled):
            yield from self._uncounted(new[made])
        self._told |= new.keys()

    def of_jars(self, jars: Mapping[str, Node]) -> Iterator[Link]:
        """Yield whoever has the jars that a walk begins with; others came with theirs."""
        begun = {name: jar for name, jar in jars.items() if name not in self._told}
        known = {row[0]: row for row in self._filled("id", begun)}
        old = {lot_of(jar) for name, jar in begun.items() if name not in known}
        patients = {row[1]: row[3] for row in self.made("lot", old)}
        for name, jar in begun.items():
            if name in known:
                yield from _to(jar, known[name][2], known[name][3])
            elif patients.get(lot_of(jar)):
                yield Link(jar, Node(Sort.PATIENT, patients[lot_of(jar)]))

    def _filled(self, field: str, values: Collection[str]) -> Rows:
        names = ("id", "preparation_id", "place", "recipient_id")
        return self._store.columns(FilledJar, names, field, values) if values else ()

    def _at_bench(self, preparations: Collection[str]) -> set[str]:
        """Return those whose jars are counted, and of which none is filled yet."""
        if not preparations:
            return set()
        return {row[0] for row in self._store.columns(BenchJob, ("id",), "id", preparations)}

    def _links(self, row: tuple[Any, ...], name: str, place: str, recipient: str) -> Iterator[Link]:
        if place not in _IN_JARS:
            return
        self._told.add(name)
        jar = _jar(name)
        yield Link(Node(Sort.PREPARATION, row[0], row[1]), jar)
        yield from _to(jar, place, recipient)

    def _uncounted(self, row: tuple[Any, ...]) -> Iterator[Link]:
        made, lot, count, patient = row
        for number in range(1, count + 1):
            jar = _jar(f"{lot}{JAR_SIGN}{number}")
            self._told.add(jar.id)
            yield Link(Node(Sort.PREPARATION, made, lot), jar)
            if patient:
                yield Link(jar, Node(Sort.PATIENT, patient))


def _jar(name: str) -> Node:
    return Node(Sort.JAR, name, name)


def _to(jar: Node, place: str, recipient: str) -> Iterator[Link]:
    sort = _RECIPIENTS.get(Place(place))
    if sort is not None:
        yield Link(jar, Node(sort, recipient, recipient if sort is Sort.WARD else ""))
