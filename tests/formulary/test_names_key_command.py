"""The key of the names: copied, taken over elsewhere, and missed aloud where it lacks."""

from __future__ import annotations

import shutil
import stat
from pathlib import Path

import pytest

from formulary import opening
from formulary.backups import folder_of
from formulary.command_line import main
from formulary.people import Identity, Part
from formulary.records.backup import back_up
from formulary.records.name_key import has_key, key_file, own_key
from formulary.records.opening import open_store
from tests.helpers.desks import ADA, CID, MORNING
from tests.helpers.formulas import a_house
from tests.helpers.kept import ACT

NAME = "Ottoline Zimtsternchen"


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a house as the program begins it, with one name in it."""
    monkeypatch.setenv("MISCE_PIN", "2580")
    path = tmp_path / "house.misce"
    store = opening.create_house(path, a_house(), ADA).store
    with store.writing(ACT, "note") as writing:
        writing.put(CID)
        writing.put(Identity("x-9", Part.PATIENT, NAME))
    store.close()
    return path


@pytest.fixture
def copy(house: Path, tmp_path: Path) -> Path:
    """Return a copy of its key, whose computer is lost: this one has none."""
    saved = tmp_path / "kept-apart.key"
    assert misce(house, "names-key", "--save", str(saved)) == 0
    key_file().unlink()
    return saved


def misce(house: Path, *words: str, person: str = ADA.name) -> int:
    """Call the command for a house."""
    return main([*words, "--as", person, "--formulary", str(house)])


def names(house: Path) -> list[str]:
    """Return the names in a house."""
    store = open_store(house)
    try:
        return [each.name for each in store.every(Identity)]
    finally:
        store.close()


def test_a_copy_is_saved_for_its_owner_alone_and_that_is_on_record(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    saved = tmp_path / "kept-apart.key"
    assert misce(house, "names-key") == 0
    assert "no copy was saved" in capsys.readouterr().out
    assert misce(house, "names-key", "--save", str(saved)) == 0
    assert stat.S_IMODE(saved.stat().st_mode) == 0o600
    assert key_file().read_text("utf-8").strip() in saved.read_text("utf-8")
    capsys.readouterr()
    assert misce(house, "names-key") == 0
    assert "a copy of it was saved" in capsys.readouterr().out
    store = open_store(house)
    last = store.last_entry()
    assert last is not None
    assert (last.verb, last.act.person) == ("save_names_key", ADA.name)
    assert "AGE-SECRET" not in "".join(each.details for each in store.history())
    store.close()


def test_a_technician_carries_no_key(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    saved = tmp_path / "kept-apart.key"
    assert misce(house, "names-key", "--save", str(saved), person=CID.name) == 1
    assert "pharmacist" in capsys.readouterr().err
    assert not saved.exists()


def test_where_a_copy_cannot_be_written_none_counts_as_saved(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert misce(house, "names-key", "--save", str(tmp_path / "nowhere" / "x.key")) == 1
    assert "can't be written" in capsys.readouterr().err
    assert misce(house, "names-key") == 0
    assert "no copy was saved" in capsys.readouterr().out


def test_another_computer_takes_the_key_over_beside_its_own(
    house: Path, copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = own_key()
    assert misce(house, "names-key") == 0
    assert "names-key --take" in capsys.readouterr().out
    assert misce(house, "names-key", "--take", str(copy)) == 0
    assert names(house) == [NAME]
    assert has_key(own)
    assert own_key() == own, "what begins here goes on under this computer's own key"


@pytest.mark.parametrize("wrong", ["", "Dear colleague,\n", "AGE-SECRET-KEY-1NONSENSE\n"])
def test_a_file_without_a_key_is_refused_by_its_name(
    house: Path, copy: Path, wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    copy.write_text(wrong, "utf-8")
    assert misce(house, "names-key", "--take", str(copy)) == 1
    assert f"{copy} holds no key" in capsys.readouterr().err
    assert not key_file().exists()


def test_the_key_of_another_house_is_refused(
    house: Path, copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own_key()
    other = tmp_path / "other.key"
    other.write_bytes(key_file().read_bytes())
    assert misce(house, "names-key", "--take", str(other)) == 1
    assert "not the one" in capsys.readouterr().err
    assert copy.exists()


def test_without_the_key_verify_and_restore_check_all_else_and_say_so(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_of(house)
    backup = folder / back_up(house, folder, MORNING).name
    saved = tmp_path / "kept-apart.key"
    saved.write_bytes(key_file().read_bytes())
    key_file().unlink()
    assert misce(house, "verify") == 0
    assert "names of patients and prescribers couldn't be compared" in capsys.readouterr().out
    elsewhere = tmp_path / "elsewhere.misce"
    assert main(["restore", str(backup), "--as", ADA.name, "--formulary", str(elsewhere)]) == 0
    assert "key that isn't on this computer" in capsys.readouterr().out
    key_file().write_bytes(saved.read_bytes())
    assert names(elsewhere) == [NAME]
    assert misce(elsewhere, "verify") == 0
    assert "couldn't be compared" not in capsys.readouterr().out


def test_with_the_key_a_name_that_was_written_over_shows(
    house: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = open_store(house)
    with store.session() as session:
        session.connection().exec_driver_sql("UPDATE identity SET name = 'age:AAAA'")
        session.commit()
    store.close()
    assert misce(house, "verify") == 1
    assert "identity x-9" in capsys.readouterr().out


def test_a_house_that_is_read_in_elsewhere_says_where_its_key_has_to_come_from(
    house: Path, copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere.misce"
    assert misce(house, "export", "--everything", "--out", str(out)) == 0
    assert NAME not in (out / "house.jsonl").read_text("utf-8")
    capsys.readouterr()
    given = ["import", "--everything", str(out / "house.jsonl"), "--as", ADA.name]
    assert main([*given, "--formulary", str(elsewhere)]) == 0
    assert "names-key --take" in capsys.readouterr().out
    assert misce(elsewhere, "names-key", "--take", str(copy)) == 0
    assert names(elsewhere) == [NAME]


def test_whoever_moves_a_house_hears_that_other_computers_need_the_key(
    house: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert misce(house, "move", "--to", str(tmp_path / "moved.misce")) == 0
    assert "names-key --save" in capsys.readouterr().out


def test_of_the_sample_pharmacy_it_says_that_its_names_can_be_read(
    sample_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sample = Path(shutil.copy(sample_file, sample_file.with_name("copied.misce")))
    assert main(["names-key", "--formulary", str(sample)]) == 0
    assert "can be read by whoever has its file" in capsys.readouterr().out
