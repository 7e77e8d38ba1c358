"""Bytes off a serial line put together into whole lines; never a line with its beginning lost.

A tail of "12.345 g" is "2.345 g" and reads like a weight, so whatever was lost, everything up to
the next end of a line is lost with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from formulary.bench.balance_lines import LONGEST_LINE

QUIET_UNTIL_BROKEN = 10
"""After so many reads that found nothing a line that has begun counts as broken off."""

_END = re.compile(rb"[\r\n]")


@dataclass(frozen=True, slots=True)
class BrokenOff:
    """A line without its end or without its beginning; ``sent`` is what came of it."""

    sent: bytes


class LineAssembly:
    """Takes what each read found, nothing included, and gives the lines that are whole.

    It may begin in the middle of a line: only after a moment of quiet or the end of a line does it
    listen.
    """

    def __init__(self) -> None:
        self._begun = b""
        self._quiet = 0
        self._fresh, self._whole, self._broken = True, False, False

    def take(self, found: bytes) -> Iterator[bytes | BrokenOff]:
        """Give the lines that ``found`` completes; an empty read is a moment of quiet."""
        if not found:
            yield from self._take_quiet()
            return
        self._fresh, self._quiet = False, 0
        *ended, begun = _END.split(found)
        for part in ended:
            yield from self._end(part)
        self._begun += begun
        if len(self._begun) > LONGEST_LINE:
            yield from self._break_off()

    def _take_quiet(self) -> Iterator[BrokenOff]:
        self._quiet += 1
        self._whole = self._whole or self._fresh
        if self._begun and self._quiet >= QUIET_UNTIL_BROKEN:
            yield from self._break_off()

    def _end(self, part: bytes) -> Iterator[bytes | BrokenOff]:
        line, self._begun = self._begun + part, b""
        if line.strip() and (self._whole or self._broken):
            yield line if self._whole else BrokenOff(line)
        self._whole, self._broken = True, False

    def _break_off(self) -> Iterator[BrokenOff]:
        """Drop what has begun; its rest may still come, however late."""
        if self._whole:
            yield BrokenOff(self._begun)
        self._begun, self._whole, self._broken = b"", False, True
