"""What the square code of a jar says: its lot, its number and its last day, and never a person."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from formulary.labels import gs1

JAR_SIGN = "/"

# Symbology identifiers that some scanners send first (ISO/IEC 15424).
_IDENTIFIER = re.compile(r"\][A-Za-z][0-9]")
_PLAIN = re.compile(r"(\S+) ([0-9]{4}-[0-9]{2}-[0-9]{2})")
_GS1 = re.compile(rf"{gs1.SEPARATOR}?01[0-9]{{14}}17[0-9]{{6}}10")
# A scanner that types may lose the separator: our lots end in five digits.
_RUN_ON = re.compile(r"(.*-[0-9]{5})21([0-9]{1,4})")


@dataclass(frozen=True, slots=True)
class JarCode:
    """One jar of a lot; ``gtin`` is the house's item number, where it has one."""

    lot: str
    number: int
    use_by: date
    gtin: str = ""

    @property
    def fields(self) -> dict[str, str]:
        """Return it as GS1 fields; none without an item number, which GS1's rules ask for."""
        if not self.gtin:
            return {}
        return {
            gs1.GTIN: gs1.gtin14(self.gtin),
            gs1.USE_BY: gs1.written_date(self.use_by),
            gs1.LOT: self.lot,
            gs1.SERIAL: str(self.number),
        }

    @property
    def text(self) -> str:
        """Return what a scanner reads of it.

        Raises :class:`formulary.errors.BadText` for a lot that a GS1 code can't hold.
        """
        if self.gtin:
            return gs1.element_string(self.fields)
        return f"{self.lot}{JAR_SIGN}{self.number} {self.use_by.isoformat()}"


def jar_named(typed: str) -> str:
    """Return ``K26-00042/2`` from whatever was scanned of a jar; what was typed stays.

    Raises :class:`formulary.errors.BadText` for a GS1 code that is damaged.
    """
    text = _IDENTIFIER.sub("", typed.strip(" "), count=1)
    if plain := _PLAIN.fullmatch(text.strip()):
        return plain[1]
    if not _GS1.match(text):
        return typed.strip()
    fields = gs1.read_elements(text)
    lot, number = fields[gs1.LOT], fields.get(gs1.SERIAL, "")
    if run_on := _RUN_ON.fullmatch(lot):
        lot, number = run_on.groups()
    return f"{lot}{JAR_SIGN}{number}" if number else lot
