"""A formula's identity, its versions and the states they pass through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from formulary.errors import Forbidden
from formulary.formula.content import Content
from formulary.messages import message


class State(StrEnum):
    """Where a version stands; only a version in use is made for patients."""

    DRAFT = "draft"
    IN_REVIEW = "in review"
    IN_USE = "in use"
    WITHDRAWN = "withdrawn"


NEXT = {
    State.DRAFT: (State.IN_REVIEW, State.WITHDRAWN),
    State.IN_REVIEW: (State.DRAFT, State.IN_USE, State.WITHDRAWN),
    State.IN_USE: (State.WITHDRAWN,),
    State.WITHDRAWN: (),
}


@dataclass(frozen=True, slots=True)
class Formula:
    """The thing that has versions; its code and title are those of its newest version."""

    id: str
    code: str
    title: str
    revision: int = 0


@dataclass(frozen=True, slots=True)
class Version:
    """One version: its content, the reason for the change, who wrote and who approved it.

    ``earlier_author_ids`` are those who wrote the same draft before its last author. A one-off has
    the ``order_id`` of the only order that it is made for.
    """

    id: str
    formula_id: str
    number: int
    content: Content
    state: State = State.DRAFT
    reason: str = ""
    author_id: str = ""
    written_at: datetime | None = None
    approver_id: str = ""
    approved_at: datetime | None = None
    earlier_author_ids: tuple[str, ...] = ()
    order_id: str = ""
    revision: int = 0

    def written_by(self, person_id: str) -> bool:
        """Tell whether somebody wrote any of this version."""
        return person_id in (self.author_id, *self.earlier_author_ids)

    def moved_to(self, state: State) -> Version:
        """Return the version in its next state.

        Raises :class:`formulary.errors.Forbidden` where the states don't follow on each other.
        """
        if state not in NEXT[self.state]:
            raise Forbidden(
                message(
                    "formula.state_does_not_follow",
                    title=self.content.title,
                    number=self.number,
                    state=message(f"formula.state.{self.state.name.lower()}"),
                    wanted=message(f"formula.state.{state.name.lower()}"),
                )
            )
        return replace(self, state=state)
