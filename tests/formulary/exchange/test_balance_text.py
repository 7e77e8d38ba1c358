"""Bytes become whole lines, and a line whose beginning is lost never does."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from formulary.exchange.balance_text import QUIET_UNTIL_BROKEN, BrokenOff, LineAssembly

QUIET = b""


def taken(*found: bytes) -> list[bytes | BrokenOff]:
    assembly = LineAssembly()
    return [line for each in found for line in assembly.take(each)]


def test_a_line_in_pieces_is_put_together() -> None:
    assert taken(QUIET, b"+ 12", QUIET, b".345", b" g\r", b"\n") == [b"+ 12.345 g"]


def test_several_lines_at_once_are_parted_at_any_end() -> None:
    assert taken(QUIET, b"1 g\r\n2 g\n3 g\r") == [b"1 g", b"2 g", b"3 g"]


def test_the_tail_of_a_line_that_was_under_way_is_not_read() -> None:
    assert taken(b"2.345 g\r\n12.345 g\r\n") == [b"12.345 g"]


def test_a_line_that_breaks_off_is_never_joined_to_a_later_one() -> None:
    pause = [QUIET] * QUIET_UNTIL_BROKEN
    found = taken(QUIET, b"+ 1", *pause, b"2.50 g\r\n", b"3 g\r\n")
    assert found == [BrokenOff(b"+ 1"), BrokenOff(b"2.50 g"), b"3 g"]


def test_noise_without_end_is_dropped_up_to_the_next_end() -> None:
    noise = b"x" * 90
    found = taken(QUIET, noise, noise, b"2.345 g\r\n", b"4 g\r\n")
    assert found == [BrokenOff(noise), BrokenOff(b"2.345 g"), b"4 g"]


@given(st.lists(st.integers(0, 12), max_size=6))
def test_wherever_a_line_is_cut_it_comes_out_the_same(cuts: list[int]) -> None:
    line = b"+ 12.345 g\r\n"
    places = [0, *sorted(cuts), len(line)]
    pieces = [line[a:b] for a, b in pairwise(places)]
    assert taken(QUIET, *pieces) == [b"+ 12.345 g"]
