"""What is done at the bench from the window: each act goes to the worker, and comes back moved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Unpack

from PySide6.QtCore import QObject, Signal

from formulary.bench.events import BenchCleared, Event, PhasesJoined, StepDone
from formulary.bench.original import Original
from formulary.bench.reading import Reading
from formulary.desk import Desk
from formulary.equipment import EquipmentNote
from formulary.errors import Conflict, FormularyError
from formulary.messages import Message
from formulary.quantity.amount import Amount
from ui.bench.reading import InView, Work, factor_of, read_work, unfit
from ui.context import Context, Topic
from ui.sign_in.both_sign import both_sign
from ui.sign_in.countersign import countersign
from ui.sign_in.dialog import Answered

if TYPE_CHECKING:
    from formulary.bench.balance_checks import BalanceCheck, WeightRead
    from formulary.house import Balance
    from formulary.verbs.stage_container import Fetched
    from formulary.verbs.two_people import Signing
    from formulary.verbs.work_at_bench import AtBench, Backing

Act = Callable[[Desk, InView, Answered], "AtBench"]
NOBODY = Answered("", "")


class Doing(QObject):
    """Acts on the preparation in view; ``moved`` tells how it then stands, ``refused`` why not.

    ``written`` tells that the record went on while the same is still to do, ``noted`` that
    something was written beside it, in the log of equipment.
    Each act says what was in view with it; ``overtaken`` tells that somebody was quicker.
    ``original`` is what the paper says of what is entered from it, None for what is done now.
    """

    moved = Signal(object)
    noted = Signal()
    written = Signal(object)
    refused = Signal(object)
    overtaken = Signal(object)

    def __init__(self, context: Context, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.work: Work | None = None
        self.original: Original | None = None

    @property
    def lot(self) -> str:
        """The lot in view."""
        return self.work.lot if self.work is not None else ""

    @property
    def in_view(self) -> InView:
        """The preparation as whoever acts sees it."""
        seen = self.work.in_view if self.work is not None else InView("", 0)
        return replace(seen, original=self.original)

    def record(self, event: Event) -> None:
        """Record an event by the person at the desk."""
        self.do(lambda desk, on: _record(desk, on, event))

    def do(self, act: Callable[[Desk, InView], AtBench]) -> None:
        """Do something to the preparation in view, by the person at the desk."""
        on = self.in_view
        self._context.do(lambda desk: act(desk, on), self.arrived, failed=self.refuse)

    def note(self, act: Callable[[Desk], EquipmentNote]) -> None:
        """Write into the log of equipment, and say what was written."""

        def arrived(note: EquipmentNote) -> None:
            self._context.say.tell("ui_bench.said", what=note.said)
            self.noted.emit()

        self._context.do(act, arrived, changes=(Topic.EQUIPMENT,), failed=self.refuse)

    def stage(self, line: int, number: str, *, typed: bool) -> None:
        """Fetch a container for a line: what is wrong with it is said at once."""

        def act(desk: Desk) -> tuple[Fetched, Fraction]:
            from formulary.verbs.stage_container import stage_container

            found = stage_container(desk, on.lot, line, number, typed=typed, **on.backing)
            if found.refusal is not None:
                return found, Fraction(1)
            return found, factor_of(desk, found.after, line, found.container)

        def arrived(told: tuple[Fetched, Fraction]) -> None:
            found, factor = told
            if found.refusal is not None:
                self._refused_on_record(found.after, found.refusal)
                return
            if self.work is not None:
                self.work = self.work.with_factor(line, found.container, factor)
            self.arrived(found.after)
            if found.shortens is not None:
                self._context.say.refuse(found.shortens)

        on = self.in_view
        self._context.do(act, arrived, failed=self.refuse)

    def _refused_on_record(self, after: AtBench, refusal: FormularyError) -> None:
        """Take what is on record now; what is to do stays, with why it can't be done so."""
        if self.work is not None and self.work.lot == after.preparation.lot:
            self.work = self.work.moved(after)
            self.written.emit(self.work)
        self.refuse(refusal)

    def weigh(self, line: int, reading: Reading) -> None:
        """Weigh a line by the person at the desk."""
        self.do(lambda desk, on: _weigh(desk, on, line, reading))

    def weigh_witnessed(self, line: int, reading: Reading, meaning: str) -> None:
        """Weigh a line of a high-alert ingredient, whose typed figure somebody else saw."""

        def act(desk: Desk, on: InView, by: Answered) -> AtBench:
            if by.alone_because:
                alone = by.alone_because
                return _weigh(desk, on, line, reading, pin=by.pin, alone_because=alone)
            seen = replace(reading, witness_id=by.person_id)
            return _weigh(desk, on, line, seen, second_pin=by.pin)

        self.witnessed(meaning, act)

    def witnessed(self, meaning: str, act: Act) -> None:
        """Do something that a second person saw, or that one does alone for a reason."""
        me = self._context.desk
        mine = (me.person.id,)

        def beside(_: Desk, on: InView, by: Answered) -> AtBench:
            return act(me, on, by)

        self.countersign("check_line", meaning, beside, alone=mine)

    def weigh_controlled(self, line: int, reading: Reading, meanings: tuple[str, str]) -> None:
        """Weigh a controlled substance, or take its waste out: two people sign."""

        def act(desk: Desk, on: InView, by: Signing) -> AtBench:
            return _weigh(
                desk,
                on,
                line,
                replace(reading, witness_id=by.second_id),
                pin=by.pin,
                second_pin=by.second_pin,
                alone_because=by.alone_because,
            )

        self.sign_both("weigh_line", meanings, act)

    def sign_both(
        self,
        verb: str,
        meanings: tuple[str, str],
        act: Callable[[Desk, InView, Signing], AtBench],
        *,
        alone: bool = True,
    ) -> None:
        """Do something to the preparation in view that two people sign, or one alone by reason.

        Without ``alone`` the second person is waited for.
        """
        on = self.in_view
        both_sign(
            self._context,
            verb,
            meanings,
            lambda desk, by: act(desk, on, by),
            self.arrived,
            alone=alone,
            refused=self._late,
        )

    def clear_beside(self, event: BenchCleared, meaning: str) -> None:
        """Clear the bench with somebody beside who is fit for it, and signs."""
        me = self._context.desk.person.id
        maker = me if self.original is None else self.original.person_id

        def act(_desk: Desk, on: InView, by: Answered) -> AtBench:
            beside = replace(event, supervisor_id=by.person_id)
            return _record(self._context.desk, on, beside, second_pin=by.pin)

        self.countersign("check_line", meaning, act, without=(maker,))

    def enter_blank(self, made_on: date, note: str) -> None:
        """Mark a blank as written on paper that day; what the house says of it is read anew."""
        lot = self.lot

        def act(desk: Desk) -> Work:
            from formulary.verbs.reserve_blanks import enter_blank

            enter_blank(desk, lot, made_on, note)
            return read_work(desk, lot)

        def arrived(work: Work) -> None:
            self.work = work
            self.moved.emit(work)

        self._context.do(act, arrived, changes=(Topic.PREPARATIONS,), failed=self.refuse)

    def finish_step(self, event: StepDone, photo: bytes) -> None:
        """Call a step done; what is in boats goes into its phase's vessel."""
        self.do(lambda desk, on: _finish(desk, on, event, photo))

    def finish_step_with(
        self, event: StepDone, photo: bytes, beside: Callable[[str], StepDone], why: str
    ) -> None:
        """Call a step done that a second person stood by; ``beside`` names that person in it."""
        me = self._context.desk.person.id

        def act(desk: Desk, on: InView, by: Answered) -> AtBench:
            mine = self._context.desk
            if by.person_id == me:
                alone = by.alone_because
                return _finish(desk, on, event, photo, pin=by.pin, alone_because=alone)
            return _finish(mine, on, beside(by.person_id), photo, second_pin=by.pin)

        self.countersign("check_line", why, act, alone=(me,))

    def except_step(self, event: StepDone, photo: bytes, meaning: str) -> None:
        """Call a step done against what it asks, for the reason that a pharmacist signs."""

        def act(_desk: Desk, on: InView, by: Answered) -> AtBench:
            mine = self._context.desk
            return _finish(mine, on, event, photo, pin=by.pin, excepted_by=by.person_id)

        self.countersign("allow_exception", meaning, act, without=self.not_on_paper())

    def except_join(self, event: PhasesJoined, meaning: str) -> None:
        """Join phases against the method, for the reason that a pharmacist signs."""

        def act(_desk: Desk, on: InView, by: Answered) -> AtBench:
            mine = self._context.desk
            return _record(mine, on, event, pin=by.pin, excepted_by=by.person_id)

        self.countersign("allow_exception", meaning, act, without=self.not_on_paper())

    def sign(
        self,
        event: Event,
        meaning: str,
        *,
        without: Iterable[str] = (),
        alone: Iterable[str] = (),
    ) -> None:
        """Record an event by whoever signs it; who is in ``alone`` gives a reason.

        What somebody signed on paper they sign here.
        """
        from formulary.verbs.work_at_bench import ACTS

        def act(desk: Desk, on: InView, by: Answered) -> AtBench:
            return _record(desk, on, event, pin=by.pin, alone_because=by.alone_because)

        left_out = {*without, *self.not_on_paper()}
        self.countersign(ACTS[type(event)], meaning, act, without=left_out, alone=alone)

    def not_on_paper(self) -> set[str]:
        """Return whom the paper doesn't name for what is entered: they can't sign it."""
        if self.original is None:
            return set()
        return {each.id for each in self._context.people} - {self.original.person_id}

    def countersign(
        self,
        verb: str,
        meaning: str,
        act: Act,
        *,
        without: Iterable[str] = (),
        alone: Iterable[str] = (),
    ) -> None:
        """Ask for somebody's PIN, then do the act at a desk of theirs."""
        on = self.in_view
        countersign(
            self._context,
            meaning,
            verb,
            lambda desk, by: act(desk, on, by),
            self.arrived,
            without=without,
            alone=alone,
            refused=self._late,
        )

    def check_balance(self, balance: Balance, readings: list[WeightRead]) -> None:
        """Check a balance with its test weights, then look anew which are fit."""
        original = self.original

        def act(desk: Desk) -> tuple[BalanceCheck, dict[str, Message]]:
            from formulary.verbs.check_balance import check_balance

            check = check_balance(desk, balance, readings, original=original)
            return check, unfit(desk, check.on)

        def arrived(found: tuple[BalanceCheck, dict[str, Message]]) -> None:
            check, reasons = found
            from formulary.bench.balance_checks import check_said

            if self.work is not None:
                self.work = replace(self.work, unfit=reasons)
                self.moved.emit(self.work)
            self._context.say.tell("ui_bench.said", what=check_said(check))

        self._context.do(act, arrived, failed=self.refuse)

    def take_yield(self, amount: Amount, residue: Amount | None) -> None:
        """Record the yield, judged by what went in."""
        from formulary.verbs.take_yield import take_yield

        self.do(lambda desk, on: take_yield(desk, on.lot, amount, residue=residue, **on.backing))

    def arrived(self, after: AtBench) -> None:
        """Take how it stands now, and tell the other pages where its stage changed."""
        work = self.work
        if work is None or work.lot != after.preparation.lot:
            self._context.tell_changed(Topic.PREPARATIONS)
            return
        before = work.at
        self.work = work.moved(after)
        self.moved.emit(self.work)
        timers = before.state.timers != after.state.timers
        if (
            timers
            or before.preparation != after.preparation
            or before.state.jars != after.state.jars
        ):
            self._context.tell_changed(Topic.PREPARATIONS)

    def refuse(self, trouble: FormularyError) -> None:
        """Say why something can't be done."""
        self.refused.emit(trouble)
        self._late(trouble)

    def _late(self, trouble: FormularyError) -> None:
        if isinstance(trouble, Conflict):
            self.overtaken.emit(trouble)


# What is imported on the worker, when first needed.


def _record(desk: Desk, on: InView, event: Event, **backing: Unpack[Backing]) -> AtBench:
    from formulary.verbs.work_at_bench import record

    return record(desk, on.lot, event, **_with(on, backing))


def _weigh(
    desk: Desk, on: InView, line: int, reading: Reading, **backing: Unpack[Backing]
) -> AtBench:
    from formulary.verbs.weigh_line import weigh_line

    return weigh_line(desk, on.lot, line, reading, **_with(on, backing))


def _finish(
    desk: Desk, on: InView, event: StepDone, photo: bytes, **backing: Unpack[Backing]
) -> AtBench:
    from formulary.verbs.finish_step import finish_step

    return finish_step(desk, on.lot, event, photo=photo, **_with(on, backing))


def _with(on: InView, backing: Backing) -> Backing:
    """Return what backs an act, with what was in view."""
    return {**backing, **on.backing}
