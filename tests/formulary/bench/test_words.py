"""What happened is told in whole sentences, however it was typed."""

from __future__ import annotations

import pytest

from formulary.bench.events import (
    Cancelled,
    Corrected,
    Event,
    Held,
    LineWeighed,
    QualityTested,
    Recorded,
    Rejected,
    StepDone,
    TimerStopped,
)
from formulary.bench.words import said
from formulary.catalogue import Catalogue
from tests.helpers.at_bench import ANNA, NINE, a_bench, reading


def told(event: Event) -> str:
    """Return an event as the record tells it."""
    state = a_bench().state
    return Catalogue().text(said(Recorded(1, NINE, *ANNA, event), state))


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (Held("asked the prescriber"), "Held: asked the prescriber."),
        (Held("Asked. Waiting."), "Held: Asked. Waiting."),
        (Held("is it urea?"), "Held: is it urea?"),
        (Rejected("too hot", "destroyed"), "Rejected: too hot. Goods: destroyed."),
        (Cancelled("withdrawn"), "Cancelled: withdrawn."),
        (Corrected(3, "20 g", "slipped"), "Entry 3 should say: 20 g. slipped."),
        (QualityTested("Look", "white.", passed=True), "Look: white."),
        (StepDone(0), "Step 1 done: Melt."),
        (TimerStopped(1, "begun anew"), "Timer 1 stopped. begun anew."),
    ],
)
def test_each_thing_ends_as_a_sentence_and_never_twice(event: Event, sentence: str) -> None:
    assert told(event) == sentence


def test_a_timer_that_ran_out_needs_no_more_words() -> None:
    assert told(TimerStopped(1)).strip() == "Timer 1 stopped."


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        ("ST,+1.0000 g", "A: 1.0000 g."),
        ("1,0000", "A: 1.0000 g."),
        ("12.0000 g", "A: 1.0000 g."),  # the boat held 11 g before
        ("", "A: 1 g."),
        ("1", "A: 1 g."),
    ],
)
def test_a_weighing_is_told_with_the_decimals_of_the_balance(raw: str, sentence: str) -> None:
    state = a_bench().state
    event = LineWeighed(0, reading("1 g", raw=raw))
    ingredient = state.lines[0].ingredient
    assert told(event).replace("\N{NO-BREAK SPACE}", " ") == sentence.replace("A", ingredient, 1)
