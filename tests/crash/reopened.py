"""What must hold of a file that is opened again after the plug was pulled."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from formulary.preparation import Preparation
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.work_at_bench import at_bench
from tests.crash.busy_house import Kept, kept_so_far


def found_again(path: Path, last: Kept, *, at_most: int = 1) -> Kept:
    """Check a reopened file against the last confirmed act; return where its history stands.

    Every confirmed act is there, at most so many that nobody was told of beside them, and nothing
    is half there.
    """
    with closing(open_store(path)) as store:
        found = kept_so_far(store)
        assert last.number <= found.number <= last.number + at_most
        verdict = verify(store)
        assert verdict.doubts == ()
        assert (verdict.entries, verdict.head) == (found.number, found.hash)
        if found.number == last.number:
            assert (found.hash, found.drafts, found.prints) == (last.hash, last.drafts, last.prints)
        else:
            assert store.history(last.number - 1, 1)[0].hash == last.hash
        every_bench_goes_on(store)
    return found


def every_bench_goes_on(store: SqlStore) -> None:
    """Check that each preparation stands where its events say."""
    for made in store.every(Preparation):
        work = at_bench(store, made.lot)
        assert (work.state.stage, work.state.workstation) == (made.stage, made.workstation)
