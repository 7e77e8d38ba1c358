"""A balance heard by the window, with a pseudo-terminal as the balance."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from threading import current_thread, main_thread

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from serial import Serial

from formulary.bench.balance_lines import ReadLine
from formulary.exchange import balance_port
from formulary.messages import Message
from tests.helpers.fake_balance import FakeBalance, fake_balance
from ui.widgets.balance_link import BalanceLink

__all__ = ["fake_balance"]


@dataclass
class Told:
    """What the link told, in order."""

    readings: list[ReadLine] = field(default_factory=list)
    keys: list[str] = field(default_factory=list)
    threads: set[str] = field(default_factory=set)

    def hear(self, reading: ReadLine) -> None:
        self.threads.add(current_thread().name)
        self.readings.append(reading)

    def note(self, said: Message) -> None:
        self.threads.add(current_thread().name)
        self.keys.append(said.key.rpartition(".")[2])

    @property
    def shown(self) -> list[str]:
        return [each.shown for each in self.readings]


@pytest.fixture
def link(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> Iterator[BalanceLink]:  # noqa: ARG001
    """Return a link that tries a lost port again at once."""
    monkeypatch.setattr(balance_port, "RETRY_SECONDS", 0.02)
    monkeypatch.setattr(balance_port, "READ_SECONDS", 0.02)
    made = BalanceLink()
    yield made
    made.close()


@pytest.fixture
def told(link: BalanceLink) -> Told:
    """Return what collects what the link tells."""
    made = Told()
    link.reading_arrived.connect(made.hear)
    link.trouble.connect(made.note)
    link.connected.connect(made.note)
    return made


@pytest.fixture
def until(qtbot: QtBot) -> Callable[[Callable[[], bool]], None]:
    """Return what waits for something to come true."""
    return lambda true: qtbot.waitUntil(true, timeout=10_000)


Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def plugged_in(
    link: BalanceLink, told: Told, fake_balance: FakeBalance, until: Until
) -> FakeBalance:
    """Return a balance that the link listens to."""
    link.listen(fake_balance.in_house())
    until(lambda: told.keys == ["connected"])
    fake_balance.send(b"\r\n")
    return fake_balance


def test_settled_and_unsettled_readings_arrive_on_the_windows_thread(
    plugged_in: FakeBalance, told: Told, until: Until
) -> None:
    plugged_in.send(b"12,340 g ?\r\n12,345 g\r\n")
    until(lambda: len(told.readings) == 2)
    assert [each.stable for each in told.readings] == [False, True]
    assert told.shown == ["12,340 g", "12,345 g"]
    assert told.threads == {main_thread().name}


def test_a_line_in_two_parts_is_one_reading(
    plugged_in: FakeBalance, told: Told, until: Until
) -> None:
    plugged_in.send(b"+ 12.3")
    until(lambda: plugged_in.all_taken)
    plugged_in.send(b"45 g\r\n")
    until(lambda: bool(told.readings))
    assert told.shown == ["+12.345 g"]


def test_noise_is_a_trouble_and_the_next_reading_arrives(
    plugged_in: FakeBalance, told: Told, until: Until
) -> None:
    plugged_in.send(b"\xff\xfegarbage\r\nOL\r\n12.345 oz\r\n12.345 g\r\n")
    until(lambda: bool(told.readings))
    assert told.keys == ["connected", "gibberish", "out_of_range", "other_unit"]


def test_unplugged_and_plugged_in_again_it_is_read_again(
    plugged_in: FakeBalance, told: Told, until: Until
) -> None:
    plugged_in.send(b"12.3")
    plugged_in.unplug()
    until(lambda: "absent" in told.keys)
    plugged_in.plug_in()
    until(lambda: told.keys[-1] == "again")
    plugged_in.send(b"\r\n45.000 g\r\n")
    until(lambda: bool(told.readings))
    assert told.keys == ["connected", "lost", "absent", "again"]
    assert told.shown == ["45.000 g"]


def test_after_closing_the_port_is_free_and_nothing_more_is_told(
    link: BalanceLink, plugged_in: FakeBalance, told: Told
) -> None:
    plugged_in.send(b"12.345 g\r\n")
    link.close()
    with Serial(str(plugged_in.port), exclusive=True) as free_again:
        assert free_again.is_open
    QApplication.processEvents()
    assert told.readings == []


def test_the_same_balance_is_listened_to_anew_at_once(
    link: BalanceLink, plugged_in: FakeBalance, told: Told, until: Until
) -> None:
    link.listen(plugged_in.in_house())
    until(lambda: told.keys == ["connected", "connected"])
    plugged_in.send(b"\r\n1.00 g\r\n")
    until(lambda: told.shown == ["1.00 g"])


def test_a_balance_without_a_port_is_said_to_have_none(
    link: BalanceLink, told: Told, fake_balance: FakeBalance, until: Until
) -> None:
    link.listen(replace(fake_balance.in_house(), port=""))
    until(lambda: told.keys == ["none"])
