"""An act that two people sign: who is at the desk first, then somebody beside."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from formulary.desk import Desk
from formulary.signing import Meaning
from ui.context import Context, Topic
from ui.sign_in.countersign import countersign
from ui.sign_in.dialog import Answered, Failed

if TYPE_CHECKING:
    from formulary.verbs.two_people import Signing

T = TypeVar("T")
BESIDE = "check_line"


def both_sign(  # noqa: PLR0913  what two signatures are asked with, each by name
    context: Context,
    verb: str,
    meanings: tuple[str, str],
    act: Callable[[Desk, Signing], T],
    then: Callable[[T], None],
    *,
    alone: bool = False,
    changes: tuple[Topic, ...] = (),
    refused: Failed | None = None,
) -> None:
    """Ask for both PINs, then do the act at the desk of the first; each is told what it means.

    Where ``alone`` is allowed, who is alone gives a reason in place of the second person.
    """

    def second(pin: str) -> None:
        me = context.desk

        def run(_beside: Desk, by: Answered) -> T:
            from formulary.verbs.two_people import Signing

            if by.person_id == me.person.id:
                return act(me, Signing(by.pin, alone_because=by.alone_because))
            return act(me, Signing(pin, by.person_id, by.pin))

        def done(result: T) -> None:
            for topic in changes:
                context.tell_changed(topic)
            then(result)

        mine = (me.person.id,)
        countersign(
            context,
            meanings[1],
            BESIDE,
            run,
            done,
            without=() if alone else mine,
            alone=mine if alone else (),
            refused=refused,
        )

    context.sign(verb, meanings[0], _proved, second)


def _proved(desk: Desk, pin: str) -> str:
    """Return the PIN once it is right, so that nobody else is asked for nothing."""
    from formulary.verbs.sign_in import signed

    signed(desk, pin, Meaning.MADE)
    return pin
