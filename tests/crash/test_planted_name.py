"""A planted name is nowhere but in the identity table, and under a key not even in the file."""

from __future__ import annotations

import logging
import stat
from contextlib import closing
from pathlib import Path
from typing import cast

import pytest

from formulary.command_line import main
from formulary.errors import StoreTrouble
from formulary.house import House
from formulary.labels.content import jar_of
from formulary.log import log_to_file
from formulary.names_key import KeyMissing, ensure_key, is_copied, key_file
from formulary.opening import create_house
from formulary.patient import PatientDetails
from formulary.people import Identity, Part, Person, Post
from formulary.records.backup import back_up
from formulary.records.names_kept import NamesKept
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.issue_labels import issue_labels, label_contents
from formulary.verbs.lock_names import keep_names_anew
from formulary.verbs.start_preparation import Order, start_preparation
from tests.crash.busy_house import STOCK, Day, by_chance
from tests.helpers.desks import ADA, MORNING, a_desk, at
from tests.helpers.kept import ACT
from ui.last_resort import places

FIRST, LAST = "Ottoline", "Zimtsternchen"
NAME = f"{FIRST} {LAST}"


def everything(folder: Path) -> str:
    """Return the names and the bytes of all files in a folder, whatever they are."""
    found = [each for each in folder.rglob("*") if each.is_file()]
    parts = [str(each).encode() + b"\n" + each.read_bytes() for each in found]
    return b"\n".join(parts).decode("latin-1")


def made_for(store: SqlStore) -> str:
    """Make, label, release and hand over something for the planted patient; return its lot."""
    job = Day(a_desk(store), by_chance(1))._job()
    order = Order("200 g", patient=NAME, directions="Apply thinly twice a day.")
    job.lot = start_preparation(job.desk, job.version.id, order).lot
    job.cleared().packed()
    issue_labels(job.desk, job.lot, STOCK, lambda _pages, _stock: None)
    codes = [jar_of(each) for each in label_contents(job.desk, job.made)]
    assert codes
    assert LAST not in repr(codes)
    with store.writing(ACT, "note") as writing:
        details = PatientDetails(allergies=("Zimtallergie",), telephone="555 0177")
        writing.put(Identity("x-9", Part.PATIENT, NAME, details))
    return job.lot


def test_under_a_key_the_file_and_its_backup_hold_no_name(house: Path, own_home: Path) -> None:
    with closing(open_store(house)) as store:
        ensure_key()
        made_for(store)
        back_up(house, house.parent / "kept", MORNING)
        assert {each.name for each in store.every(Identity)} == {NAME}
        assert verify(store).good
        said = everything(house.parent)
    for planted in (FIRST, LAST, "Zimtallergie", "555 0177"):
        assert planted not in said
    assert stat.S_IMODE(key_file().stat().st_mode) == 0o600
    assert key_file().is_relative_to(own_home)


def test_names_kept_before_there_was_a_key_go_under_it(house: Path) -> None:
    with closing(open_store(house)) as store:
        made_for(store)
        ensure_key()
        assert keep_names_anew(at(a_desk(store), ADA)) == 2
        assert {each.name for each in store.every(Identity)} == {NAME}
        assert verify(store).good
    assert LAST not in house.read_bytes().decode("latin-1")


def test_a_house_begun_on_this_computer_keeps_no_readable_name_from_the_first_one_on(
    tmp_path: Path,
) -> None:
    place = tmp_path / "house" / "new.misce"
    desk = create_house(place, House("h-1", "Fennel Row"), Person("p-1", "Ada", Post.PHARMACIST))
    with closing(cast("SqlStore", desk.store)) as store:
        with store.writing(ACT, "note") as writing:
            details = PatientDetails(allergies=("Zimtallergie",), telephone="555 0177")
            writing.put(Identity("x-9", Part.PATIENT, NAME, details))
        back_up(place, place.parent / "kept", MORNING)
        assert store.names_kept() == NamesKept(0, 1, opens=True, has_key=True, is_copied=False)
        said = everything(place.parent)
    for planted in (FIRST, LAST, "Zimtallergie", "555 0177"):
        assert planted not in said


def test_without_the_key_all_but_the_names_is_read_and_it_says_which_file_is_missing(
    house: Path,
) -> None:
    with closing(open_store(house)) as store:
        ensure_key()
        lot = made_for(store)
        kept = key_file().read_bytes()
        key_file().unlink()
        assert store.preparation(lot) is not None
        with pytest.raises(StoreTrouble) as told:
            store.every(Identity)
        assert told.value.message.key == "store.names.no_key"
        key_file().write_bytes(kept)
        assert {each.name for each in store.every(Identity)} == {NAME}


def test_without_the_key_records_are_checked_and_backed_up_and_no_name_is_added(
    house: Path,
) -> None:
    with closing(open_store(house)) as store:
        ensure_key()
        made_for(store)
        key_file().unlink()
        verdict = verify(store)
        assert (verdict.good, verdict.locked) == (True, 2)
        assert [each.key for each in verdict.notes] == ["verifying.locked"]
        assert back_up(house, house.parent / "kept", MORNING).number == verdict.entries
        for another in (False, True):
            if another:
                ensure_key()
            with pytest.raises(KeyMissing), store.writing(ACT, "note") as writing:
                writing.put(Identity("x-10", Part.PATIENT, "Another"))
        assert store.chain_head()[0] == verdict.entries


def test_the_command_puts_names_under_the_key_copies_it_and_takes_it_over(
    house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MISCE_PIN", "2580")
    who = ["--as", ADA.name, "--formulary", str(house)]
    copy = tmp_path / "elsewhere" / "copy.txt"
    with closing(open_store(house)) as store:
        made_for(store)
    assert main(["lock-names", *who]) == 0
    assert str(key_file()) in capsys.readouterr().out
    assert not is_copied()
    assert main(["names-key", "--copy", str(copy), *who]) == 0
    assert is_copied()
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    key_file().unlink()
    assert main(["names-key", "--take", str(copy), *who]) == 0
    assert "2 names" in capsys.readouterr().out
    with closing(open_store(house)) as store:
        assert {each.name for each in store.every(Identity)} == {NAME}


def test_what_goes_wrong_is_logged_without_what_was_typed(
    own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Whatever ran before in this process may log to a file already.
    own: list[logging.Handler] = []
    monkeypatch.setattr(logging.getLogger("misce"), "handlers", own)

    def looks_up(name: str) -> None:
        raise ValueError(f"no such patient: {name}")

    with pytest.raises(ValueError, match=LAST) as caught:
        looks_up(NAME)
    log = log_to_file()
    logging.getLogger("misce").error("not caught: %s", places(caught.value))
    for each in own:
        each.close()
    said = log.read_text("utf-8")
    assert "looks_up" in said
    assert LAST not in said + everything(own_home)
