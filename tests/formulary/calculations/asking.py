"""Shorthand for tests: ask a calculation with typed inputs, or see it refuse."""

from __future__ import annotations

import pytest

from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from tests.helpers.arithmetic import assert_true


def ask(name: str, **typed: str) -> Outcome:
    """Return the answer; every sentence in it is known to the catalogue."""
    outcome = calculate(calculation_named(name), typed)
    assert_true(map(Catalogue().text, outcome.steps))
    for said in (*outcome.steps, *(finding.said for finding in outcome.findings)):
        assert Catalogue().text(said)
    return outcome


def refused(name: str, **typed: str) -> str:
    """Return the key of the sentence with which the inputs are refused."""
    with pytest.raises(Refusal) as caught:
        ask(name, **typed)
    assert Catalogue().text(caught.value.message)
    return caught.value.message.key


def findings(outcome: Outcome) -> set[str]:
    """Return the keys of the findings."""
    return {finding.said.key for finding in outcome.findings}
