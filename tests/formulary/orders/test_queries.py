"""A query is answered once, by somebody, in words."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from formulary.errors import Refusal
from formulary.orders import queries
from tests.formulary.orders.cases import NINE, TEN, a_query, text

ASKED = queries.ask((), a_query())


@pytest.mark.parametrize("wrong", [{"question": " "}, {"to_whom": ""}])
def test_a_query_asks_something_of_somebody(wrong: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as refused:
        queries.ask((), a_query(**wrong))
    assert text(refused.value.message)


def test_two_queries_dont_share_a_number() -> None:
    with pytest.raises(ValueError, match="already"):
        queries.ask(ASKED, a_query())


def test_an_answer_keeps_who_said_it_when_and_who_wrote_it_down() -> None:
    (answered,) = queries.answer(ASKED, "q-1", "Yes, 10 %", "Nurse Holt", TEN, "p-2")
    assert (answered.answer, answered.answered_by) == ("Yes, 10 %", "Nurse Holt")
    assert (answered.answered_at, answered.noted_by) == (TEN, "p-2")
    assert not answered.is_open


@pytest.mark.parametrize(("said", "by"), [(" ", "Dr. Berg"), ("Yes", "")])
def test_an_answer_says_something_and_comes_from_somebody(said: str, by: str) -> None:
    with pytest.raises(Refusal) as refused:
        queries.answer(ASKED, "q-1", said, by, TEN, "p-2")
    assert text(refused.value.message)


def test_the_first_answer_stands() -> None:
    answered = queries.answer(ASKED, "q-1", "Yes", "Dr. Berg", TEN, "p-2")
    with pytest.raises(Refusal, match="closed"):
        queries.answer(answered, "q-1", "No", "Dr. Berg", TEN, "p-2")
    with pytest.raises(Refusal, match="closed"):
        queries.take_back(answered, "q-1", "not needed", TEN, "p-2")


def test_no_answer_comes_before_its_question() -> None:
    early = datetime(2026, 3, 2, 8, 59, tzinfo=UTC)
    with pytest.raises(Refusal, match="too_early"):
        queries.answer(ASKED, "q-1", "Yes", "Dr. Berg", early, "p-2")


def test_a_query_is_taken_back_with_a_reason() -> None:
    with pytest.raises(Refusal, match="no_reason"):
        queries.take_back(ASKED, "q-1", "", TEN, "p-2")
    (closed,) = queries.take_back(ASKED, "q-1", "read again: it is legible", TEN, "p-2")
    assert not closed.is_open
    assert closed.answer == ""


def test_a_query_of_another_order_is_unknown() -> None:
    with pytest.raises(Refusal, match="unknown"):
        queries.answer(ASKED, "q-9", "Yes", "Dr. Berg", TEN, "p-2")


def test_the_oldest_open_query_comes_first() -> None:
    later = a_query(asked_at=TEN)
    first = queries.Query("q-0", "Which base?", "Dr. Berg", NINE, "p-2")
    assert queries.open_queries((later, first)) == (first, later)
