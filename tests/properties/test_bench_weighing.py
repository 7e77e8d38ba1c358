"""What holds of every weighing, whatever the figures, lots and order."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.bench.make_good import Ingoing, ingoing, make_good
from formulary.bench.reading import Reading, Taking
from formulary.bench.weighing import (
    LineState,
    Standing,
    counted,
    raise_by,
    remaining,
    share,
    standing,
    weigh,
    window,
)
from formulary.canonical_codecs import codec
from formulary.quantity.amount import Amount

grams = st.integers(1, 10**6).map(lambda steps: Amount(Fraction(steps, 100), "g"))
factors = st.integers(90, 130).map(lambda hundredths: Fraction(hundredths, 100))
readings = st.builds(
    Reading, grams, st.just("Bench 1"), st.sampled_from(["C1", "C2"]), factor=factors
)
states = st.builds(
    LineState, st.just(0), st.just("Urea"), grams, st.just(Fraction(1)), factor=factors
)


def weighed(state: LineState, taken: list[Reading]) -> LineState:
    for each in taken:
        state = weigh(state, each, "tech")
    return state


@given(states, st.lists(readings, max_size=4), factors)
def test_weighing_what_remains_of_any_lot_brings_a_line_to_its_target(
    state: LineState, taken: list[Reading], factor: Fraction
) -> None:
    begun = weighed(state, taken)
    left = remaining(begun, factor).result
    if not left.number:
        assert (share(begun) or 0) >= 1
        return
    done = weigh(begun, Reading(left, "Bench 1", "C3", factor=factor), "tech")
    assert counted(done) == done.target
    assert standing(done) is Standing.INSIDE


@given(states, st.lists(readings, min_size=1, max_size=4))
def test_first_readings_are_never_overwritten(state: LineState, taken: list[Reading]) -> None:
    assert weighed(state, taken).readings == tuple(taken)


@given(states, readings, st.integers(0, 100))
def test_what_left_the_container_stays_the_same_whatever_goes_to_waste(
    state: LineState, taken: Reading, percent: int
) -> None:
    left = Reading(
        taken.amount * Fraction(percent, 100), "Bench 1", taken.container, taking=Taking.LEFT
    )
    (portion,) = weighed(state, [taken, left]).portions
    assert portion.taken == taken.amount


@given(states, readings)
def test_the_window_and_the_verdict_agree(state: LineState, taken: Reading) -> None:
    done = weighed(state, [taken])
    band = window(done, taken.factor)
    assert band is not None
    inside = band.low <= taken.amount <= band.high
    assert (standing(done) is Standing.INSIDE) is inside


lines = st.lists(
    st.builds(Ingoing, st.just("Urea"), grams, st.one_of(st.none(), grams)), min_size=1, max_size=6
)


@given(lines)
def test_making_good_takes_nothing_away_and_keeps_every_proportion(given_: list[Ingoing]) -> None:
    made = make_good(given_)
    assert made.factor >= 1
    assert made.total is not None
    assert sum((each.target.to("g").number for each in made.lines), Fraction(0)) == (
        made.total.to("g").number
    )
    for before, after in zip(given_, made.lines, strict=True):
        assert after.to_add.number >= 0
        assert after.target / before.target == made.factor
        had = before.actual or before.target * 0
        assert had + after.to_add == after.target


@given(states, st.lists(readings, min_size=1, max_size=3))
def test_making_good_a_line_leaves_it_right(state: LineState, taken: list[Reading]) -> None:
    done = weighed(state, taken)
    found = ingoing(done)
    assert found is not None
    made = make_good([found])
    raised = raise_by(done, made.factor)
    assert remaining(raised).result == made.lines[0].to_add
    assert standing(raised) is not Standing.OVER


@given(readings)
def test_a_reading_comes_back_from_the_record_as_it_was(taken: Reading) -> None:
    kept = codec(Reading)
    assert kept.read(kept.write(taken)) == taken
