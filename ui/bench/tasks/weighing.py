"""Weighing a line: the container first, then the figure, with band and verdict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from formulary.bench.events import EndReached
from formulary.bench.in_boat import on_the_balance
from formulary.bench.reading import Reading
from formulary.bench.to_do import WeighLine, phase_vessel
from formulary.bench.weighing import (
    LineState,
    Standing,
    remaining,
    shown,
    standing,
    verdict_said,
    weighed,
    window,
)
from formulary.formula.kinds import ToEndPoint
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_half_even_to
from formulary.quantity.writing import convenient
from formulary.scaling.plan import PlannedLine
from formulary.workstation import stands_in
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.balances import check_first
from ui.bench.tasks.presenting import present
from ui.bench.typed import a_weight, weight
from ui.forms.limits import limits_said, outermost, readability
from ui.signs import Sign
from ui.widgets.gauge import Gauge

SIGNS = {
    Standing.WAITING: Sign.DOT,
    Standing.UNDER: Sign.TRIANGLE,
    Standing.INSIDE: Sign.TICK,
    Standing.OVER: Sign.OCTAGON,
}


@dataclass(frozen=True, slots=True)
class Weighing:
    """A line that is being weighed: what is planned of it, from which container, on what."""

    scene: Scene
    line: LineState
    planned: PlannedLine
    container: str
    lot: str
    balance: str

    @property
    def factor(self) -> Fraction | None:
        """What is weighed of the container's lot for one of what is declared, where known."""
        return self.scene.work.factors.get((self.line.position, self.container))

    @property
    def step(self) -> Amount | None:
        """The readability of the balance, None where it reads another kind of amount."""
        target, step = self.line.target, readability(self.scene.context.house, self.balance)
        if step is None or target is None:
            return step
        return step if units.dimension(step.unit) is units.dimension(target.unit) else None

    @property
    def is_counted(self) -> bool:
        """Whether it comes in whole drops or pieces, which no balance shows."""
        return _is_counted(self.line)

    @property
    def to_come(self) -> Amount | None:
        """What is still to weigh, None where it is used as needed."""
        if self.line.target is None:
            return None
        return convenient(shown(remaining(self.line, self.factor, self.step).result))

    @property
    def unit(self) -> str:
        """The unit in which the figure is typed."""
        target = self.line.target or self.planned.required
        if target is not None and target.number:
            return convenient(target).unit
        step = self.step
        return step.unit if step is not None else "g"

    @property
    def vessel(self) -> str:
        """The vessel that it goes straight into, empty for its own boat."""
        if not self.line.in_own_boat:
            return self.line.vessel
        straight = self.line.position in self.scene.memo.straight
        return phase_vessel(self.scene.state, self.planned.line.phase) if straight else ""

    @property
    def in_boat(self) -> Amount | None:
        """What the boat holds already, which the balance goes on showing."""
        if self.is_counted:
            return None
        return on_the_balance(self.scene.state, self.line.position)


@present.register
def weigh_line(task: WeighLine, scene: Scene) -> Shown:
    """First the balance where it isn't fit, then the container, then the figure."""
    job = weighing_of(task.line, scene)
    if task.line in scene.memo.ending:
        return end_line(job)
    balances = {each.name: each for each in scene.context.house.balances}
    if job.balance in scene.work.unfit and job.balance in balances:
        return check_first(balances[job.balance], scene)
    # A part of a mixture comes from no container: the mixture did.
    return weigh_now(job) if job.container or job.line.mixture else fetch(job)


def weighing_of(position: int, scene: Scene) -> Weighing:
    """Return how a line is weighed now."""
    line, planned = scene.state.lines[position], scene.state.job.plan.lines[position]
    staged = [each for each in scene.state.staged if each.line == position]
    here = staged[-1] if staged and position not in scene.memo.other_container else None
    chosen = scene.memo.balances.get(position) or _proposed(line, planned, scene)
    balance = "" if _is_counted(line) else chosen
    container, lot = (here.container, here.lot) if here is not None else ("", "")
    if line.mixture is not None:
        container, lot = line.mixture.container, line.mixture.lot
    return Weighing(scene, line, planned, container, lot, balance)


def _is_counted(line: LineState) -> bool:
    return line.target is not None and units.is_counted(line.target.unit)


def _proposed(line: LineState, planned: PlannedLine, scene: Scene) -> str:
    """Return what the plan names where that stands here, else the first that does the amount."""
    if planned.instrument and stands_in(
        scene.context.here, scene.context.house, planned.instrument
    ):
        return planned.instrument
    balances = [each.name for each in scene.house.balances]
    return next(iter((*_able(line, planned, scene), *balances)), "")


# The container


def fetch(job: Weighing) -> Shown:
    """Return what asks for the container: what is on the shelf, and how much of it."""
    scene = job.scene

    def run(values: Values) -> None:
        scene.memo.other_container.discard(job.line.position)
        typed = not values["container.scanned"]
        scene.doing.stage(job.line.position, values["container"], typed=typed)

    return Shown(
        job.line.ingredient,
        figure_of(job),
        notes=list(_to_fetch(job)),
        sentences=list(_sentences(job)),
        entries=[Entry("container", scene.text("weigh.container"), scan=True)],
        act=scene.text("weigh.fetch"),
        run=run,
        others=list(_nothing_more(job)),
    )


def _nothing_more(job: Weighing) -> Iterator[Other]:
    if job.line.declared is None:
        yield _ending(job, job.scene.text("end.reached"), "Ctrl+Shift+N")


def figure_of(job: Weighing) -> str:
    """Return what is to weigh, to be read from afar."""
    if job.planned.up_to and job.line.target is not None:
        return job.scene.text("weigh.up_to", amount=convenient(shown(job.line.target)))
    band = window(job.line, job.factor)
    if job.in_boat is not None and band is not None:
        return job.scene.text("weigh.until", amount=_stepped(job, band.target).to(job.unit))
    amount = job.to_come
    return job.scene.written(amount) if amount is not None else job.scene.text("as_needed")


def _stepped(job: Weighing, amount: Amount) -> Amount:
    """Return an amount as the balance can show it."""
    return shown(amount if job.step is None else round_half_even_to(amount, job.step))


def _to_fetch(job: Weighing) -> Iterator[str]:
    for held in job.scene.memo.shelf.get(job.line.position, ()):
        place = held.container.place or held.lot.place
        yield job.scene.text(
            "weigh.on_shelf" if place else "weigh.on_some_shelf",
            container=held.container.number,
            lot=held.lot.number,
            place=place,
            until=held.until,
            left=shown(convenient(held.on_hand)),
        )


# Lines used as needed


def end_line(job: Weighing) -> Shown:
    """Return what asks for what was found at the end point of a line used as needed."""
    scene, position = job.scene, job.line.position

    def run(values: Values) -> None:
        scene.memo.ending.discard(position)
        scene.doing.record(EndReached(position, values["found"]))

    return Shown(
        scene.text("end.heading", ingredient=job.line.ingredient),
        notes=list(_end_point(job)),
        sentences=list(_sentences(job)),
        entries=[Entry("found", scene.text("end.found"))],
        act=scene.text("end.act"),
        run=run,
        others=[_ending(job, scene.text("act.never_mind"), "Ctrl+Backspace")],
    )


def _end_point(job: Weighing) -> Iterator[str]:
    kind = job.planned.line.quantity
    if isinstance(kind, ToEndPoint):
        yield job.scene.text("end.point", point=kind.end_point)


def _ending(job: Weighing, words: str, keys: str) -> Other:
    def turn(_values: Values) -> None:
        job.scene.memo.ending.symmetric_difference_update({job.line.position})
        job.scene.again()

    return Other(words, keys, turn)


# The figure


def weigh_now(job: Weighing) -> Shown:
    """Return what asks for the figure that the balance shows."""
    scene = job.scene

    def run(values: Values) -> None:
        text = values["weight"]
        heard = scene.memo.heard.get(text)
        read = weight(scene.context, text, job.unit)
        take(job, read, text if heard is None else heard, manual=heard is None)

    return Shown(
        job.line.ingredient,
        figure_of(job),
        notes=list(_how(job)),
        sentences=list(_sentences(job)),
        working=[scene.said(each) for each in job.planned.working],
        gauge=gauge_of(job),
        entries=[
            Entry(
                "weight",
                scene.text(f"weigh.{_asked(job)}"),
                a_weight(scene.context, job.unit),
                job.unit,
            )
        ],
        act=scene.text("weigh.act"),
        run=run,
        others=list(_others(job)),
    )


def _asked(job: Weighing) -> str:
    """Return the key of what is asked for: what an instrument shows, or how many go in."""
    if job.is_counted:
        return "pieces"
    return "in_all" if job.in_boat is not None else "figure"


def take(job: Weighing, read: Amount, raw: str, *, manual: bool) -> None:
    """Record what the balance shows; what the boat held before isn't counted twice."""
    held = job.in_boat
    reading = Reading(
        read - held if held is not None else read,
        job.balance,
        job.container,
        job.lot,
        vessel=job.vessel,
        manual=manual,
        typed_container=typed_in(job),
        raw=raw,
    )
    record_reading(job, reading, read, "into")


def typed_in(job: Weighing) -> bool:
    """Tell whether the number of the line's container was typed, not scanned."""
    staged = [each for each in job.scene.state.staged if each.line == job.line.position]
    return bool(staged and staged[-1].typed)


def record_reading(job: Weighing, reading: Reading, shows: Amount, what: str) -> None:
    """Record a reading, seen by a second person where the ingredient asks for one.

    ``shows`` is what stands on the balance, ``what`` how a controlled substance's signers call it.
    """
    doing, position, ingredient = job.scene.doing, job.line.position, job.line.ingredient
    if job.line.controlled:
        doing.weigh_controlled(position, reading, both_meanings(job, what, shows))
    elif job.line.high_alert and reading.manual:
        meaning = job.scene.text("sign.witness", ingredient=ingredient, amount=shows)
        doing.weigh_witnessed(position, reading, meaning)
    else:
        doing.weigh(position, reading)


def both_meanings(job: Weighing, what: str, amount: Amount) -> tuple[str, str]:
    """Return what each of two people signs of a controlled substance."""
    text, ingredient = job.scene.text, job.line.ingredient
    first = text(f"sign.{what}", ingredient=ingredient, amount=amount)
    return first, text(f"sign.{what}_beside", ingredient=ingredient, amount=amount)


def _how(job: Weighing) -> Iterator[str]:
    scene, catalogue = job.scene, job.scene.context.catalogue
    band = window(job.line, job.factor)
    if band is not None and band.target.number:
        step = job.step
        yield scene.text(
            "weigh.band", band=limits_said(band.low, band.high, band.target, step, catalogue)
        )
    if job.balance:
        where = job.vessel or scene.text("weigh.boat")
        yield scene.text("weigh.on", balance=job.balance, where=where)
    yield scene.text("weigh.from", container=job.container, lot=job.lot)
    if job.in_boat is not None and job.to_come is not None:
        yield scene.text("weigh.held", amount=shown(job.in_boat), more=job.to_come)


def _sentences(job: Weighing) -> Iterator[tuple[Sign, str]]:
    if job.line.readings:
        yield SIGNS[standing(job.line)], job.scene.said(verdict_said(job.line))
    yield from cautions_of(job)
    for finding in job.planned.findings:
        yield Sign.TRIANGLE, job.scene.said(finding.said)


def cautions_of(job: Weighing) -> Iterator[tuple[Sign, str]]:
    """Yield what the bench is warned of before it takes an ingredient."""
    place = job.line.position
    for caution in job.scene.work.cautions[place : place + 1]:
        yield from ((Sign.TRIANGLE, job.scene.said(each)) for each in caution)
    if job.line.controlled:
        yield Sign.TRIANGLE, job.scene.text("weigh.controlled")
    if job.line.high_alert:
        yield Sign.TRIANGLE, job.scene.text("weigh.high_alert")


def _others(job: Weighing) -> Iterator[Other]:
    scene, position = job.scene, job.line.position

    def other_container(_values: Values) -> None:
        scene.memo.other_container.add(position)
        scene.again()

    def straight(_values: Values) -> None:
        scene.memo.straight.symmetric_difference_update({position})
        scene.again()

    def other_balance(_values: Values) -> None:
        names = _able(job.line, job.planned, scene)
        at = names.index(job.balance) if job.balance in names else -1
        scene.memo.balances[position] = names[(at + 1) % len(names)]
        scene.again()

    yield from _nothing_more(job)
    yield Other(scene.text("weigh.other_container"), "Ctrl+N", other_container)
    if job.balance and len(_able(job.line, job.planned, scene)) > 1:
        yield Other(scene.text("weigh.other_balance"), "Ctrl+B", other_balance)
    vessel = phase_vessel(scene.state, job.planned.line.phase)
    if vessel and job.line.in_own_boat and not job.line.readings:
        words = scene.text("weigh.into_boat" if job.vessel else "weigh.straight", vessel=vessel)
        yield Other(words, "Ctrl+J", straight)


def _able(line: LineState, planned: PlannedLine, scene: Scene) -> list[str]:
    """Return what stands here that can do a line's amount."""
    from formulary.scaling.instruments import able

    house, wanted = scene.house, line.target or planned.required
    if wanted is None:
        balances = [each.name for each in house.balances]
        return [*balances, *(each.name for each in house.measures)]
    return list(able(wanted, house))


# The gauge


def gauge_of(job: Weighing) -> Gauge | None:
    """Return the scale of a line's band with what is weighed so far, None without a band."""
    band = window(job.line, job.factor)
    if band is None or not band.target.number:
        return None
    return gauge(job, band.low, band.target, band.high)


def gauge(job: Weighing, low: Amount, target: Amount, high: Amount) -> Gauge:
    """Return a scale in the unit in which the line is typed, its limits as the balance shows."""
    scene, unit = job.scene, job.unit
    so_far = weighed(job.line)
    least, most = outermost(low, high, job.step)
    ends = (least, _stepped(job, target), most)
    return Gauge(
        target.to(unit).number,
        least.to(unit).number,
        most.to(unit).number,
        so_far.to(unit).number if so_far is not None else None,
        scene.written(shown(so_far)) if so_far is not None else "",
        tuple_of(scene, ends, unit),
        scene.said(verdict_said(job.line)),
        SIGNS[standing(job.line)],
    )


def tuple_of(scene: Scene, ends: tuple[Amount, Amount, Amount], unit: str) -> tuple[str, str, str]:
    """Return the figures of a scale in words."""
    low, target, high = (scene.written(shown(each.to(unit))) for each in ends)
    return low, target, high
