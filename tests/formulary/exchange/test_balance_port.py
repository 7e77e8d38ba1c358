"""A balance on a serial line, with a pseudo-terminal as the balance."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from contextlib import closing
from dataclasses import replace
from threading import Event

import pytest
from serial import Serial

from formulary.bench.balance_lines import ReadLine
from formulary.errors import BadText, Refusal
from formulary.exchange import balance_port
from formulary.exchange.balance_port import Heard, Trouble, listening
from tests.helpers.fake_balance import FakeBalance, fake_balance

__all__ = ["fake_balance"]

Hearing = Generator[Heard, None, None]


@pytest.fixture(autouse=True)
def hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    """Try a lost port again at once, and don't wait long for the rest of a line."""
    monkeypatch.setattr(balance_port, "RETRY_SECONDS", 0.02)
    monkeypatch.setattr(balance_port, "READ_SECONDS", 0.02)


@pytest.fixture
def hearing(fake_balance: FakeBalance) -> Iterator[Hearing]:
    """Return what is heard of the balance, which is connected already."""
    with closing(listening(fake_balance.in_house(), Event())) as all_heard:
        assert key(next(all_heard)) == "connected"
        yield all_heard


def key(heard: Heard) -> str:
    return "read" if isinstance(heard, ReadLine) else heard.said.key.rpartition(".")[2]


def shown(heard: Heard) -> str:
    assert isinstance(heard, ReadLine)
    return heard.shown


def test_lines_are_read_one_after_the_other(fake_balance: FakeBalance, hearing: Hearing) -> None:
    fake_balance.send(b"\r\n+  10.00 g\r\nS D 10.02 g\r\n")
    first, second = next(hearing), next(hearing)
    assert [shown(first), shown(second)] == ["+10.00 g", "10.02 g"]
    assert isinstance(first, ReadLine)
    assert first.stable
    assert isinstance(second, ReadLine)
    assert not second.stable


def test_noise_is_said_once_and_then_reading_goes_on(
    fake_balance: FakeBalance, hearing: Hearing
) -> None:
    fake_balance.send(b"\r\n" + b"\xff\xfe\x00?\r\n" * 5 + b"1.00 g\r\n")
    assert key(next(hearing)) == "gibberish"
    assert shown(next(hearing)) == "1.00 g"


def test_a_line_that_breaks_off_is_said(fake_balance: FakeBalance, hearing: Hearing) -> None:
    fake_balance.send(b"\r\n+ 1")
    assert key(next(hearing)) == "broken_off"
    fake_balance.send(b"2.50 g\r\n2.50 g\r\n")
    assert key(next(hearing)) == "broken_off"
    assert shown(next(hearing)) == "2.50 g"


def test_a_balance_that_was_unplugged_is_read_again_when_it_comes_back(
    fake_balance: FakeBalance, hearing: Hearing
) -> None:
    fake_balance.send(b"\r\n12.3")
    fake_balance.unplug()
    lost = next(hearing)
    assert isinstance(lost, Trouble)
    assert lost.lost
    assert key(next(hearing)) == "absent"
    fake_balance.plug_in()
    assert key(next(hearing)) == "again"
    fake_balance.send(b"\r\n45.000 g\r\n")
    assert shown(next(hearing)) == "45.000 g"


def test_two_programs_never_share_the_digits_of_a_port(fake_balance: FakeBalance) -> None:
    with (
        Serial(str(fake_balance.port), exclusive=True),
        closing(listening(fake_balance.in_house(), Event())) as all_heard,
    ):
        assert key(next(all_heard)) == "held"


def test_what_is_no_serial_port_is_refused_in_a_sentence(fake_balance: FakeBalance) -> None:
    plain_file = fake_balance.port.with_name("notes.txt")
    plain_file.touch()
    balance = replace(fake_balance.in_house(), port=str(plain_file))
    with closing(listening(balance, Event())) as all_heard:
        assert key(next(all_heard)) == "held"


def test_listening_ends_when_it_is_told_to(fake_balance: FakeBalance) -> None:
    ended = Event()
    all_heard = listening(fake_balance.in_house(), ended)
    next(all_heard)
    ended.set()
    assert list(all_heard) == []
    with Serial(str(fake_balance.port), exclusive=True) as free_again:
        assert free_again.is_open


@pytest.mark.parametrize(
    ("field", "value", "trouble"),
    [("port", "", Refusal), ("speed", "fast", BadText), ("pattern", "(", BadText)],
)
def test_a_balance_that_is_set_up_wrongly_is_refused_at_once(
    fake_balance: FakeBalance, field: str, value: str, trouble: type[Refusal]
) -> None:
    balance = replace(fake_balance.in_house(), **{field: value})  # type: ignore[arg-type]  # texts
    with pytest.raises(trouble):
        listening(balance, Event())
