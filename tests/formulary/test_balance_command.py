"""One settled reading from the command line, with a pseudo-terminal as the balance."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from formulary.command_line import main
from formulary.exchange import balance_port
from formulary.exchange.workstation_file import keep
from formulary.house import House
from formulary.opening import open_desk
from formulary.workstation import BalanceHere, Workstation
from tests.helpers.fake_balance import FakeBalance, fake_balance

__all__ = ["fake_balance"]

MIDDLE, SINK = 1, 2
Asked = Callable[..., tuple[int, str, str]]


@pytest.fixture
def asked(
    sample_file: Path, tmp_path: Path, fake_balance: FakeBalance, capsys: pytest.CaptureFixture[str]
) -> Asked:
    """Return what the command answers where the middle balance of the house has a port."""
    path = Path(shutil.copy(sample_file, tmp_path / "house.misce"))
    desk = open_desk(path)
    keep(_wired(desk.house, str(fake_balance.port)))
    desk.store.close()

    def ask(*arguments: str) -> tuple[int, str, str]:
        code = main(["balance", *arguments, "--formulary", str(path)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return ask


def _wired(house: House, port: str) -> Workstation:
    ports = {MIDDLE: port}
    here = (BalanceHere(e.name, ports.get(at, "")) for at, e in enumerate(house.balances))
    return Workstation(balances=tuple(here))


@pytest.fixture
def sending(fake_balance: FakeBalance) -> Iterator[Callable[[bytes], None]]:
    """Return what makes the balance send by itself, over and over."""
    done = Event()
    threads: list[Thread] = []

    def send(line: bytes) -> None:
        def over_and_over() -> None:
            while not done.wait(0.02):
                fake_balance.send(line)

        threads.append(Thread(target=over_and_over))
        threads[-1].start()

    yield send
    done.set()
    for each in threads:
        each.join()


def test_one_settled_reading_is_printed(asked: Asked, sending: Callable[[bytes], None]) -> None:
    sending(b"10.02 g ?\r\n+   10.00 g\r\n")
    code, out, _ = asked("--read", "middle bench")
    assert (code, out) == (0, "+10.00 g\n")


def test_in_json_it_has_its_amount_and_the_balances_own_text(
    asked: Asked, sending: Callable[[bytes], None]
) -> None:
    sending(b"+   10.00 g\r\n")
    code, out, _ = asked("--read", "Precision balance, middle bench", "--json")
    found: dict[str, Any] = json.loads(out)
    assert code == 0
    assert found == {
        "balance": "Precision balance, middle bench",
        "amount": {"amount": "10", "unit": "g"},
        "shown": "+10.00 g",
        "stable": True,
        "raw": "+   10.00 g",
    }


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        (b"10.02 g ?\r\n", "didn't settle within 1 second; last it showed 10.02 g"),
        (b"10.02 oz\r\n", "weighs in “oz”"),
    ],
)
def test_what_came_instead_of_a_settled_weight_is_said(
    asked: Asked, sending: Callable[[bytes], None], sent: bytes, sentence: str
) -> None:
    sending(sent)
    code, out, err = asked("--read", "middle", "--within", "1")
    assert (code, out) == (1, "")
    assert sentence in err


def test_a_silent_balance_is_said_to_be_silent(asked: Asked) -> None:
    code, _, err = asked("--read", "middle", "--within", "1")
    assert code == 1
    assert "sent nothing within 1 second. Press its print key" in err


def test_an_unplugged_balance_is_said_at_once(asked: Asked, fake_balance: FakeBalance) -> None:
    fake_balance.unplug()
    code, _, err = asked("--read", "middle")
    assert code == 1
    assert "Is it plugged in and switched on?" in err


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("sink", "has no port on file"),
        ("kitchen", "no balance called “kitchen”"),
        ("balance", "could be any of these"),
    ],
)
def test_a_balance_that_cannot_be_meant_is_refused(asked: Asked, name: str, sentence: str) -> None:
    code, _, err = asked("--read", name)
    assert code == 1
    assert sentence in err


@pytest.mark.parametrize("seconds", ["0", "-1", "soon", "999999"])
def test_a_wait_that_makes_no_sense_is_wrong_usage(asked: Asked, seconds: str) -> None:
    assert asked("--read", "middle", "--within", seconds)[0] == 2


def test_balances_and_the_ports_of_this_computer_are_listed(
    asked: Asked, fake_balance: FakeBalance, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("serial.tools.list_ports.comports", list)
    code, out, _ = asked("--list")
    assert code == 0
    assert f"Precision balance, middle bench: read at {fake_balance.port}" in out
    assert "no serial port now" in out
    found = json.loads(asked("--list", "--json")[1])
    assert [each["port"] for each in found["balances"]] == ["", str(fake_balance.port), ""]
    assert found["ports"] == []


def test_ports_are_told_by_name_and_by_what_they_are(monkeypatch: pytest.MonkeyPatch) -> None:
    from serial.tools.list_ports_common import ListPortInfo

    port = ListPortInfo("COM3")
    port.description = "USB adapter"
    monkeypatch.setattr("serial.tools.list_ports.comports", lambda: [port])
    assert balance_port.ports_here() == (("COM3", "USB adapter"),)
