"""Queries to the prescriber: what was asked, whom, when, and what came back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from formulary.errors import Refusal
from formulary.messages import message


@dataclass(frozen=True, slots=True)
class Query:
    """A question about an order; open until it is answered or taken back with a reason.

    ``asked_by`` and ``noted_by`` work here, ``answered_by`` is who answered at the other end.
    """

    id: str
    question: str
    to_whom: str
    asked_at: datetime
    asked_by: str
    answer: str = ""
    answered_by: str = ""
    answered_at: datetime | None = None
    noted_by: str = ""
    taken_back: str = ""

    @property
    def is_open(self) -> bool:
        """Return whether nothing came back yet."""
        return self.answered_at is None


def ask(queries: Sequence[Query], query: Query) -> tuple[Query, ...]:
    """Return the queries with one more.

    Raises :class:`formulary.errors.Refusal` for one that asks nothing or nobody.
    """
    _require(query.question, "question")
    _require(query.to_whom, "to_whom")
    if any(each.id == query.id for each in queries):
        raise ValueError(f"there is a query {query.id!r} already")
    return (*queries, query)


def answer(
    queries: Sequence[Query], query_id: str, text: str, by: str, at: datetime, noted_by: str
) -> tuple[Query, ...]:
    """Return the queries, one of them answered. The first answer stands: another is a new query.

    Raises :class:`formulary.errors.Refusal` for an answer that says nothing or came from nobody.
    """
    _require(text, "answer")
    _require(by, "answered_by")
    query = _still_open(queries, query_id, at)
    answered = replace(query, answer=text, answered_by=by, answered_at=at, noted_by=noted_by)
    return _with(queries, answered)


def take_back(
    queries: Sequence[Query], query_id: str, reason: str, at: datetime, noted_by: str
) -> tuple[Query, ...]:
    """Return the queries, one of them closed unanswered because it needs no answer any more."""
    _require(reason, "reason")
    query = _still_open(queries, query_id, at)
    return _with(queries, replace(query, taken_back=reason, answered_at=at, noted_by=noted_by))


def open_queries(queries: Sequence[Query]) -> tuple[Query, ...]:
    """Return the queries that wait for an answer, the oldest first."""
    return tuple(sorted((each for each in queries if each.is_open), key=lambda each: each.asked_at))


def _require(text: str, what: str) -> None:
    if not text.strip():
        raise Refusal(message(f"orders.query.no_{what}"))


def _still_open(queries: Sequence[Query], query_id: str, at: datetime) -> Query:
    query = next((each for each in queries if each.id == query_id), None)
    if query is None:
        raise Refusal(message("orders.query.unknown"))
    if not query.is_open:
        raise Refusal(message("orders.query.closed", question=query.question))
    if at < query.asked_at:
        raise Refusal(message("orders.query.too_early", asked=query.asked_at))
    return query


def _with(queries: Sequence[Query], changed: Query) -> tuple[Query, ...]:
    return tuple(changed if each.id == changed.id else each for each in queries)
