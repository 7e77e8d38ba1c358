"""Whatever closes the database's file in this process takes its locks; nothing is lost by that.

https://sqlite.org/howtocorrupt.html, section 2.2, "Posix advisory locks canceled by a separate
thread doing close()".
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from formulary.errors import StoreTrouble
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from tests.helpers.kept import ACT

OPEN_AND_CLOSE = "import sys; from formulary.records.opening import open_store as o; s = o(sys.argv[1]); s.last_entry(); s.close()"  # noqa: E501


def look_at_the_files(path: Path) -> None:
    """Open and close each file of the formulary, as a dialog does to find out what it is."""
    for each in path.parent.glob(f"{path.name}*"):
        each.read_bytes()


def let_another_program_read(path: Path) -> None:
    subprocess.run([sys.executable, "-c", OPEN_AND_CLOSE, str(path)], check=True)


def entries(path: Path) -> int:
    """Return how many entries another program finds."""
    asked = OPEN_AND_CLOSE.replace("s.last_entry()", "print(s.chain_head()[0])")
    said = subprocess.run(
        [sys.executable, "-c", asked, str(path)], check=True, capture_output=True, text=True
    )
    return int(said.stdout)


def act(store: SqlStore) -> None:
    with store.writing(ACT, "look"):
        pass


def test_an_act_after_the_locks_were_lost_is_kept(sqlite_file: Path) -> None:
    store = open_store(sqlite_file)
    act(store)
    for count in (2, 3):
        look_at_the_files(sqlite_file)
        let_another_program_read(sqlite_file)
        act(store)
        assert entries(sqlite_file) == count
    assert verify(store).good
    store.close()


def test_reading_goes_on_by_what_others_wrote_meanwhile(sqlite_file: Path) -> None:
    store = open_store(sqlite_file)
    act(store)
    look_at_the_files(sqlite_file)
    other = OPEN_AND_CLOSE.replace(
        "s.last_entry()",
        "from tests.helpers.kept import ACT; c = s.writing(ACT, 'look'); c.__enter__(); "
        "c.__exit__(None, None, None)",
    )
    subprocess.run([sys.executable, "-c", other, str(sqlite_file)], check=True)
    newest = store.last_entry()
    assert newest is not None
    assert newest.number == 2
    store.close()


def test_what_is_written_while_the_log_goes_is_not_called_confirmed(sqlite_file: Path) -> None:
    store = open_store(sqlite_file)
    act(store)
    with pytest.raises(StoreTrouble), store.writing(ACT, "look"):
        Path(f"{sqlite_file}-wal").unlink()
    store.close()
    assert entries(sqlite_file) <= 1
