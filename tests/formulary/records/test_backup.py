"""Backups are made while the formulary is in use, tried, dropped by turns and put back."""

from __future__ import annotations

import shutil
import stat
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from formulary.backups import BackupPlan, folder_of, named
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, StoreTrouble
from formulary.house import House
from formulary.people import Person, Post
from formulary.records.backup import back_up, backups_in, rotate
from formulary.records.opening import open_store
from formulary.records.restoring import Tried, restore, tried
from formulary.records.schema import connected
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verifying import Flaw
from tests.helpers.desks import Stopped
from tests.helpers.kept import ACT

NOW = datetime(2026, 3, 31, 12, tzinfo=UTC)


@pytest.fixture
def house(sample_file: Path, tmp_path: Path) -> Path:
    """Return a sample pharmacy of this test's own."""
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def store(house: Path) -> Iterator[SqlStore]:
    """Open it, as a window has it open."""
    with closing(open_store(house)) as opened:
        yield opened


def look(store: SqlStore, reason: str = "") -> None:
    with store.writing(ACT, f"look {reason}".strip()):
        pass


def at_desk(found: Tried, post: Post = Post.ADMINISTRATOR) -> Desk:
    """Return the desk of somebody in the backup's house."""
    person = next(each for each in found.store.every(Person) if each.post is post)
    return Desk(found.store, Stopped(NOW), person, "bench 1", signed_in=True)


def ends(path: Path) -> tuple[int, str]:
    with closing(open_store(path)) as store:
        return store.chain_head()


def test_a_backup_of_an_open_formulary_holds_what_was_confirmed(
    house: Path, store: SqlStore, tmp_path: Path
) -> None:
    look(store)
    backup = back_up(house, tmp_path / "b", NOW)
    assert (backup.number, backup.hash) == store.chain_head()
    (file,) = (tmp_path / "b").iterdir()
    assert named(file.name) is not None
    assert ends(Path(shutil.copy(file, tmp_path / "copy.misce"))) == store.chain_head()


def test_only_its_owner_may_read_a_backup(house: Path, tmp_path: Path) -> None:
    back_up(house, tmp_path / "b", NOW)
    (file,) = (tmp_path / "b").iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "b").stat().st_mode) == 0o700


def test_a_copy_that_isn_t_as_its_history_says_is_no_backup(house: Path) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("UPDATE history SET reason = 'x'")
    with pytest.raises(StoreTrouble, match="not_good"):
        back_up(house, folder_of(house), NOW)
    assert [*folder_of(house).iterdir()] == []


def test_whoever_cancels_leaves_nothing(house: Path, tmp_path: Path) -> None:
    class Cancelled(Exception): ...

    def cancel(_done: int, _all: int) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        back_up(house, tmp_path / "b", NOW, progress=cancel)
    assert [*(tmp_path / "b").iterdir()] == []


def test_older_backups_go_by_turns(house: Path, store: SqlStore, tmp_path: Path) -> None:
    for hours in range(6):
        look(store)
        back_up(house, tmp_path, NOW + timedelta(hours=hours))
    dropped = rotate(tmp_path, BackupPlan(newest=2, days=1, weeks=1, months=1))
    assert len(dropped) == 4
    kept = backups_in(tmp_path)
    assert [each.at for each in kept] == [NOW + timedelta(hours=5), NOW + timedelta(hours=4)]


def test_a_backup_is_put_back_and_the_replaced_file_kept(
    house: Path, store: SqlStore, tmp_path: Path
) -> None:
    backup = back_up(house, tmp_path / "b", NOW)
    look(store, "afterwards")
    later = store.chain_head()
    store.close()
    with tried(tmp_path / "b" / backup.name, beside=house) as found:
        assert found.verdict.good
        assert found.held.formulas >= 24
        aside = restore(found, house, at_desk(found))
    assert aside is not None
    assert ends(aside) == later
    with closing(open_store(house)) as restored:
        assert restored.chain_head()[0] == backup.number + 1
        assert [each.verb for each in restored.history(backup.number)] == ["restore"]
        assert restored.every(House)


def started(place: Path) -> str:
    """Start a preparation in a formulary and return its lot."""
    with closing(open_store(place)) as store:
        person = next(each for each in store.every(Person) if each.post is Post.PHARMACIST)
        desk = Desk(store, Stopped(NOW), person, "bench 1", signed_in=True)
        (hit,) = store.find_formulas("zinc paste", 1)
        version = store.versions(hit.formula_id)[-1]
        return start_preparation(desk, version.id, Order("2 x 60 g")).lot


def checked(place: Path) -> bool:
    with closing(open_store(place)) as store:
        return verify(store).good


def test_numbers_given_since_the_backup_are_not_given_again(house: Path, tmp_path: Path) -> None:
    backup = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    first, second = started(house), started(house)
    with tried(backup, beside=house) as found:
        restore(found, house, at_desk(found))
    with closing(open_store(house)) as store:
        assert not store.register()
        (entry,) = (each for each in store.history(limit=1_000) if each.verb == "restore")
        assert f"lot 2026: {int(second[-5:])}" in entry.details
    assert checked(house)
    third = started(house)
    assert int(third[-5:]) == int(second[-5:]) + 1 == int(first[-5:]) + 2
    assert checked(house)


def test_where_nobody_knows_the_numbers_given_since_a_hundred_are_left_out(
    house: Path, tmp_path: Path
) -> None:
    backup = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    lost = started(house)
    house.write_bytes(b"not a database")
    with tried(backup, beside=house) as found:
        restore(found, house, at_desk(found))
    assert int(started(house)[-5:]) == int(lost[-5:]) + 100
    assert checked(house)


def test_a_backup_of_what_was_replaced_is_no_alarm_where_that_is_kept_and_a_doubt_where_not(
    house: Path, tmp_path: Path
) -> None:
    first = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    started(house)
    second = back_up(house, tmp_path / "b", NOW + timedelta(hours=1))
    with tried(first, beside=house) as found:
        aside = restore(found, house, at_desk(found))
    assert aside is not None
    anchors = [each.anchor for each in backups_in(tmp_path / "b")]
    with closing(open_store(house)) as store:
        verdict = verify(store, anchors)
        assert verdict.good
        (note,) = verdict.notes
        assert (note.key, dict(note.parameters)["what"]) == ("verifying.of_replaced", second.name)
        with closing(connected(aside)) as connection, connection:
            connection.execute("DROP TRIGGER history_no_update")
            connection.execute("UPDATE history SET reason = 'x' WHERE number = 1")
        assert [each.flaw for each in verify(store, anchors).doubts] == [Flaw.RESTORED]
        aside.unlink()
        assert [each.flaw for each in verify(store, anchors).doubts] == [Flaw.RESTORED]


def test_what_was_put_aside_is_read_but_nobody_works_in_it(house: Path, tmp_path: Path) -> None:
    backup = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    with tried(backup, beside=house) as found:
        aside = restore(found, house, at_desk(found))
    assert aside is not None
    assert checked(aside)
    with pytest.raises(StoreTrouble, match="put_aside"):
        started(aside)
    assert started(aside.rename(tmp_path / "again.misce"))


def test_a_lost_formulary_is_put_back(house: Path, tmp_path: Path) -> None:
    backup = back_up(house, tmp_path / "b", NOW)
    house.unlink()
    with tried(tmp_path / "b" / backup.name, beside=house) as found:
        assert restore(found, house, at_desk(found)) is None
    assert ends(house)[0] == backup.number + 1


def test_a_damaged_formulary_is_put_aside_as_it_is(house: Path, tmp_path: Path) -> None:
    backup = back_up(house, tmp_path / "b", NOW)
    house.write_bytes(b"not a database any more" * 1000)
    with tried(tmp_path / "b" / backup.name, beside=house) as found:
        aside = restore(found, house, at_desk(found))
    assert aside is not None
    assert aside.read_bytes().startswith(b"not a database")
    assert ends(house)[0] == backup.number + 1


def test_nothing_is_replaced_while_another_program_works_in_it(
    house: Path, store: SqlStore, tmp_path: Path
) -> None:
    backup = back_up(house, tmp_path / "b", NOW)
    with (
        store.writing(ACT, "work"),
        tried(tmp_path / "b" / backup.name, beside=house) as found,
        pytest.raises(StoreTrouble, match="still_open"),
    ):
        restore(found, house, at_desk(found))
    assert ends(house)[0] == backup.number + 1
    assert not [*house.parent.glob("*.replaced-*")]


def test_looking_at_a_backup_changes_nothing(house: Path, tmp_path: Path) -> None:
    backup = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    before = backup.read_bytes()
    with tried(backup) as found:
        assert found.last is not None
    assert backup.read_bytes() == before


def test_a_backup_that_was_changed_is_found_by_its_name(house: Path, tmp_path: Path) -> None:
    backup = tmp_path / "b" / back_up(house, tmp_path / "b", NOW).name
    with closing(open_store(backup)) as opened:
        look(opened)
    renamed = backup.with_name(backup.name.replace("-1-", "-2-"))
    backup.replace(renamed)
    with tried(renamed) as found:
        assert not found.verdict.good
        with pytest.raises(StoreTrouble, match="not_good"):
            restore(found, house, at_desk(found))


def test_under_a_passphrase_it_opens_with_that_only(house: Path, tmp_path: Path) -> None:
    backup = back_up(house, tmp_path / "b", NOW, "correct horse")
    file = tmp_path / "b" / backup.name
    assert file.read_bytes().startswith(b"age-encryption.org/v1\n")
    with pytest.raises(Forbidden, match="wrong_passphrase"), tried(file, "battery staple"):
        pass
    with tried(file, "correct horse") as found:
        assert found.verdict.good


def test_a_backup_that_isn_t_there_gets_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="none_there"), tried(tmp_path / "gone.backup"):
        pass


def test_a_folder_that_can_t_be_made_gets_a_sentence(house: Path) -> None:
    with pytest.raises(StoreTrouble, match="cannot_open"):
        back_up(house, house / "below", NOW)


def test_whoever_only_works_at_the_bench_can_t_restore(house: Path, tmp_path: Path) -> None:
    backup = back_up(house, tmp_path / "b", NOW)
    before = house.read_bytes()
    with (
        tried(tmp_path / "b" / backup.name, beside=house) as found,
        pytest.raises(Forbidden, match="may_not"),
    ):
        restore(found, house, at_desk(found, Post.TECHNICIAN))
    assert house.read_bytes() == before


def test_what_is_no_backup_is_named_as_it_was_given(tmp_path: Path) -> None:
    other = tmp_path / "diary.backup"
    other.write_text("Dear diary, " * 200)
    with pytest.raises(StoreTrouble) as caught, tried(other):
        pass
    assert dict(caught.value.message.parameters)["place"] == str(other)
