"""A balance as a pseudo-terminal: what is sent here arrives at its port."""

from __future__ import annotations

import fcntl
import os
import termios
import tty
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from formulary.house import Balance
from tests.helpers.formulas import a_balance


class FakeBalance:
    """One balance on one cable; unplugged and plugged in again it has the same port."""

    def __init__(self, port: Path) -> None:
        self.port = port
        self._ends: tuple[int, int] | None = None
        self.plug_in()

    def plug_in(self) -> None:
        near, far = os.openpty()
        tty.setraw(near)
        self.port.symlink_to(os.ttyname(far))
        self._ends = near, far

    def unplug(self) -> None:
        assert self._ends is not None
        self.port.unlink()
        for end in self._ends:
            os.close(end)
        self._ends = None

    def send(self, sent: bytes) -> None:
        assert self._ends is not None
        os.write(self._ends[0], sent)

    @property
    def all_taken(self) -> bool:
        """Whether nothing that was sent still waits at the port."""
        assert self._ends is not None
        waiting = fcntl.ioctl(self._ends[1], termios.FIONREAD, bytes(4))
        return not any(waiting)

    def in_house(self, pattern: str = "") -> Balance:
        """Return the balance as the house has it on file."""
        plain = a_balance("Middle bench", "620 g", "0.001 g", "1 g")
        return replace(plain, port=str(self.port), pattern=pattern)

    def close(self) -> None:
        if self._ends is not None:
            self.unplug()


@pytest.fixture
def fake_balance(tmp_path: Path) -> Iterator[FakeBalance]:
    """Return a balance that is plugged in."""
    made = FakeBalance(tmp_path / "balance")
    yield made
    made.close()
