"""What decides how long a preparation lasts by a rule: its free water, preservation, packing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class WaterClass(StrEnum):
    """Whether there is water free for germs to live on; the rule set draws the line."""

    AQUEOUS = "aqueous"
    NON_AQUEOUS = "non-aqueous"


@dataclass(frozen=True, slots=True)
class Water:
    """The class or the measured water activity (no unit, 0 to 1), and where that is from."""

    water_class: WaterClass | None = None
    activity: Fraction | None = None
    source: str = ""


class Preserved(StrEnum):
    """Whether germs are kept down; a preservative that doesn't work here is none."""

    NO = "no preservative"
    YES = "effectively preserved"
    ETHANOL = "ethanol of 15 % or more"
    PH = "preservative outside its pH"
    DILUTED = "preservative diluted"
    INACTIVATED = "preservative inactivated"


@dataclass(frozen=True, slots=True)
class Preservation:
    """How it is preserved, and what shows that: pH, content, what is beside it, a test."""

    state: Preserved
    basis: str = ""

    @property
    def works(self) -> bool:
        """Whether it counts as preserved."""
        return self.state in (Preserved.YES, Preserved.ETHANOL)


@dataclass(frozen=True, slots=True)
class Factors:
    """What else tells on how long it lasts, each in the words of the house.

    ``unstable`` is whether it changes chemically or physically by itself. ``germs`` is the germ
    count of what goes in, ``patients`` who in particular uses it.
    """

    unstable: bool = False
    antioxidant: str = ""
    oxygen: str = ""
    caking: str = ""
    solvent_loss: str = ""
    heat: str = ""
    germs: str = ""
    patients: str = ""


class Closure(StrEnum):
    """How tight a container closes, by what its pharmacopoeia calls it."""

    WELL_CLOSED = "well closed"
    TIGHT = "tight"
    SEALED = "sealed"
    TAMPER_EVIDENT = "tamper-evident"


class Packing(StrEnum):
    """How a container lets its content out, which decides how much gets into it."""

    JAR = "jar"
    DISPENSER = "dispenser"
    TUBE = "tube"
    BOTTLE = "bottle"
    OTHER = "other"
