"""The yield is judged by what was weighed in, not by what was planned."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.bench.events import LineWeighed, YieldTaken
from formulary.bench.quality import in_range, is_appearance, range_of
from formulary.errors import UnitMismatch
from formulary.verbs.take_yield import yield_at_bench
from tests.helpers.at_bench import Bench, a_bench, reading
from tests.helpers.formulas import amount


def test_what_was_weighed_is_the_whole() -> None:
    bench = a_bench().made()
    found = yield_at_bench(bench.state, amount("96 g"))
    assert found.result.percent == 96
    assert found.result.inside


def test_a_heavier_line_makes_the_whole_larger() -> None:
    bench = Bench(a_bench().cleared().state)
    bench.state = bench.does(LineWeighed(0, reading("20.5 g")))
    found = yield_at_bench(bench.state, amount("95 g"))
    assert found.result.percent == Fraction(95, Fraction("100.5")) * 100
    assert not found.result.inside
    assert YieldTaken(amount("95 g"), inside=False).inside is False


def test_pieces_are_no_yield_of_a_mass() -> None:
    with pytest.raises(UnitMismatch):
        yield_at_bench(a_bench().made().state, amount("5 mL"))


def test_plain_limits_are_read_and_others_left_to_the_person() -> None:
    assert range_of("5 to 7.5") == (Fraction(5), Fraction("7.5"))
    assert range_of("Clear, colourless") is None
    passed, said = in_range(Fraction("7.5"), Fraction(5), Fraction("7.5"))
    assert passed
    assert said.key == "bench.quality.inside"
    assert not in_range(Fraction("7.6"), Fraction(5), Fraction("7.5"))[0]


def test_a_look_is_known_by_its_name() -> None:
    assert is_appearance("Appearance")
    assert not is_appearance("pH")
