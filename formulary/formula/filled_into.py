"""What dose units are filled into and what displaces it, as sentences."""

from __future__ import annotations

from formulary.formula.content import Content
from formulary.formula.moulding import Capsule, Displacement, Mould
from formulary.messages import Message, message


def filled_into_said(content: Content) -> tuple[Message, ...]:
    """Return what the units are filled into and how many are spare; nothing for other formulas."""
    moulds = () if content.mould is None else (_mould(content.mould),)
    return moulds if content.capsule is None else (*moulds, _capsule(content.capsule))


def displacement_said(displacement: Displacement | None) -> tuple[Message, ...]:
    """Return a displacement with its convention and its source, if there is one."""
    if displacement is None:
        return ()
    key = f"formula.filled.displacement_{displacement.convention.value}"
    return (message(key, number=displacement.number, source=displacement.source),)


def _mould(mould: Mould) -> Message:
    capacity, base, spare = mould.capacity, mould.base, mould.spare
    if not base:
        return message("formula.filled.moulds", capacity=capacity, spare=spare)
    return message("formula.filled.moulds_of", capacity=capacity, base=base, spare=spare)


def _capsule(capsule: Capsule) -> Message:
    volume, size, spare = capsule.volume, capsule.size, capsule.spare
    if not size:
        return message("formula.filled.capsules", volume=volume, spare=spare)
    return message("formula.filled.capsules_of", volume=volume, size=size, spare=spare)
