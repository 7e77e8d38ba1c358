"""A house in which somebody works without end, and tells each act the moment it is kept."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import count
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TypeAlias

from formulary.acts import Act
from formulary.bench.events import LabelsReconciled, QualityTested, Released, SentForRelease
from formulary.desk import Desk
from formulary.drafts import Draft
from formulary.formula.version import Version
from formulary.preparation import LabelPrint
from formulary.records.engine import sqlite_engine
from formulary.records.sql_store import SqlStore
from formulary.records.writing import SqlWriting
from formulary.stock.container import StockContainer
from formulary.stock.lot import SupplyLot
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import keep_draft, write_version
from tests.helpers.desks import ADA, BEN, CID, PIN, a_desk, at, furnished, give_reasons
from tests.helpers.kept import a_content
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, four_lines

STOCK = "70x35"
BUSY = "BUSY"


@dataclass(frozen=True, slots=True)
class Kept:
    """An act that was confirmed: its entry in the history, the drafts open then, prints so far."""

    number: int
    hash: str
    verb: str
    drafts: tuple[tuple[str, str], ...] = ()
    prints: int = 0


Tell: TypeAlias = Callable[[Kept], None]


class TellingStore(SqlStore):
    """A store on a file that tells each transaction when it has been committed, not before."""

    def __init__(self, path: Path, tell: Tell) -> None:
        super().__init__(sqlite_engine(path), str(path))
        self._tell = tell

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[SqlWriting]:
        with super().writing(act, verb) as writing:
            yield writing
        self._tell(kept_so_far(self, verb))


def kept_so_far(store: SqlStore, verb: str = "") -> Kept:
    """Return where a store's history stands, with what is easily counted beside it."""
    number, hashed = store.chain_head()
    drafts = tuple((each.id, each.fields) for each in store.every(Draft))
    return Kept(number, hashed, verb, drafts, len(store.every(LabelPrint)))


@dataclass
class Day:
    """One person's endless day of edits, versions, weighings, labels and releases."""

    desk: Desk
    chance: random.Random
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def works(self) -> Iterator[None]:
        """Take turns at writing a formula and at making a preparation, in an order by chance."""
        job = self._job()
        turns = [self._writes(), self._makes(job)]
        while True:
            next(self.chance.choice(turns))
            yield

    def _job(self) -> Job:
        store = self.desk.store
        version = next(each for each in store.every(Version) if each.content.code == BUSY)
        lots = {each.ingredient_id: each.id for each in store.every(SupplyLot)}
        held = {each.lot_id: each for each in store.every(StockContainer)}
        lines = [held[lots[line.ingredient_id]] for line in version.content.lines]
        return Job(at(self.desk, CID), version, lines)

    def _writes(self) -> Iterator[None]:
        """Type at a formula, keep it as a version, have it reviewed and put in use, again."""
        ada, ben = at(self.desk, ADA), at(self.desk, BEN)
        while True:
            number = next(self.numbers)
            formula = f"f-{number}-{self.chance.getrandbits(32)}"
            draft = Draft(formula, ADA.id, "", "", ada.act().at)
            for letters in range(1, self.chance.randint(2, 5)):
                typed = '{"title":"' + "z" * letters + '"}'
                draft = keep_draft(ada, replace(draft, fields=typed))
                yield
            content = a_content(f"Cream {formula}", formula)
            version = write_version(ada, content, formula_id=formula)
            yield
            send_to_review(ada, version.id)
            yield
            give_reasons(ben, version)
            put_in_use(ben, version.id, PIN)
            yield

    def _makes(self, job: Job) -> Iterator[None]:
        """Make, label and release one preparation after another."""
        while True:
            job.started()
            yield
            job.cleared()
            yield
            job.packed()
            yield
            issue_labels(job.desk, job.lot, STOCK, lambda _pages, _stock: None)
            yield
            for test in job.work.state.job.tests:
                record(job.desk, job.lot, QualityTested(test, "as it should be", passed=True))
            record(job.desk, job.lot, LabelsReconciled(job.made.containers, 0, 0))
            record(job.desk, job.lot, SentForRelease())
            yield
            record(at(job.desk, BEN), job.lot, Released(), pin=PIN)
            yield


def make_house(path: Path) -> None:
    """Furnish an empty file: a formula in use, and enough of its ingredients for a long day."""
    with_all = SqlStore(sqlite_engine(path), str(path))
    with with_all.at_once() as whole:
        content = replace(four_lines(), title="Busy cream", code=BUSY)
        a_job(a_stocked_house(a_desk(furnished(whole))), content, each=100_000)
    with_all.close()


def by_chance(seed: int) -> random.Random:
    """Return a source of chance that is the same in every run with this seed."""
    return random.Random(seed)  # noqa: S311  nothing secret


def work(path: Path, seed: int, tell: Tell) -> Iterator[None]:
    """Work in a house until nobody asks for more."""
    store = TellingStore(path, tell)
    tell(kept_so_far(store))
    return Day(a_desk(store), by_chance(seed)).works()


def work_until_killed(path: Path, seed: int, told: Connection) -> None:
    """Work in a process of its own; each confirmed act goes through a pipe at once."""
    for _ in work(path, seed, told.send):
        pass
