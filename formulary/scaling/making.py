"""How much is made: the target with its excess, in the kind of total that the formula has."""

from __future__ import annotations

from fractions import Fraction

from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.density import mass_of, volume_of
from formulary.quantity.units import Dimension
from formulary.scaling.target import Excess, Target
from formulary.scaling.whole import Whole
from formulary.working import Working

SPARE_STEP = "scaling.step.spare"


def to_make(content: Content, whole: Whole, target: Target, excess: Excess) -> Working[Amount]:
    """Return what is made in all, in the dimension of the formula's whole.

    Raises :class:`formulary.errors.Refusal` where a density or the size of a dose is missing.
    """
    ordered = in_kind_of_whole(content, whole, target.ordered)
    several = "ordered" if target.count > 1 else "ordered_one"
    steps = [message(f"scaling.step.{several}", target=target.said(), ordered=target.ordered)]
    steps.extend(ordered.steps)
    wanted = with_spare(content, whole, ordered.result)
    steps.extend(wanted.steps)
    if excess == Excess():
        return Working(wanted.result, tuple(steps))
    total = _with_excess(content, whole, wanted.result, excess)
    steps.append(
        message("scaling.step.excess", ordered=wanted.result, excess=excess.said(), total=total)
    )
    return Working(total, tuple(steps))


def with_spare(content: Content, whole: Whole, ordered: Amount) -> Working[Amount]:
    """Return the units ordered with the spare ones, which are made and never handed over."""
    filled_into = content.mould or content.capsule
    if whole.amount is None or units.dimension(whole.amount.unit) != Dimension.PIECES:
        return Working(ordered, ())
    if filled_into is None or not filled_into.spare:
        return Working(ordered, ())
    total = ordered + Amount(Fraction(filled_into.spare), "piece")
    step = message(SPARE_STEP, ordered=ordered, spare=filled_into.spare, total=total)
    return Working(total, (step,))


def _with_excess(content: Content, whole: Whole, ordered: Amount, excess: Excess) -> Amount:
    fixed = excess.fixed
    if fixed is not None:
        fixed = in_kind_of_whole(content, whole, fixed).result
    return Excess(excess.percent, fixed).added_to(ordered)


def in_kind_of_whole(content: Content, whole: Whole, ordered: Amount) -> Working[Amount]:
    """Return an amount of the preparation in the dimension of the formula's whole.

    A formula that any total suits is all in parts or shares by mass, so its whole is a mass.
    Raises :class:`formulary.errors.Refusal` where a density or the size of a dose is missing.
    """
    asked = units.dimension(ordered.unit)
    if asked == Dimension.PIECES:
        return _from_units(content, whole, ordered)
    if asked not in (Dimension.MASS, Dimension.VOLUME):
        raise Refusal(message("scaling.target_is_no_size", ordered=ordered))
    if whole.amount is None:
        return as_kind(content, ordered, Dimension.MASS)
    wanted = units.dimension(whole.amount.unit)
    if wanted == Dimension.PIECES:
        raise Refusal(message("scaling.say_how_many_units", ordered=ordered))
    return as_kind(content, ordered, wanted)


def _from_units(content: Content, whole: Whole, ordered: Amount) -> Working[Amount]:
    if whole.amount is not None and units.dimension(whole.amount.unit) == Dimension.PIECES:
        return Working(ordered, ())
    if content.units is not None and whole.amount is not None:
        total = whole.amount * Fraction(ordered.number, content.units)
        step = message(
            "scaling.step.units",
            ordered=ordered,
            units=content.units,
            whole=whole.amount,
            total=total,
        )
        return Working(total, (step,))
    if content.dose is not None:
        return _from_doses(content, whole, content.dose, ordered)
    raise Refusal(message("scaling.no_dose_unit", title=content.title))


def _from_doses(content: Content, whole: Whole, dose: Amount, ordered: Amount) -> Working[Amount]:
    total = dose * ordered.number
    step = message("scaling.step.doses", ordered=ordered, dose=dose, total=total)
    wanted = Dimension.MASS if whole.amount is None else units.dimension(whole.amount.unit)
    kind = as_kind(content, total, wanted)
    return Working(kind.result, (step, *kind.steps))


def filled(content: Content, each: Amount) -> Amount:
    """Return what a container of ``each`` holds: doses of something undivided as their amount."""
    is_count = units.dimension(each.unit) == Dimension.PIECES
    if is_count and content.units is None and content.dose is not None:
        return content.dose * each.number
    return each


def as_kind(content: Content, amount: Amount, wanted: Dimension) -> Working[Amount]:
    """Return an amount of the preparation as mass or volume, through its own density if needed.

    Raises :class:`formulary.errors.Refusal` where the preparation has no density on file.
    """
    if units.dimension(amount.unit) == wanted:
        return Working(amount, ())
    density = content.density
    if density is None:
        raise Refusal(message("scaling.preparation_density_missing", amount=amount))
    by_volume = wanted == Dimension.VOLUME
    result = volume_of(amount, density) if by_volume else mass_of(amount, density)
    step = message(
        "scaling.step.preparation_volume" if by_volume else "scaling.step.preparation_mass",
        amount=amount,
        density=density.g_per_mL,
        result=result,
    )
    return Working(result, (step,))
