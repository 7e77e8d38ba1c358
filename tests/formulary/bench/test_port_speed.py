"""The speed of a serial line as it is typed."""

from __future__ import annotations

import pytest

from formulary.bench.port_speed import PortSpeed, port_speed
from formulary.errors import BadText


@pytest.mark.parametrize(
    ("typed", "speed"),
    [
        ("", PortSpeed(9600, 8, "N", 1)),
        ("4800", PortSpeed(4800)),
        (" 2400 7e1 ", PortSpeed(2400, 7, "E", 1)),
        ("19200, 8N2", PortSpeed(19200, 8, "N", 2)),
    ],
)
def test_a_speed_is_read_with_its_bits_or_without(typed: str, speed: PortSpeed) -> None:
    assert port_speed(typed) == speed


@pytest.mark.parametrize("typed", ["fast", "9601", "9600 9N1", "9600 8X1", "0", "9600 8N"])
def test_another_speed_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        port_speed(typed)
