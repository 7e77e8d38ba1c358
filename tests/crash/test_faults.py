"""A disk that is full or can't be written, a file that is locked, newer or damaged.

Each is the real fault, and each has a sentence and a way on at the command line.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from formulary.command_line import main
from formulary.errors import FormularyError, StoreTrouble
from formulary.records.backup import back_up
from formulary.records.opening import open_store
from formulary.records.schema import connected
from tests.crash.busy_house import Kept, work
from tests.crash.reopened import found_again
from tests.crash.small_disk import MEGABYTE, read_only, small_disk
from tests.crash.spoilt import FAULTS
from tests.helpers.kept import ACT

NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)


@pytest.fixture
def disk(tmp_path: Path, furnished_file: Path) -> Iterator[Path]:
    """Return a house on a disk with room for little more than itself."""
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder, furnished_file.stat().st_size + MEGABYTE) as mounted:
        if not mounted:
            pytest.skip("this user may mount no disk")
        yield Path(shutil.copy(furnished_file, folder / "house.misce"))


def worked_until_full(house: Path) -> Kept:
    """Work until there is no room left, and return the last act that was confirmed."""
    acts: list[Kept] = []
    day = work(house, 3, acts.append)
    with pytest.raises(StoreTrouble) as told:
        for _ in day:
            pass
    assert told.value.message.key == "store.trouble.disk_full"
    return acts[-1]


def test_a_full_disk_keeps_what_was_confirmed_and_goes_on_once_there_is_room(disk: Path) -> None:
    ballast = disk.with_name("ballast")
    ballast.write_bytes(b"\0" * (MEGABYTE // 2))
    last = worked_until_full(disk)
    assert last.number > 20
    ballast.unlink()
    found_again(disk, last, at_most=0)
    acts: list[Kept] = []
    next(work(disk, 4, acts.append))
    assert acts[-1].number > last.number


def test_a_full_disk_takes_no_backup_and_leaves_no_half_of_one(disk: Path) -> None:
    disk.with_name("ballast").write_bytes(b"\0" * (MEGABYTE - 200_000))
    folder = disk.parent / "backups"
    with pytest.raises(StoreTrouble) as told:
        back_up(disk, folder, NOW)
    assert told.value.message.key == "store.trouble.disk_full"
    assert [*folder.iterdir()] == []


def test_what_can_t_be_written_says_so_and_goes_on_once_it_can(
    tmp_path: Path, furnished_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "disk"
    folder.mkdir()
    with small_disk(folder, 4 * MEGABYTE) as mounted:
        if not mounted and os.geteuid() == 0:
            pytest.skip("nothing is read-only to this user")
        house = Path(shutil.copy(furnished_file, folder / "house.misce"))
        with read_only(folder, mounted=mounted):
            assert main(["find", "cream", "--formulary", str(house)]) == 1
            assert "written" in capsys.readouterr().err
        assert main(["find", "cream", "--formulary", str(house)]) == 0


def test_a_file_that_another_program_holds_says_so_and_goes_on_after(house: Path) -> None:
    with closing(open_store(house)) as store:
        with closing(connected(house)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreTrouble) as told, store.writing(ACT, "look"):
                pass
        assert told.value.message.key == "store.trouble.locked"
        with store.writing(ACT, "look"):
            pass


@pytest.mark.parametrize(("spoil", "key"), FAULTS)
def test_the_command_line_says_what_is_wrong_and_restore_is_the_way_on(
    house: Path,
    spoil: Callable[[Path], None],
    key: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    backup = back_up(house, house.parent / "kept", NOW)
    spoil(house)
    with pytest.raises(FormularyError) as told:
        open_store(house).close()
    assert told.value.message.key == key
    assert main(["find", "cream", "--formulary", str(house)]) == 1
    said = capsys.readouterr().err
    assert str(house) in said
    assert "Traceback" not in said
    monkeypatch.setenv("MISCE_PIN", "2580")
    place = str(house.parent / "kept" / backup.name)
    assert main(["restore", place, "--as", "Ada Berg", "--formulary", str(house)]) == 0
    assert main(["find", "cream", "--formulary", str(house)]) == 0
