"""A dissolved salt: which of its ions is counted, and its measures from mass to osmoles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.describing import speaker
from formulary.calculating.ions import Held, Ion, ions_called, ions_of
from formulary.calculating.outcome import caution, note
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.quantity.writing import convenient

say = speaker("electrolytes")


@dataclass(frozen=True, slots=True)
class Counted:
    """So many ions of one kind in one formula; a charge that isn't known is None, never 1."""

    count: int
    charge: int | None = None
    ion: Ion | None = None

    @property
    def called(self) -> str | Message:
        """What the ion is called: by the table, else by what is counted of it."""
        if self.ion is not None:
            return self.ion.written
        return "" if self.charge is None else say("unnamed", charge=self.charge)


@dataclass(frozen=True, slots=True)
class Electrolyte:
    """A substance: molar mass in g/mol, the ion counted, its other ions and particles if known."""

    molar_mass: Fraction
    counted: Counted
    others: tuple[Counted, ...] = ()
    particles: int | None = None

    def substance(self, have: Amount) -> Amount:
        """Return the mmol of the whole formula in an amount of any kind.

        Raises Refusal for equivalents without a charge, and osmoles without particles.
        """
        kind = units.dimension(have.unit)
        if kind is Dimension.SUBSTANCE:
            return have.to("mmol")
        if kind is Dimension.MASS:
            return Amount(have.to("mg").number / self.molar_mass, "mmol")
        if kind is Dimension.EQUIVALENTS:
            return Amount(have.to("mEq").number / self._charges(self.counted), "mmol")
        return Amount(have.to("mOsm").number / self._free(), "mmol")

    def mass(self, substance: Amount) -> Amount:
        """Return the mass of so many mmol."""
        return convenient(Amount(substance.to("mmol").number * self.molar_mass, "mg"))

    def ion(self, substance: Amount, which: Counted | None = None) -> Amount:
        """Return the mmol of an ion, else of the counted one, in so many mmol of the formula."""
        return substance.to("mmol") * (which or self.counted).count

    def equivalents(self, substance: Amount, which: Counted | None = None) -> Amount:
        """Return the mEq of an ion, else of the counted one, in so many mmol of the formula."""
        charges = self._charges(which or self.counted)
        return Amount(substance.to("mmol").number * charges, "mEq")

    def osmoles(self, substance: Amount) -> Amount:
        """Return the mOsm of so many mmol, if every particle were free."""
        return Amount(substance.to("mmol").number * self._free(), "mOsm")

    def _charges(self, which: Counted) -> int:
        if which.charge is None:
            raise Refusal(say("charge_missing"))
        return which.count * which.charge

    def _free(self) -> int:
        if self.particles is None:
            raise Refusal(say("particles_missing"))
        return self.particles


def electrolyte(given: Given) -> tuple[Electrolyte, tuple[Finding, ...]]:
    """Return the substance that is given, and what is to be known of the ion counted.

    The ions come from the formula if the table knows them. Raises Refusal where they contradict
    what was typed of the ion.
    """
    formula = given.typed["molar_mass"].strip()
    held = ions_of(formula)
    count = given.count("ions") if given.has("ions") else None
    valence = given.count("valence") if given.has("valence") else None
    named = named_ions(given)
    if held:
        require_one(held, formula, chosen=bool(named or count or valence))
        counted, others = _chosen(held, named, count, valence)
    else:
        counted, others = Counted(count or 1, charge_of(named, valence), _only(named)), ()
    particles = given.count("particles") if given.has("particles") else None
    if particles is None and held:
        particles = sum(number for _, number in held)
    said = _said_of(counted, assumed=not held and count is None)
    return Electrolyte(given.number("molar_mass"), counted, others, particles), said


def named_ions(given: Given) -> tuple[Ion, ...]:
    """Return the ions of the name typed, none without one. Raises Refusal for an unknown one."""
    if not given.has("ion"):
        return ()
    found = ions_called(given.text("ion"))
    if not found:
        raise Refusal(say("ion_unknown", ion=given.text("ion")))
    return found


def charge_of(named: Sequence[Ion], valence: int | None) -> int | None:
    """Return the charge typed or that of the named ion. Raises Refusal if the two differ."""
    charges = {abs(each.charge) for each in named}
    if valence is None:
        return charges.pop() if len(charges) == 1 else None
    if charges and valence not in charges:
        raise Refusal(say("charge_differs", ion=_listed(named), valence=valence))
    return valence


def require_one(held: Held, formula: str, *, chosen: bool) -> None:
    """Raise Refusal where it matters which ion is meant, and none was chosen."""
    equivalents = {abs(ion.charge) * count for ion, count in held}
    if not chosen and len(equivalents) > 1:
        raise Refusal(say("which_ion", formula=formula))


def _only(named: Sequence[Ion]) -> Ion | None:
    return named[0] if len(named) == 1 else None


def _chosen(
    held: Held, named: Sequence[Ion], count: int | None, valence: int | None
) -> tuple[Counted, tuple[Counted, ...]]:
    """Return the first ion of the formula that fits what was typed, and the others."""
    every = [Counted(number, abs(ion.charge), ion) for ion, number in held]
    fitting = [
        each
        for each in every
        if (not named or each.ion in named)
        and count in (None, each.count)
        and valence in (None, each.charge)
    ]
    if not fitting:
        said = tuple(say("held", count=each.count, ion=each.called) for each in every)
        raise Refusal(say("not_held", held=said))
    return fitting[0], tuple(each for each in every if each is not fitting[0])


def _said_of(counted: Counted, *, assumed: bool) -> tuple[Finding, ...]:
    """Return which ion was counted, that one was assumed, or that its charge is missing."""
    if counted.charge is None:
        return (note(say("no_equivalents"), "valence"),)
    said = {"count": counted.count, "ion": counted.called}
    key = "assumed_one" if assumed else "counted"
    return ((caution if assumed else note)(say(key, **said), "ions"),)


def _listed(ions: Sequence[Ion]) -> tuple[str, ...]:
    return tuple(each.written for each in ions)
