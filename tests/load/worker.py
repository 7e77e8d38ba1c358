"""One workstation of the load run, a process of its own: ``python -m tests.load.worker``.

It works through orders from the question to the hand-over until it has done its share of acts,
and says on its last line as JSON what it did.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass, field, replace

from formulary.acts import Act
from formulary.bench.events import Cancelled
from formulary.desk import Desk
from formulary.errors import Conflict, StoreTrouble
from formulary.formula.version import Version
from formulary.ingredient import Ingredient
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.records.writing import SqlWriting
from formulary.stock.container import StockContainer
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.reserve_blanks import reserve_blanks
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.take_order import take_order
from formulary.verbs.work_at_bench import record
from tests.helpers.desks import BEN, CID, PIN, a_desk, at
from tests.helpers.ordered import asked, checked
from tests.helpers.stocked_bench import Job

COUNTED = "i-urea"
"""The ingredient whose note all workstations count up, each over the others' shoulders."""


@dataclass
class Done:
    """What a workstation did; times are in seconds."""

    bench: str
    acts: int = 0
    lots: list[str] = field(default_factory=list)
    counted: int = 0
    conflicts: int = 0
    held_up: int = 0
    slowest: float = 0.0


class Counting(SqlStore):
    """A store that counts what was confirmed and how long it took."""

    done: Done

    @contextmanager
    def writing(self, act: Act, verb: str) -> Iterator[SqlWriting]:
        begun = time.perf_counter()
        with ExitStack() as whole:
            yield self._begun(whole, act, verb)
        self.done.acts += 1
        self.done.slowest = max(self.done.slowest, time.perf_counter() - begun)

    def _begun(self, whole: ExitStack, act: Act, verb: str) -> SqlWriting:
        """Begin an act; where others hold a file for too long, try again as a person would."""
        while True:
            try:
                return whole.enter_context(super().writing(act, verb))
            except StoreTrouble as trouble:
                if trouble.message.key != "store.trouble.locked":
                    raise
                self.done.held_up += 1


def main(url: str, number: int, share: int) -> None:
    """Work until the share is done, and say what was done."""
    opened = open_store(url)
    store = Counting(opened._engine, opened.place)
    store.done = Done(f"bench {number}")
    desk = replace(a_desk(store, CID), workstation=store.done.bench)
    chance = random.Random(number)  # noqa: S311  a seed, no secret
    version = next(each for each in store.every(Version) if each.number == 1)
    shelf = store.every(StockContainer)
    while store.done.acts < share:
        _work(desk, store.done, version, [*shelf], chance)
    print(json.dumps(asdict(store.done)))  # noqa: T201  its answer
    store.close()


def _work(
    desk: Desk, done: Done, version: Version, shelf: list[StockContainer], chance: random.Random
) -> None:
    _count_up(desk, done)
    if chance.random() < 0.1:
        order = Order("200 g")
        blanks = reserve_blanks(desk, version.id, order, 2, "for the night without a network")
        done.lots += [each.lot for each in blanks]
    taken = checked(desk, take_order(desk, asked(version.id, target="200 g")))
    order = Order("200 g", order_id=taken.id)
    job = Job(desk, version, shelf, start_preparation(desk, version.id, order).lot)
    done.lots.append(job.lot)
    if chance.random() < 0.1:
        record(at(desk, BEN), job.lot, Cancelled("the patient called it off"), pin=PIN)
        return
    job.cleared().released()
    hand_over_jars(desk, job.lot, [1])


def _count_up(desk: Desk, done: Done) -> None:
    """Read, add one and write, until nobody else wrote in between."""
    while True:
        ingredient = desk.store.get(Ingredient, COUNTED)
        assert ingredient is not None
        count = int(ingredient.note or "0") + 1
        try:
            with desk.writing("save_ingredient") as writing:
                writing.put(replace(ingredient, note=str(count)))
        except Conflict:
            done.conflicts += 1
        else:
            done.counted += 1
            return


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
