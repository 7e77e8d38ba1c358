"""Everybody who reads the help learns all that a calculation's description says."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.help_text import HelpText, as_lines, as_markdown, help_text
from formulary.calculating.outcome import Outcome
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import PSEUDO, Catalogue

ENGLISH = Catalogue()
COUNT, NUMBER, TEMPERATURE = (Kind.COUNT,), (Kind.NUMBER,), (Kind.TEMPERATURE,)


def plain(written: str) -> str:
    return written.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


def whole(help_: HelpText) -> str:
    return plain("\n".join(as_lines(help_)))


def takes(described: Input, sign: str = ".") -> str:
    """Return what the help says of one input, under a title that there is."""
    calculation = Calculation("dilution", "dilution", (described,), lambda _: Outcome((), ()))
    return plain("; ".join(help_text(calculation, Catalogue("en", sign)).inputs[0].takes))


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_the_help_says_what_each_calculation_says_of_itself(each: Calculation) -> None:
    said = whole(help_text(each, ENGLISH))
    for part in ("title", "about", "source", "limits", "caution"):
        assert plain(ENGLISH.text(each.text(part))) in said
    for described in each.inputs:
        title = plain(ENGLISH.text(each.input_said(described.name)))
        assert f"  {described.name}: {title}\n" in said


@pytest.mark.parametrize("made", [as_markdown, lambda help_: "\n".join(as_lines(help_))])
def test_the_window_and_the_terminal_say_the_same(made: Callable[[HelpText], str]) -> None:
    said = plain(made(help_text(calculation_named("dilution"), ENGLISH)))
    for words in ("Strength of the stock", "stock_strength", "more than 0", "C1 x V1 = C2 x V2"):
        assert words in said
    assert 'misce calculate dilution stock_strength="2 % w/v"' in said


def test_a_range_is_said_in_the_inputs_first_unit() -> None:
    described = Input("target", TEMPERATURE, positive=False, least=Fraction(-20), most=Fraction(40))
    assert "in °C; from \N{MINUS SIGN}20 °C to 40 °C; needed" in takes(described)


@pytest.mark.parametrize(
    ("described", "said"),
    [
        (Input("target", COUNT), "whole number; more than 0; needed"),
        (
            Input("target", COUNT, most=Fraction(20)),
            "whole number; more than 0, at most 20; needed",
        ),
        (Input("target", COUNT, positive=False), "whole number; at least 0; needed"),
        (
            Input("target", COUNT, positive=False, most=Fraction(9)),
            "whole number; from 0 to 9; needed",
        ),
        (
            Input("target", NUMBER, positive=False, least=Fraction(-10), optional=True),
            "number; at least \N{MINUS SIGN}10; may be left out",
        ),
        (
            Input("target", (Kind.CHOICE,), choices=("0", "1"), default="1"),
            "one of: 0, 1; may be left out, then 1",
        ),
        (
            Input("target", (Kind.AREA,), many=True),
            "area; in m², cm²; a list, parted by semicolons; more than 0; needed",
        ),
        (Input("target", (Kind.TEXT,), optional=True), "text; may be left out"),
    ],
)
def test_an_input_says_its_kind_range_and_default(described: Input, said: str) -> None:
    assert takes(described) == said


def test_a_ratio_is_shown_as_it_is_typed() -> None:
    assert "mg/mL, 1 in 1000; more" in takes(Input("target", (Kind.STRENGTH,)))


def test_the_house_reads_its_own_decimal_sign() -> None:
    assert "then 0,9 %" in takes(Input("target", (Kind.PERCENT,), default="0.9 %"), ",")
    said = whole(help_text(calculation_named("dilution"), Catalogue("en", ",")))
    assert 'target_strength="0,02 % w/v"' in said


def test_marks_in_a_sentence_mean_nothing_to_markdown() -> None:
    help_ = HelpText("n", "a*b_c <d>", "", (), (), "", "", "")
    assert as_markdown(help_).startswith(r"# a\*b\_c \<d\>")


def test_every_kind_has_its_words() -> None:
    for kind in Kind:
        assert ENGLISH.text(f"calculating.kind.{kind.name.lower()}")


def test_the_words_come_from_the_catalogue() -> None:
    said = help_text(calculation_named("dilution"), Catalogue(PSEUDO))
    assert said.title.startswith("⟦")
    assert all(each.startswith("⟦") for found in said.inputs for each in found.takes)
