"""Whether what is weighed for a stock solution dissolves in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.finding import Finding, Severity
from formulary.messages import Message, Parameter, message
from formulary.quantity.amount import Concentration

FIELD = "to_measure"


@dataclass(frozen=True, slots=True)
class Solubility:
    """How many mL of water dissolve a gram, and who says so; None where nothing is on file."""

    volume_per_gram: Fraction | None = None
    source: str = ""

    def finding(self, ingredient: str, diluent: Message, strength: Concentration) -> Finding:
        """Return what is to be known of a stock solution of that strength."""
        said: dict[str, Parameter] = {
            "ingredient": ingredient,
            "diluent": diluent,
            "strength": strength,
        }
        if self.volume_per_gram is None:
            return Finding(
                Severity.REASON, message("scaling.finding.may_not_dissolve", **said), FIELD
            )
        grams = 100 / self.volume_per_gram
        told = message("scaling.finding.dissolves", **said, grams=grams, source=self.source)
        return Finding(Severity.NOTE, told, FIELD)


def in_water(ingredient: str, diluent: str | None) -> Solubility:
    """Return how an ingredient dissolves in the diluent, known for water only.

    Grams in 100 mL stand in the table of solubilities, each row with its source.
    """
    # The tables of the review are loaded only where something is too small.
    from formulary.review.substances import groups_of, known_names, rows_for

    if diluent is not None and "water" not in groups_of(known_names([diluent])):
        return Solubility()
    rows = rows_for("solubilities", known_names([ingredient]))
    if not rows:
        return Solubility()
    row = rows[0]
    return Solubility(100 / Fraction(row["grams"]), row["source"])
