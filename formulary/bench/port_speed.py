"""How fast a balance talks, as it is typed: "9600", or with its bits "2400 7E1"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from formulary.errors import BadText
from formulary.messages import message

RATES = (300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200)
_TYPED = re.compile(r"(?P<baud>[0-9]{3,6})(?:[ ,]+(?P<bits>[78])(?P<parity>[NEO])(?P<stop>[12]))?")


@dataclass(frozen=True, slots=True)
class PortSpeed:
    """Baud, data bits, parity (N none, E even, O odd) and stop bits of a serial line."""

    baud: int = 9600
    bits: int = 8
    parity: str = "N"
    stop: int = 1


def port_speed(typed: str) -> PortSpeed:
    """Return a typed speed; 9600 8N1 where nothing is typed.

    Raises :class:`formulary.errors.BadText` for anything else.
    """
    if not typed.strip():
        return PortSpeed()
    found = _TYPED.fullmatch(typed.strip().upper())
    if found is None or int(found["baud"]) not in RATES:
        raise BadText(message("balance.port.bad_speed", typed=typed.strip()), field="speed")
    if found["bits"] is None:
        return PortSpeed(int(found["baud"]))
    return PortSpeed(int(found["baud"]), int(found["bits"]), found["parity"], int(found["stop"]))
