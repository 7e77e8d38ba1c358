"""The first result is what is asked for, and each says whether it is of all or of one."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Value
from formulary.calculating.reading import calculate
from formulary.calculating.registry import every_calculation
from formulary.calculating.saying import result_name
from formulary.catalogue import Catalogue
from formulary.messages import Message
from formulary.quantity.amount import Amount, Concentration, OneIn
from formulary.quantity.units import dimension
from tests.formulary.calculations.asking import ask


def names(calculation: str, area: str, **typed: str) -> list[str]:
    outcome = ask(calculation, **typed)
    said = [result_name(area, each, Catalogue()) for each in outcome.results]
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in said]


def test_suppositories_lead_with_what_is_weighed() -> None:
    typed = {"ordered": "12", "spare": "2", "mould": "2 g", "doses": "200 mg"}
    found = names("suppositories", "suppositories", **typed, displacement_values="2")
    assert found[:3] == [
        "Active to weigh for all (1)",
        "Base to weigh for all",
        "Mass to melt and pour",
    ]


def test_the_capsule_batch_stands_before_one_capsule() -> None:
    typed = {"capsules": "10", "spare": "1", "doses": "5 mg", "fill": "100 mg"}
    found = names("capsule-filling", "capsules", **typed)
    assert found[:2] == ["Active to weigh for all (1)", "Filler to weigh for all"]
    of_one = [each.startswith("In one capsule") for each in found]
    assert of_one == sorted(of_one)
    assert any(of_one)


def test_alligation_says_which_source_each_amount_is_of() -> None:
    typed = {"sources": "10 % w/w; 20 % w/w", "target_strength": "12 % w/w", "total": "100 g"}
    found = names("alligation", "alligation", **typed)
    assert found[:2] == ["Amount: of 10 % w/w (1)", "Amount: of 20 % w/w (2)"]


# These answer with several amounts of equal rank, each on its own line, or with a verdict.
SEVERAL = {
    "alligation",
    "borate-buffer",
    "buffer-making",
    "capsule-filling",
    "dropper-calibration",
    "drops-and-doses",
    "emulsifier-ratio",
    "inches-and-pounds",
    "parts-formula",
    "percentage-formula",
    "reducing-and-enlarging",
    "suppositories",
}


def said_in(step: Message) -> Iterator[object]:
    for _, value in step.parameters:
        yield from value if isinstance(value, tuple) else (value,)


def is_said(value: Value, step: Message) -> bool:
    if isinstance(value, Amount):
        amounts = (each for each in said_in(step) if isinstance(each, Amount))
        if any(dimension(e.unit) is dimension(value.unit) and e == value for e in amounts):
            return True
    figure = getattr(value, "number", value)
    return any(getattr(each, "number", each) == figure for each in said_in(step))


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_the_headline_is_what_the_last_line_of_the_working_states(each: Calculation) -> None:
    outcome = calculate(each, dict(each.examples))
    headline = outcome.results[0].value
    if isinstance(headline, bool) or each.name in SEVERAL:
        return
    assert is_said(headline, outcome.steps[-1]), Catalogue().text(outcome.steps[-1])


@pytest.mark.parametrize(
    ("calculation", "typed", "headline"),
    [
        # The mass to weigh, not what the solutes are worth.
        (
            "isotonicity",
            {"volume": "30 mL", "masses": "0.3 g", "equivalents": "0.4"},
            Amount(Fraction("0.15"), "g"),
        ),
        (
            "isotonic-volume",
            {"masses": "0.3 g", "equivalents": "0.52", "total": "30 mL"},
            Amount(Fraction("17.3316"), "mL"),
        ),
        (
            "buffer-making",
            {
                "volume": "100 mL",
                "concentration": "0.1",
                "ph": "5",
                "pka": "5",
                "acid_stock": "1",
                "base_stock": "1",
            },
            Amount(Fraction(5), "mL"),
        ),
        (
            "strength-conversion",
            {"strength": "1 % w/w", "density": "1.2"},
            Concentration(Fraction("1.2"), "% w/v"),
        ),
        ("strength-conversion", {"strength": "0.1 % w/v"}, OneIn(Fraction(1000), "w/v")),
        (
            "strength-conversion",
            {"strength": "2.5 mg/mL"},
            Concentration(Fraction("0.25"), "% w/v"),
        ),
        ("powder-aliquot", {"needed": "10 mg", "least": "120 mg"}, Amount(Fraction(120), "mg")),
    ],
)
def test_the_largest_figure_is_the_one_that_was_asked_for(
    calculation: str, typed: dict[str, str], headline: Value
) -> None:
    assert ask(calculation, **typed).results[0].value == headline


def test_the_last_line_of_an_aliquot_is_the_aliquot() -> None:
    said = Catalogue().text(ask("powder-aliquot", needed="10 mg", least="120 mg").steps[-1])
    assert said.replace("\N{NO-BREAK SPACE}", " ").startswith("Take 120 mg of it")
