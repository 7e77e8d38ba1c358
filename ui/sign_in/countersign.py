"""An act signed by somebody beside the person at the desk, who goes on working there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from formulary.desk import Desk
from formulary.messages import message
from formulary.people import Person
from formulary.roles import MAY
from ui.context import Context, Topic
from ui.receivers import is_gone, told_to
from ui.sign_in.dialog import Answered, Attempt, Failed

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Countersigning:
    """The wish that one of these people signs; whoever is in ``alone`` gives a reason as well."""

    meaning: str
    people: Sequence[Person]
    chosen: str
    attempt: Attempt
    alone: frozenset[str] = frozenset()


def countersign(  # noqa: PLR0913  what a signature is asked with, each by name
    context: Context,
    meaning: str,
    verb: str,
    act: Callable[[Desk, Answered], T],
    then: Callable[[T], None],
    *,
    without: Iterable[str] = (),
    alone: Iterable[str] = (),
    refused: Failed | None = None,
    changes: tuple[Topic, ...] = (),
) -> None:
    """Ask one of those who may do the verb for their PIN, then do the act at a desk of theirs.

    Who is in ``without`` isn't offered; who is in ``alone`` comes last, and gives a reason. Where
    nobody can sign, that is said. ``refused`` is told beside the dialog why the act isn't done.
    """
    left_out, by_reason = frozenset(without), frozenset(alone)
    people = [
        each
        for each in context.people
        if each.post in MAY[verb] and each.id not in left_out and not each.gone
    ]
    people.sort(key=lambda each: (each.id in by_reason, each.id != context.desk.person.id))
    if not people:
        context.say.refuse(message("ui_sign_in.nobody_can"))
        return

    def attempt(by: Answered, done: Callable[[], None], failed: Failed) -> None:
        def arrived(result: T) -> None:
            if not is_gone(done):
                done()
            if not is_gone(then):
                then(result)

        said = told_to(failed, refused, context.say.refuse)
        context.do(lambda desk: act(_beside(desk, by), by), arrived, changes=changes, failed=said)

    wanted = Countersigning(meaning, people, people[0].id, attempt, by_reason)
    context.signature_wanted.emit(wanted)


def _beside(desk: Desk, by: Answered) -> Desk:
    """Return the desk with whoever proves to be there by their PIN, for this one act."""
    # Argon2 is loaded where somebody signs, not before.
    from formulary.verbs.sign_in import sign_in

    return sign_in(desk, by.person_id, by.pin)
