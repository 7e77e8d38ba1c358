"""A planted name is nowhere but in the identity table, and under a key not even in the file."""

from __future__ import annotations

import logging
import stat
from contextlib import closing
from pathlib import Path

import pytest

from formulary import opening
from formulary.command_line import main
from formulary.errors import StoreTrouble
from formulary.house import House
from formulary.labels.content import jar_of
from formulary.log import log_to_file
from formulary.patient import PatientDetails
from formulary.people import Identity, Part
from formulary.records.backup import back_up
from formulary.records.name_key import key_file, own_key
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.issue_labels import issue_labels, label_contents
from formulary.verbs.lock_names import keep_names_under
from formulary.verbs.start_preparation import Order, start_preparation
from tests.crash.busy_house import STOCK, Day, by_chance
from tests.helpers.desks import ADA, MORNING, a_desk, at
from tests.helpers.formulas import a_house
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


@pytest.fixture
def new_house(tmp_path: Path) -> Path:
    """Return a house as the program begins it, ready to work in."""
    path = tmp_path / "begun" / "house.misce"
    begun = opening.create_house(path, a_house(), ADA)
    store = begun.store
    patient = Identity("x-9", Part.PATIENT, NAME, PatientDetails(allergies=("Zimtallergie",)))
    with store.writing(ACT, "note") as writing:
        writing.put(patient)
    store.close()
    return path


def test_a_house_keeps_names_under_its_key_from_the_first(new_house: Path) -> None:
    with closing(open_store(new_house)) as store:
        (house,) = store.every(House)
        assert house.names_key == own_key()
        assert [each.name for each in store.every(Identity)] == [NAME]
        assert verify(store).good
        said = everything(new_house.parent)
    for planted in (FIRST, LAST, "Zimtallergie"):
        assert planted not in said


def test_all_houses_of_a_computer_share_its_key_but_the_sample_pharmacy_has_none(
    tmp_path: Path, new_house: Path
) -> None:
    before = key_file().read_bytes()
    other = opening.create_house(tmp_path / "other.misce", a_house(), ADA)
    sample = opening.create_sample(tmp_path / "sample.misce", worked=False)
    with closing(open_store(new_house)) as store:
        assert [each.names_key for each in store.every(House)] == [other.house.names_key]
    assert key_file().read_bytes() == before
    assert sample.house.names_key == ""
    with sample.store.writing(ACT, "note") as writing:
        writing.put(Identity("x-1", Part.PATIENT, NAME))
    key_file().unlink()
    assert NAME in [each.name for each in sample.store.every(Identity)]
    for desk in (other, sample):
        desk.store.close()


def test_under_a_key_the_file_and_its_backup_hold_no_name(house: Path, own_home: Path) -> None:
    with closing(open_store(house)) as store:
        keep_names_under(at(a_desk(store), ADA), own_key())
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
        assert keep_names_under(at(a_desk(store), ADA), own_key()) == 2
        assert {each.name for each in store.every(Identity)} == {NAME}
        assert verify(store).good
    assert LAST not in house.read_bytes().decode("latin-1")


def test_without_the_key_all_but_the_names_is_read_and_it_says_which_file_is_missing(
    house: Path,
) -> None:
    with closing(open_store(house)) as store:
        keep_names_under(at(a_desk(store), ADA), own_key())
        lot = made_for(store)
        kept = key_file().read_bytes()
        key_file().unlink()
        assert store.preparation(lot) is not None
        with pytest.raises(StoreTrouble) as told:
            store.every(Identity)
        assert told.value.message.key == "store.names.no_key"
        key_file().write_bytes(kept)
        assert {each.name for each in store.every(Identity)} == {NAME}


def test_a_key_of_another_house_reads_nothing_and_nothing_is_kept_under_it(
    new_house: Path,
) -> None:
    key_file().unlink()
    own_key()
    with closing(open_store(new_house)) as store:
        with pytest.raises(StoreTrouble):
            store.every(Identity)
        with pytest.raises(StoreTrouble), store.writing(ACT, "note") as writing:
            writing.put(Identity("x-2", Part.PATIENT, NAME))
        assert LAST not in everything(new_house.parent)


def test_the_command_puts_names_under_a_key_once(
    house: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MISCE_PIN", "2580")
    command = ["lock-names", "--as", ADA.name, "--formulary", str(house)]
    assert main(command) == 0
    assert str(key_file()) in capsys.readouterr().out
    assert main(command) == 1
    assert "already" in capsys.readouterr().err


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
