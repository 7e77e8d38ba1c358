"""Why a formula is made here, where it is from, and which risk and permission go with it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import prod

HIGH_RISK = 100
"""A product of the five factors from which the risk is high and full GMP is the standard.

Swiss AMBV, annex on the assessment of risks, and Council of Europe CM/Res(2016)1; from memory, so
the house compares its own text. It decides nothing by itself: the pharmacist's decision stands.
"""


class SpecialRisk(StrEnum):
    """Classes for which a house may need a permission of its own (France: order of 14 Nov 2014)."""

    STERILE = "sterile"
    CMR = "carcinogenic, mutagenic or toxic to reproduction"
    CHILDREN = "listed active for a child"


@dataclass(frozen=True, slots=True)
class Risk:
    """A risk sheet: five factors from 1 up, by the house's own scale, and what was decided.

    ``product`` is the sort of preparation and its route, ``yearly`` how much is made in a year,
    ``hazard`` what the substances can do, ``process`` what can go wrong in making it, ``supply``
    whom it goes to. It is signed with the version that holds it.
    """

    product: int
    yearly: int
    hazard: int
    process: int
    supply: int
    decision: str = ""

    @property
    def score(self) -> int:
        """The product of the factors."""
        return prod((self.product, self.yearly, self.hazard, self.process, self.supply))

    @property
    def is_high(self) -> bool:
        """Whether it reaches the threshold."""
        return self.score >= HIGH_RISK
