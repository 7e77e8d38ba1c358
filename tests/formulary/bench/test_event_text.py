"""Events are kept as text under stable names and come back equal."""

from __future__ import annotations

from fractions import Fraction
from typing import get_args

import pytest

from formulary.bench import events
from formulary.bench.event_text import EVENT_NAMES, event_of, event_text
from formulary.bench.events import Event
from formulary.bench.stages import Stage
from formulary.bench.words import said
from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.formula.content import Asked
from tests.helpers.at_bench import ANNA, NINE, a_bench, at, reading
from tests.helpers.formulas import amount

GRAM = amount("1 g")
EXAMPLES: tuple[Event, ...] = (
    events.Reserved("Power cuts announced"),
    events.Planned("100 g", "0fae"),
    events.PlanChecked("Recalculated"),
    events.BenchCleared(("Free",), ("Mortar",)),
    events.ContainerStaged(0, "100", "L1", typed=True),
    events.ContainerRefused(0, "101", "It is another ingredient.", typed=True),
    events.VesselTared("Jar", GRAM, "Balance 1"),
    events.VesselWeighed("Jar", GRAM, "Balance 1", 2),
    events.WaterRestored("Jar", GRAM),
    events.LineWeighed(0, reading("20 g", tare=GRAM, gross=amount("21 g"), raw="ST,+20.00 g")),
    events.LineTransferred(0, "Jar"),
    events.LineChecked(0, "100", GRAM),
    events.EndReached(0, "pH 5.5"),
    events.LineDecided(0, events.Way.MAKE_GOOD, "x", Fraction(27, 25), events.Surplus.WASTE),
    events.MixtureMade(0, reading("0.1 g"), reading("9.9 g")),
    events.DropsAdded(0, 5, "100", "L1", "Jar", Fraction(101, 100)),
    events.StepStarted(0, "x"),
    events.StepDone(0, (events.Answer(Asked.PH, Fraction("5.5")),)),
    events.TimerStarted("Melting", Fraction(15, 2), 0),
    events.TimerStopped(1),
    events.Measured(Asked.TEMPERATURE, Fraction(68), 0, "core"),
    events.PhasesJoined(2, (at("A", "68"), at("B", "66.5"))),
    events.Interrupted("Telephone"),
    events.Continued(),
    events.YieldTaken(GRAM, inside=True),
    events.QualityTested("pH", "5.5", passed=True),
    events.ContainersFilled((GRAM, GRAM)),
    events.LabelsPrinted((1, 2), "p1"),
    events.LabelsVoided(1, "Smeared"),
    events.LabelsReconciled(2, 0, 1),
    events.SentForRelease(),
    events.Released("Good"),
    events.Rejected("Lumps", "Destroyed"),
    events.HandedOver(1, events.Recipient.PATIENT, "p-1"),
    events.DeviationOpened(events.Category.OTHER, "Power cut", "None"),
    events.DeviationDecided(1, "Accepted"),
    events.Held("Recall"),
    events.HoldLifted("Other lot"),
    events.Cancelled("Not fetched", "Destroyed"),
    events.SteppedBack(Stage.PLANNED, "Wrong balance"),
    events.Moved("Bench 2"),
    events.Transcribed("Sheet 12", "Power cut"),
    events.Corrected(1, "For 90 g", "Misread"),
    events.SelfChecked(2),
)


def test_there_is_a_name_and_an_example_of_every_event() -> None:
    every = set(get_args(Event))
    assert set(EVENT_NAMES) == every == {type(each) for each in EXAMPLES}
    assert len(set(EVENT_NAMES.values())) == len(every)


@pytest.mark.parametrize("event", EXAMPLES, ids=lambda event: type(event).__name__)
def test_an_event_comes_back_equal(event: Event) -> None:
    assert event_of(event_text(event)) == event


@pytest.mark.parametrize("event", EXAMPLES, ids=lambda event: type(event).__name__)
def test_an_event_is_said_in_words(event: Event) -> None:
    recorded = events.Recorded(1, NINE, *ANNA, event)
    sentence = Catalogue().text(said(recorded, a_bench().state))
    assert sentence
    assert "{" not in sentence


@pytest.mark.parametrize("text", ["{", "[]", "{}", '{"format":1,"kind":"dreamt"}'])
def test_a_text_that_is_no_event_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(BadText) as refusal:
        event_of(text)
    assert Catalogue().text(refusal.value.message)
