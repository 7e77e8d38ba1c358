"""The ions that a salt falls into, found from its formula by the table of common ions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import TypeAlias

from formulary.calculating.chemistry import Atoms, parts
from formulary.calculating.tables import table
from formulary.errors import BadText

WATER: Atoms = Counter({"H": 2, "O": 1})
AMMONIUM = "NH4"
_RAISED = str.maketrans("123456789+-", "¹²³⁴⁵⁶⁷⁸⁹⁺⁻")


@dataclass(frozen=True, slots=True)
class Ion:
    """A row of the table; ``charge`` has its sign."""

    name: str
    formula: str
    charge: int

    @property
    def written(self) -> str:
        """How it stands in a sentence, with its charge raised: calcium (Ca²⁺)."""
        size, sign = abs(self.charge), "+" if self.charge > 0 else "-"
        raised = f"{size if size > 1 else ''}{sign}".translate(_RAISED)
        return f"{self.name} ({self.formula}{raised})"


Held: TypeAlias = tuple[tuple[Ion, int], ...]
"""Ions and how many of each one formula holds, those of positive charge first."""


@cache
def common_ions() -> tuple[Ion, ...]:
    """Return the ions of the table."""
    return tuple(Ion(row["name"], row["formula"], row["charge"]) for row in table("ions"))


def ions_called(text: str) -> tuple[Ion, ...]:
    """Return the ions of a name or formula: ``calcium``, ``Ca``, ``Ca2+``; iron has two."""
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    exactly = tuple(each for each in common_ions() if plain in _names(each))
    return exactly or tuple(each for each in common_ions() if plain.casefold() in _loosely(each))


def _names(ion: Ion) -> set[str]:
    size, sign = abs(ion.charge), "+" if ion.charge > 0 else "-"
    charges = {f"{size}{sign}", f"{sign}{size}"} | ({sign} if size == 1 else set())
    marked = {f"{ion.formula}{space}{each}" for each in charges for space in ("", " ")}
    return {ion.name, ion.formula, ion.written, *marked}


def _loosely(ion: Ion) -> set[str]:
    """Return its names whatever their capitals, and a metal's without its charge."""
    return {each.casefold() for each in (*_names(ion), ion.name.partition("(")[0])}


@cache
def ions_of(formula: str) -> Held:
    """Return the ions of a formula, its water left out; none for what isn't surely those ions.

    Surely means: one kind of negative ion with one or more kinds of positive ones, exactly the
    atoms, no charge left over, and no second way to part them.
    """
    atoms = _dry_atoms(formula)
    found = [held for anion in common_ions() if anion.charge < 0 for held in _with(anion, atoms)]
    return found[0] if len(found) == 1 else ()


def _dry_atoms(formula: str) -> Atoms:
    """Return the atoms of a formula without its water; none for a figure or half a molecule."""
    try:
        dry = [(times, atoms) for times, atoms in parts(formula) if atoms != WATER]
    except BadText:
        return Counter()
    atoms: Atoms = Counter()
    for times, part in dry:
        if times.denominator != 1:
            return Counter()
        for symbol, count in part.items():
            atoms[symbol] += count * int(times)
    return atoms


@cache
def _atoms_of(ion: Ion) -> Atoms:
    return parts(ion.formula)[0][1]


def _with(anion: Ion, atoms: Atoms) -> Iterator[Held]:
    """Yield each way to part the atoms into so many of this ion and positive ones."""
    mine = _atoms_of(anion)
    most = min(atoms[symbol] // count for symbol, count in mine.items())
    for number in range(1, most + 1):
        rest = Counter({each: atoms[each] - number * mine[each] for each in atoms})
        for cations in _cations(+rest):
            if sum(ion.charge * count for ion, count in cations) == -anion.charge * number:
                yield (*cations, (anion, number))


def _cations(atoms: Atoms) -> Iterator[Held]:
    """Yield the positive ions that are exactly these atoms, one for each charge of a metal."""
    rest = Counter(atoms)
    nitrogen, hydrogen = rest.pop("N", 0), rest.pop("H", 0)
    if hydrogen != 4 * nitrogen:
        return
    counts = {**rest, AMMONIUM: nitrogen} if nitrogen else dict(rest)
    kinds = [[ion for ion in common_ions() if ion.formula == each] for each in counts]
    if counts and all(ions and ions[0].charge > 0 for ions in kinds):
        for chosen in product(*kinds):
            yield tuple(zip(chosen, counts.values(), strict=True))
