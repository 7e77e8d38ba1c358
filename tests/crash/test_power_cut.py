"""The power goes: what reached the disk ends anywhere, in the journal or in the file itself.

Each commit waits until its part of the write-ahead log is on disk, so a cut leaves a beginning of
the log. While the log is carried over into the file it stays whole, and the file is new as far as
the carrying over came. https://www.sqlite.org/wal.html
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import pytest

from formulary.records.schema import connected
from tests.crash.busy_house import Kept, work
from tests.crash.reopened import found_again

STEP = 512
"""Bytes of a disk's sector: so much is written whole or not at all."""

FULL = bool(os.environ.get("MISCE_FULL"))
ROUNDS = 26
SAMPLE = 40
GARBAGE = bytes(range(256)) * (8 * STEP // 256)


@dataclass(frozen=True, slots=True)
class Journal:
    """A house before its day, the log of the day, and how long the log was at each act."""

    before: bytes
    log: bytes
    acts: tuple[tuple[int, Kept], ...]
    after: bytes

    def last_within(self, length: int) -> Kept:
        """Return the last act that lies wholly within so many bytes of the log."""
        return next(kept for end, kept in reversed(self.acts) if end <= length)


@pytest.fixture(scope="module")
def journal(furnished_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Journal:
    """Work for a day, and note after each act how far its log went."""
    path = Path(shutil.copy(furnished_file, tmp_path_factory.mktemp("cut") / "house.misce"))
    log = beside(path)
    acts: list[tuple[int, Kept]] = []
    before = path.read_bytes()
    day = work(path, 7, lambda kept: acts.append((size(log), kept)))
    for _ in islice(day, ROUNDS):
        pass
    assert path.read_bytes() == before, "the log was carried over in the meantime"
    written = log.read_bytes()
    with closing(connected(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return Journal(before, written, tuple(acts), path.read_bytes())


def beside(path: Path) -> Path:
    """Return a database's write-ahead log."""
    return path.with_name(f"{path.name}-wal")


def size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


def lengths(end: int, sample: int = SAMPLE) -> range:
    """Return where to cut: at every sector in a long run, else at some of them, fairly spread."""
    return range(0, end, STEP if FULL else max(STEP, end // sample // STEP * STEP + STEP))


def reopened(folder: Path, data: bytes, log: bytes, last: Kept) -> None:
    """Lay a file and its log as the cut left them, and check what is found in them."""
    path = folder / "cut.misce"
    path.write_bytes(data)
    beside(path).write_bytes(log)
    found_again(path, last, at_most=0)
    for ending in ("-wal", "-shm"):
        Path(f"{path}{ending}").unlink(missing_ok=True)


def test_a_day_fills_the_log(journal: Journal) -> None:
    verbs = {kept.verb for _, kept in journal.acts}
    assert {"keep_draft", "write_version", "weigh_line", "issue_labels", "release"} <= verbs
    assert journal.acts[-1][0] == len(journal.log)


def test_a_log_that_ends_anywhere_keeps_every_act_before_it(
    journal: Journal, tmp_path: Path, record_property: Callable[[str, int], None]
) -> None:
    cuts = lengths(len(journal.log))
    record_property("places at which the log was cut", len(cuts))
    for length in cuts:
        reopened(tmp_path, journal.before, journal.log[:length], journal.last_within(length))


def test_a_log_cut_right_at_an_act_and_a_byte_before(journal: Journal, tmp_path: Path) -> None:
    acts = journal.acts[1:] if FULL else journal.acts[1::6]
    for end, kept in acts:
        reopened(tmp_path, journal.before, journal.log[:end], kept)
        earlier = journal.last_within(end - 1)
        reopened(tmp_path, journal.before, journal.log[: end - 1], earlier)


def test_a_log_whose_last_sectors_hold_something_else(journal: Journal, tmp_path: Path) -> None:
    for length in lengths(len(journal.log), SAMPLE // 4):
        torn = journal.log[:length] + GARBAGE
        reopened(tmp_path, journal.before, torn, journal.last_within(length))


def test_a_file_that_was_being_brought_up_to_date_anywhere(
    journal: Journal, tmp_path: Path, record_property: Callable[[str, int], None]
) -> None:
    *_, (_, last) = journal.acts
    cuts = lengths(len(journal.after), SAMPLE // 2)
    record_property("places at which the file was half new", len(cuts))
    for length in cuts:
        half = journal.after[:length] + journal.before[length:]
        reopened(tmp_path, half, journal.log, last)
