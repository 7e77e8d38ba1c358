"""A scanner and a hand are told apart by the slowest step, whatever the text."""

from __future__ import annotations

from itertools import accumulate

from hypothesis import given
from hypothesis import strategies as st

from formulary.bench.scanning import FEWEST, USUAL_GAP_MS, is_scanned

QUICK = st.lists(st.integers(0, USUAL_GAP_MS), min_size=FEWEST, max_size=30)
SLOW = st.integers(USUAL_GAP_MS + 1, 2000)


def moments(gaps: list[int]) -> list[int]:
    """Return when each character came, some time after the system started."""
    return list(accumulate(gaps, initial=7_000))


@given(QUICK)
def test_whatever_comes_in_without_a_pause_was_scanned(gaps: list[int]) -> None:
    assert is_scanned(moments(gaps))


@given(QUICK, SLOW, st.data())
def test_one_pause_is_a_hands_wherever_it_is(
    gaps: list[int], pause: int, data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(gaps)))
    assert not is_scanned(moments([*gaps[:place], pause, *gaps[place:]]))


def test_the_fastest_typists_at_about_ten_keys_a_second_type() -> None:
    assert not is_scanned(moments([95, 110, 130, 88, 120, 101, 140]))


def test_two_keys_rolled_at_once_dont_make_a_scan_of_the_rest() -> None:
    assert not is_scanned(moments([12, 12, 110, 12, 12]))


def test_a_few_characters_tell_nothing() -> None:
    assert not is_scanned(moments([2, 2]))


def test_a_house_may_know_its_scanner_better() -> None:
    assert is_scanned(moments([35] * 8), most_gap_ms=40)
    assert not is_scanned(moments([5] * 8), most_gap_ms=0)
