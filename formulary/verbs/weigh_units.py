"""Judge single masses: twenty by the pharmacopoeia, all of a smaller batch by the house's rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Unpack

from formulary.bench.events import QualityTested
from formulary.bench.quality import HouseRule, Outcome, uniformity, units_in, weights_needed
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.verbs.work_at_bench import AtBench, Backing, at_bench, record


def rule_of(house: House) -> HouseRule | None:
    """Return the house's rule for fewer than twenty units, None where it has none."""
    name = house.small_batch_rule.strip()
    return HouseRule(name, house.small_batch_outside) if name else None


def units_to_weigh(work: AtBench) -> int:
    """Return how many single masses are taken. Raises Refusal where nothing is in units."""
    made = units_in(work.job.plan)
    if made is None:
        raise Refusal(message("bench.quality.no_units"))
    return weights_needed(made)


def judged(work: AtBench, weights: Sequence[Amount], house: House) -> Outcome:
    """Return the verdict on single masses. Raises as :func:`uniformity` says."""
    made = units_in(work.job.plan)
    if made is None:
        raise Refusal(message("bench.quality.no_units"))
    return uniformity(work.content.form, weights, made, rule_of(house))


def weigh_units(
    desk: Desk, lot: str, test: str, weights: Sequence[Amount], **backing: Unpack[Backing]
) -> AtBench:
    """Record the single masses with their verdict; one that fails opens a deviation."""
    house = desk.house
    found = judged(at_bench(desk.store, lot), weights, house)
    said = Catalogue(house.language, house.decimal_sign).text(found.steps[-1])
    tested = QualityTested(test, said, found.passed, weights=tuple(weights))
    return record(desk, lot, tested, **backing)
