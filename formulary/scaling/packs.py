"""Whether a fill suits a container, by volume."""

from __future__ import annotations

from fractions import Fraction

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Content
from formulary.house import Pack
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension
from formulary.scaling.making import as_kind, filled
from formulary.scaling.whole import WHOLE_PERCENT

HEADSPACE_PERCENT = Fraction(5)
"""Room left under the rim so that the container closes clean (a house habit, no source)."""
FAR_BELOW_PERCENT = Fraction(50)
"""A fill under this share of the brimful volume leaves mostly air (a house habit, no source)."""


def fit(content: Content, each: Amount, pack: Pack) -> tuple[Finding, ...]:
    """Return findings on filling ``each`` into ``pack``; none when it suits."""
    each = filled(content, each)
    if pack.brimful is None or units.dimension(each.unit) == Dimension.PIECES:
        return ()
    try:
        volume = as_kind(content, each, Dimension.VOLUME).result
    except Refusal:
        return (
            Finding(
                Severity.NOTE,
                message("scaling.finding.fit_unknown", pack=pack.name, each=each),
                "target",
            ),
        )
    return _judged(volume, pack, pack.brimful)


def _judged(volume: Amount, pack: Pack, brimful: Amount) -> tuple[Finding, ...]:
    percent = volume / brimful * WHOLE_PERCENT
    if percent > WHOLE_PERCENT:
        return (_finding(Severity.STOP, "does_not_fit", volume, pack, brimful),)
    if percent > WHOLE_PERCENT - HEADSPACE_PERCENT:
        return (_finding(Severity.REASON, "no_headspace", volume, pack, brimful),)
    if percent < FAR_BELOW_PERCENT:
        return (_finding(Severity.NOTE, "mostly_air", volume, pack, brimful),)
    return ()


def _finding(severity: Severity, key: str, volume: Amount, pack: Pack, brimful: Amount) -> Finding:
    said = message(f"scaling.finding.{key}", volume=volume, pack=pack.name, brimful=brimful)
    return Finding(severity, said, "target")
