"""Two people under an act: who does it, and who stands beside, each by a PIN of their own."""

from __future__ import annotations

from dataclasses import dataclass, replace

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.messages import message
from formulary.people import Person
from formulary.signing import Meaning, Signature
from formulary.stock.moves import StockMove
from formulary.verbs.sign_in import signed

BESIDE = "check_line"
"""The verb for which somebody must be fit to stand beside an act as its second person."""


@dataclass(frozen=True, slots=True)
class Signing:
    """What an act is signed with: ``pin`` is that of the person at the desk.

    ``second_pin`` is that of the person with ``second_id``. ``alone_because`` is why there is none.
    """

    pin: str = ""
    second_id: str = ""
    second_pin: str = ""
    alone_because: str = ""


UNSIGNED = Signing()


def beside(desk: Desk, person_id: str, verb: str = BESIDE) -> Desk:
    """Return the desk with somebody who may stand beside an act, or do another verb for it.

    Raises :class:`formulary.errors.NotFound` for somebody who doesn't work here, and
    :class:`formulary.errors.Forbidden` for a post that may not.
    """
    person = desk.store.get(Person, person_id)
    if person is None or person.gone:
        raise NotFound(message("verbs.second_unknown"))
    other = replace(desk, person=person)
    other.may(verb)
    return other


def bound(move: StockMove) -> StockMove:
    """Return a move whose signatures are bound to what it says, where they aren't yet."""
    hashed = content_hash(replace(move, signatures=()))
    given = (
        each if each.content_hash else replace(each, content_hash=hashed)
        for each in move.signatures
    )
    return replace(move, signatures=tuple(given))


def both_sign(desk: Desk, signing: Signing, content_hash: str = "") -> tuple[Signature, ...]:
    """Return the signatures of two people, or the one of who works alone, with the reason.

    Raises :class:`formulary.errors.Forbidden` for a wrong PIN or a second person who is the first,
    and :class:`formulary.errors.Refusal` without a second one.
    """
    if not signing.second_id:
        if not signing.alone_because.strip():
            raise Refusal(message("stock.move.two_signatures"))
        return (signed(desk, signing.pin, Meaning.MADE, content_hash, signing.alone_because),)
    if signing.second_id == desk.person.id:
        raise Forbidden(message("stock.move.second_is_first", person=desk.person.name))
    own = signed(desk, signing.pin, Meaning.MADE, content_hash)
    other = beside(desk, signing.second_id)
    return own, signed(other, signing.second_pin, Meaning.WITNESSED, content_hash)
