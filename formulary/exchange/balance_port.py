"""A balance on a serial line: opened, listened to, and opened again when its cable comes back."""

from __future__ import annotations

import errno
import sys
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from threading import Event
from typing import TYPE_CHECKING, TypeAlias

from formulary.bench.balance_lines import ReadLine, broken_off, line_pattern, read_line
from formulary.bench.port_speed import port_speed
from formulary.errors import Refusal
from formulary.exchange.balance_text import BrokenOff, LineAssembly
from formulary.house import Balance
from formulary.messages import Message, message

if TYPE_CHECKING:
    from serial import Serial

READ_SECONDS = 0.1
RETRY_SECONDS = 1.0


@dataclass(frozen=True, slots=True)
class Connected:
    """The port is open, for the first time or again."""

    said: Message


@dataclass(frozen=True, slots=True)
class Trouble:
    """A line that can't be read, or with ``lost`` a port that isn't there."""

    said: Message
    lost: bool = False


Heard: TypeAlias = ReadLine | Connected | Trouble


def listening(balance: Balance, ended: Event) -> Generator[Heard]:
    """Give what the balance sends until ``ended`` is set, which is noticed within 0.1 s.

    A port that is lost is tried every second. The same trouble is said once, until something else
    was heard. Raises :class:`formulary.errors.Refusal` for a balance without a port, and BadText
    for a speed or a pattern that can't be.
    """
    if not balance.port:
        raise Refusal(message("balance.port.none", balance=balance.name))
    port_speed(balance.speed)
    line_pattern(balance.pattern)
    return _said_once(_all_heard(balance, ended))


def ports_here() -> tuple[tuple[str, str], ...]:
    """Return the serial ports of this computer: the name of each, and what it says it is."""
    from serial.tools.list_ports import comports

    return tuple(sorted((each.device, each.description) for each in comports()))


def _said_once(all_heard: Iterator[Heard]) -> Generator[Heard]:
    last: Heard | None = None
    for heard in all_heard:
        if not (isinstance(heard, Trouble) and heard == last):
            yield heard
        last = heard


def _all_heard(balance: Balance, ended: Event) -> Iterator[Heard]:
    lost = _port_errors()
    way = "connected"
    while not ended.is_set():
        try:
            line = _opened(balance)
        except lost as trouble:
            yield Trouble(_said(_why(trouble), balance), lost=True)
            ended.wait(RETRY_SECONDS)
            continue
        with line:
            yield Connected(_said(way, balance))
            try:
                yield from _read(line, balance, ended)
            except lost:
                yield Trouble(_said("lost", balance), lost=True)
        way = "again"


def _port_errors() -> tuple[type[Exception], ...]:
    """Return what a port raises that isn't there, or isn't there any more."""
    if sys.platform == "win32":
        return (OSError,)
    import termios

    return (OSError, termios.error)


def _opened(balance: Balance) -> Serial:
    """Open the port for this program alone: two that read would each get half of the digits."""
    from serial import Serial

    speed = port_speed(balance.speed)
    return Serial(
        balance.port,
        speed.baud,
        bytesize=speed.bits,
        parity=speed.parity,
        stopbits=speed.stop,
        timeout=READ_SECONDS,
        exclusive=True,
    )


def _read(line: Serial, balance: Balance, ended: Event) -> Iterator[ReadLine | Trouble]:
    assembly = LineAssembly()
    while not ended.is_set():
        # The first byte is waited for; what came with it is there already.
        found = line.read(1)
        if found:
            found += line.read(line.in_waiting)
        for each in assembly.take(found):
            yield _understood(each, balance)


def _understood(sent: bytes | BrokenOff, balance: Balance) -> ReadLine | Trouble:
    if isinstance(sent, BrokenOff):
        return Trouble(broken_off(balance.name, sent.sent).message)
    try:
        return read_line(sent, balance.name, balance.pattern)
    except Refusal as refusal:
        return Trouble(refusal.message)


def _why(trouble: Exception) -> str:
    """Return what keeps a port from being opened."""
    number = getattr(trouble, "errno", None)
    if number in (errno.ENOENT, errno.ENXIO, errno.ENODEV):
        return "absent"
    return "forbidden" if number in (errno.EACCES, errno.EPERM) else "held"


def _said(key: str, balance: Balance) -> Message:
    return message(f"balance.port.{key}", balance=balance.name, port=balance.port)
