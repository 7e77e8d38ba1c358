"""What is known of a patient beyond the name."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from formulary.errors import Refusal
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension


@dataclass(frozen=True, slots=True)
class PatientDetails:
    """What is known of a patient beyond the name; kept with the identity, so erased with it.

    ``age_months`` is the age as told on ``told_on`` where nobody gave the birth date.
    ``no_allergies`` says that somebody asked and there are none; neither that nor any allergy
    means that nobody asked yet. ``again`` says that a further order names the same person. Of a
    prescriber only the telephone is kept.
    """

    born: date | None = None
    age_months: int | None = None
    told_on: date | None = None
    weight: Amount | None = None
    weighed_on: date | None = None
    allergies: tuple[str, ...] = ()
    no_allergies: bool = False
    telephone: str = ""
    again: bool = False

    def __post_init__(self) -> None:
        if self.weight is not None and not _is_a_mass(self.weight):
            raise Refusal(message("orders.patient.weight", weight=self.weight))
        if self.age_months is not None and (self.age_months < 0 or self.told_on is None):
            raise Refusal(message("orders.patient.age"))
        if self.allergies and self.no_allergies:
            raise Refusal(message("orders.patient.allergies"))

    def months_old(self, day: date) -> int | None:
        """Return the age in whole months on a day, None where it isn't known.

        Raises :class:`formulary.errors.Refusal` for a day before the birth.
        """
        if self.born is not None:
            if day < self.born:
                raise Refusal(message("orders.patient.unborn", born=self.born))
            return _months_between(self.born, day)
        if self.age_months is None or self.told_on is None:
            return None
        return self.age_months + _months_between(self.told_on, max(day, self.told_on))


def _is_a_mass(weight: Amount) -> bool:
    return weight.number > 0 and units.dimension(weight.unit) == Dimension.MASS


def _months_between(start: date, end: date) -> int:
    months = (end.year - start.year) * 12 + end.month - start.month
    return months - (end.day < start.day)
