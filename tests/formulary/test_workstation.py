"""What belongs to a workstation is this computer's own, for the window and the command line."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from formulary.catalogue import Catalogue
from formulary.command_line import main
from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, FormularyError, Refusal, StoreTrouble
from formulary.exchange.workstation_file import keep, kept_workstation, place
from formulary.house import House
from formulary.opening import create_sample, open_desk
from formulary.people import Person, Post
from formulary.verbs.keep_workstation import keep_workstation
from formulary.workstation import BalanceHere, Workstation, at_first, house_at, stands_in
from tests.helpers.desks import CID, PIN_HASH, a_desk, at, furnished
from tests.helpers.formulas import COARSE, MIDDLE
from tests.helpers.memory_store import MemoryStore


@pytest.fixture
def desk() -> Desk:
    """Return Cid's desk."""
    return a_desk(furnished(MemoryStore()), CID)


HOUSE = House("h-1", "Linden Pharmacy", balances=(MIDDLE, COARSE))
WIRED = Workstation(
    "Bench by the window", (BalanceHere(COARSE.name, "COM3", "2400 7E1"),), "Zebra", "62x29"
)


def names(house: House) -> list[str]:
    return [each.name for each in house.balances]


def test_the_balances_of_a_workstation_are_those_that_stand_there_with_their_lines() -> None:
    (found,) = house_at(WIRED, HOUSE).balances
    assert (found.name, found.port, found.speed) == (COARSE.name, "COM3", "2400 7E1")
    assert found.readability == COARSE.readability


def test_without_a_list_all_of_the_house_stand_here_read_by_hand() -> None:
    older = replace(HOUSE, balances=(replace(MIDDLE, port="COM9"), COARSE))
    assert names(house_at(Workstation(), older)) == names(HOUSE)
    assert [each.port for each in house_at(Workstation(), older).balances] == ["", ""]


def test_what_only_another_house_has_is_passed_over() -> None:
    elsewhere = Workstation(balances=(BalanceHere("Balance of another house", "COM3"),))
    assert names(house_at(elsewhere, HOUSE)) == names(HOUSE)


def test_a_measure_is_at_hand_everywhere_and_a_balance_where_it_stands() -> None:
    assert stands_in(WIRED, HOUSE, COARSE.name)
    assert not stands_in(WIRED, HOUSE, MIDDLE.name)
    assert stands_in(WIRED, HOUSE, "Cylinder 10 mL")


def test_a_workstation_without_a_profile_begins_with_the_lines_that_the_house_once_kept() -> None:
    assert at_first(HOUSE) == Workstation()
    older = replace(HOUSE, balances=(replace(MIDDLE, port="COM9"), COARSE))
    assert at_first(older).balances == (BalanceHere(MIDDLE.name, "COM9"), BalanceHere(COARSE.name))


def test_the_profile_comes_back_from_its_file() -> None:
    assert kept_workstation() is None
    keep(WIRED)
    assert kept_workstation() == WIRED


@pytest.mark.parametrize("text", ["{", '{"bench": 3}', '{"unknown": "x"}'])
def test_a_file_that_makes_no_sense_is_named(text: str) -> None:
    keep(WIRED)
    place().write_text(text, "utf-8")
    with pytest.raises(StoreTrouble) as refused:
        kept_workstation()
    assert str(place()) in Catalogue().text(refused.value.message)


def test_who_changed_a_workstation_is_in_the_history(desk: Desk) -> None:
    after = keep_workstation(desk, WIRED, keep)
    assert (after.here, after.workstation) == (WIRED, "Bench by the window")
    last = desk.store.history(limit=1000)[-1]
    assert (last.verb, last.act.person) == ("keep_workstation", desk.person.name)
    assert "Bench by the window" in last.details


@pytest.mark.parametrize(
    ("here", "error"),
    [
        (Workstation(balances=(BalanceHere("A"), BalanceHere("A"))), Refusal),
        (Workstation(balances=(BalanceHere("A", "COM3"), BalanceHere("B", "COM3"))), Refusal),
        (Workstation(balances=(BalanceHere("A", "COM3", "fast"),)), BadText),
        (Workstation(balances=(BalanceHere("A", "COM3", "", "(?P<number>.)"),)), BadText),
        (Workstation(stock="7x7"), FormularyError),
    ],
)
def test_what_can_t_be_is_refused_and_nothing_is_kept(
    desk: Desk, here: Workstation, error: type[FormularyError]
) -> None:
    before = len(desk.store.history(limit=1000))
    with pytest.raises(error):
        keep_workstation(desk, here, keep)
    assert kept_workstation() is None
    assert len(desk.store.history(limit=1000)) == before


def test_a_reader_changes_no_workstation(desk: Desk) -> None:
    ruth = Person("p-ruth", "Ruth Elm", Post.READER, PIN_HASH)
    with pytest.raises(Forbidden):
        keep_workstation(at(desk, ruth), WIRED, keep)


def test_window_and_command_line_open_at_the_same_workstation(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("serial.tools.list_ports.comports", list)
    path = tmp_path / "house.misce"
    made = create_sample(path, worked=False)
    name = made.house.balances[1].name
    made.store.close()
    keep(Workstation("Bench 2", (BalanceHere(name, "COM3"),), stock="100x50"))
    opened = open_desk(path)
    assert (opened.workstation, names(opened.house_here)) == ("Bench 2", [name])
    opened.store.close()
    assert main(["balance", "--list", "--json", "--formulary", str(path)]) == 0
    listed = json.loads(capsys.readouterr().out)["balances"]
    assert [(each["name"], each["port"]) for each in listed] == [(name, "COM3")]
    out = tmp_path / "trial.pdf"
    trial = ["label", "CR-001", "--trial", "--to", "60 g", "--out", str(out), "--json"]
    main([*trial, "--formulary", str(path)])
    assert json.loads(capsys.readouterr().out)["stock"] == "100x50"
