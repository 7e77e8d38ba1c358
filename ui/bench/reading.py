"""What the page reads on the worker: the open preparations, and one of them with its shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from fractions import Fraction

from formulary.bench.balance_checks import why_not
from formulary.bench.evaporating import Evaporates, weighed_since
from formulary.bench.event_text import event_of
from formulary.bench.original import OnPaper, Original
from formulary.bench.rules_mixtures import lacks_mixture
from formulary.bench.stages import BEFORE_RELEASE, Stage
from formulary.bench.to_do import Task, to_do
from formulary.desk import Desk
from formulary.errors import BadText, NotFound
from formulary.ingredient import Ingredient
from formulary.messages import Message
from formulary.preparation import Preparation
from formulary.stock.choosing import in_order
from formulary.stock.counting import CountedGood, Sort
from formulary.stock.lot import Source
from formulary.stock.shelf import Holding
from formulary.verbs.check_balance import checks_on, entry_of
from formulary.verbs.fit_for_work import why_not_alone
from formulary.verbs.line_cautions import evaporating, line_cautions
from formulary.verbs.look_up_stock import container_numbered, holding_of, holdings_of_ingredient
from formulary.verbs.note_equipment import Surroundings, surroundings
from formulary.verbs.weigh_line import factor_at, mixture_factor, wanted_of
from formulary.verbs.work_at_bench import AtBench, at_bench

AT_WORK = (Stage.BENCH_CLEARED, Stage.IN_WORK)
BEFORE_WORK = (Stage.PLANNED, Stage.PLAN_CHECKED)
MOST_OFFERED = 3


class Backed(OnPaper, total=False):
    """What backs an act by what is in view."""

    seen: int


@dataclass(frozen=True, slots=True)
class InView:
    """Which preparation is in view, and the last event of it that is.

    ``original`` is what the paper says of what is entered from it, None for what is done now.
    """

    lot: str
    seen: int
    original: Original | None = None

    @property
    def backing(self) -> Backed:
        """What backs an act: what was seen, and what the paper says."""
        if self.original is None:
            return {"seen": self.seen}
        return {"seen": self.seen, "original": self.original}


@dataclass(frozen=True, slots=True)
class Work:
    """A preparation at the bench, and what the house says of it.

    ``unfit`` says by balance why nothing may be weighed on it on the day of the work, ``factors``
    what is weighed of a staged container's lot for one of what is declared, by line and container,
    ``cautions`` what each line's ingredient is taken for and how it is handled, ``vapours`` what it
    gives off. ``goods`` are the containers that are counted here, ``made_here`` what a base or
    trituration can become on the shelf. ``around`` is what is seen before the bench is cleared,
    ``not_alone`` why the person at the desk needs somebody beside.
    """

    at: AtBench
    unfit: Mapping[str, Message] = field(default_factory=dict)
    factors: Mapping[tuple[int, str], Fraction] = field(default_factory=dict)
    cautions: tuple[tuple[Message, ...], ...] = ()
    vapours: tuple[Evaporates, ...] = ()
    goods: tuple[CountedGood, ...] = ()
    made_here: tuple[Ingredient, ...] = ()
    around: Surroundings | None = None
    not_alone: Message | None = None

    @property
    def lot(self) -> str:
        """The preparation's lot."""
        return self.at.preparation.lot

    @property
    def in_view(self) -> InView:
        """What is seen of it."""
        return InView(self.lot, self.at.state.events)

    def weighed_since(self, vessel: str) -> bool:
        """Whether a vessel was weighed after anything last went in."""
        return weighed_since((event_of(each.event) for each in self.at.events), vessel)

    def tasks(self, moment: datetime) -> tuple[Task, ...]:
        """Return what can be done at a moment."""
        return to_do(self.at.state, moment)

    def moved(self, after: AtBench) -> Work:
        """Return it as it stands after one more event."""
        return replace(self, at=after)

    def with_factor(self, line: int, container: str, factor: Fraction) -> Work:
        """Return it with what a staged container's lot counts for."""
        return replace(self, factors={**self.factors, (line, container): factor})


@dataclass(frozen=True, slots=True)
class Listed:
    """What is open, the lot in work at this workstation, and why balances aren't fit today."""

    open: tuple[Preparation, ...]
    here: str
    unfit: tuple[Message, ...]


def listed_here(desk: Desk) -> Listed:
    """Return what the page shows before anything is chosen."""
    return Listed(open_work(desk), at_this_bench(desk), tuple(unfit(desk, desk.today).values()))


def open_work(desk: Desk) -> tuple[Preparation, ...]:
    """Return what isn't released yet, in the order of stages, then of lots."""
    return tuple(
        each
        for stage in BEFORE_RELEASE
        for each in sorted(
            desk.store.having(Preparation, stage=stage.value), key=lambda found: found.lot
        )
    )


def at_this_bench(desk: Desk) -> str:
    """Return the lot that is in work at this workstation, nothing where none is."""
    for stage in AT_WORK:
        here = desk.store.having(Preparation, stage=stage.value, workstation=desk.workstation)
        if here:
            return here[0].lot
    return ""


def read_work(desk: Desk, lot: str) -> Work:
    """Return a preparation by its lot, or by the code of one of its jars. Raises NotFound."""
    found = at_bench(desk.store, lot.strip().partition("/")[0])
    lines = [each.line for each in found.state.job.plan.lines]
    goods = [each for each in desk.store.every(CountedGood) if each.sort is Sort.CONTAINER]
    work = Work(
        found,
        unfit(desk, _day(desk, found)),
        _factors(desk, found),
        line_cautions(desk.store, lines),
        evaporating(desk.store, lines),
        tuple(sorted(goods, key=lambda each: each.name.casefold())),
        _made_here(desk),
    )
    if found.state.stage not in BEFORE_WORK:
        return work
    # What surrounds the desk today says nothing of the day on the paper.
    return replace(
        work,
        around=None if found.state.transcribed else surroundings(desk, found.preparation),
        not_alone=why_not_alone(desk, found.content),
    )


def _day(desk: Desk, found: AtBench) -> date:
    """Return the day of the work: today, or that of the paper it is entered from."""
    return found.preparation.made_on if found.state.transcribed else desk.today


def _made_here(desk: Desk) -> tuple[Ingredient, ...]:
    every = desk.store.every(Ingredient)
    made = [each for each in every if each.source is Source.INTERMEDIATE]
    return tuple(sorted(made, key=lambda each: each.name.casefold()))


def unfit(desk: Desk, day: date) -> dict[str, Message]:
    """Return why balances aren't fit on a day, by their names."""
    checks = checks_on(desk.store, day)
    reasons = {each.name: why_not(entry_of(each), checks, day) for each in desk.house.balances}
    return {name: why for name, why in reasons.items() if why is not None}


def on_shelf(desk: Desk, work: Work, line: int) -> tuple[Holding, ...]:
    """Return the containers to weigh a line from, those first whose turn it is."""
    wanted = wanted_of(desk, work.at.state.job.plan.lines[line].line)
    held = holdings_of_ingredient(desk.store, wanted.ingredient_id)
    return in_order(held, wanted, desk.today)[:MOST_OFFERED]


def factor_of(desk: Desk, found: AtBench, line: int, number: str) -> Fraction:
    """Return what is weighed of a container's lot for one of what is declared."""
    held = holding_of(desk.store, container_numbered(desk.store, number))
    mixing = lacks_mixture(found.state, found.state.lines[line])
    return (mixture_factor if mixing else factor_at)(desk, found, line, held.lot)


def _factors(desk: Desk, found: AtBench) -> dict[tuple[int, str], Fraction]:
    factors = {}
    for each in found.state.staged:
        try:
            factors[each.line, each.container] = factor_of(desk, found, each.line, each.container)
        except (BadText, NotFound):
            # A number from paper that this house's stock doesn't know: the plan's factor holds.
            continue
    return factors
