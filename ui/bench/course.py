"""The course of the work: which preparation and which thing to do is in view, and what follows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from formulary.bench.evaporating import water_said
from formulary.bench.event_text import event_of
from formulary.bench.events import (
    LineTransferred,
    LineWeighed,
    PhasesJoined,
    QualityTested,
    StepDone,
    VesselWeighed,
)
from formulary.bench.out_of_tolerance import WayOut
from formulary.bench.remembering import recorded
from formulary.bench.stages import named
from formulary.bench.to_do import (
    CountDrops,
    DecideLine,
    MakeMixture,
    TareVessel,
    Task,
    WeighLine,
)
from formulary.bench.weighing import standing, verdict_said
from formulary.bench.words import last_done
from formulary.clock import local
from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.finding import Finding
from formulary.quantity.writing import held_together
from ui.bench.acts import BenchAct, asking
from ui.bench.doing import Doing
from ui.bench.listening import Listening
from ui.bench.paper_entry import as_on_paper
from ui.bench.reading import AT_WORK, Listed, Work, listed_here, on_shelf, read_work
from ui.bench.scene import Memo, Scene
from ui.bench.shown import Shown
from ui.bench.tasks import (  # noqa: F401  each registers what it shows
    counting,
    deciding,
    goods,
    mixtures,
    paper,
    planning,
    release,
    steps,
    vessels,
    weighing,
)
from ui.bench.tasks.presenting import present
from ui.bench.tasks.weighing import SIGNS
from ui.bench.timer_strip import TIME_IS_UP
from ui.bench.waiting_here import waiting
from ui.context import Context, PageName, Topic
from ui.signs import Sign

if TYPE_CHECKING:
    from ui.bench.page import BenchPage


STAGE_ENDS = (StepDone, LineTransferred, PhasesJoined)
"""After these a vessel is weighed with what is in it, or it is said that nobody did."""

FETCHED = WeighLine | CountDrops | MakeMixture
"""What a container is fetched for."""


class Course(QObject):
    """Leads from one thing to the next."""

    def __init__(self, context: Context, page: BenchPage) -> None:
        super().__init__(page)
        self._context, self._page = context, page
        self.doing = Doing(context, self)
        self._memos: dict[str, Memo] = {}
        self._tasks: tuple[Task, ...] = ()
        self._at: Task | None = None
        self._asked: BenchAct | None = None
        self._wanted = ""
        self._seen: tuple[object, ...] = ()
        self.listening = Listening(context, self)
        self._connect()

    # Which preparation

    def open(self, lot: str) -> None:
        """Show a preparation by its lot or by the code of a jar."""
        self._wanted = lot
        self._context.do(
            lambda desk: read_work(desk, lot),
            self._opened,
            failed=self._not_found,
            lane="bench.work",
        )

    def shown(self) -> None:
        """Read the list; go on with what is in view, or with what is in work at this bench."""
        self._context.do(listed_here, self._listed, lane="bench.list")
        if self.doing.work is not None and not self._wanted:
            self.open(self.doing.lot)

    def _listed(self, found: Listed) -> None:
        here = found.here
        self._page.work_list.show_work(found.open)
        if self.doing.work is not None or self._wanted:
            self._page.work_list.mark(self.doing.lot)
        elif here:
            self.open(here)
        else:
            self._show_nothing(found)

    def _opened(self, work: Work) -> None:
        self._wanted = ""
        if self._is_as_shown(work):
            self._page.next_key.keep()
            return
        fresh = self.doing.work is None or self.doing.lot != work.lot
        self.doing.work = work
        self._asked = None
        self._page.work_list.mark(work.lot)
        if fresh:
            self._at = None
            self._say_where(work)
        self._show(work)

    def _is_as_shown(self, work: Work) -> bool:
        """Whether nothing changed since it was shown, so that what is typed can stay."""
        return self._seen == self._seeing(work)

    def _seeing(self, work: Work) -> tuple[object, ...]:
        """Return all that decides what is shown."""
        context = self._context
        me, house = context.desk.person.id, context.house_here
        return work, self._tasks_of(work), house, context.people, me, context.catalogue

    def _not_found(self, trouble: FormularyError) -> None:
        self._wanted = ""
        self._context.say.refuse(trouble)

    def _say_where(self, work: Work) -> None:
        """Say where the bench was, to whoever comes back to it."""
        last = last_done(tuple(map(recorded, work.at.events)), work.at.state)
        self._page.last.say(())
        self._page.last_wrong.say(())
        told = self._context.text("ui_bench.where", what=last) if last is not None else ""
        self._page.where.say([told] if told else ())

    # Which thing to do

    def next_task(self) -> None:
        """Show another thing that can be done now."""
        self._turn(1)

    def task_before(self) -> None:
        """Show the one before."""
        self._turn(-1)

    def show_again(self) -> None:
        """Show the same thing anew: something about it was ticked or chosen."""
        if self.doing.work is not None:
            self._show(self.doing.work)

    def ask_for(self, act: BenchAct) -> None:
        """Ask for an act beside the next thing."""
        self._asked = act
        self.show_again()

    def _turn(self, by: int) -> None:
        if self._at in self._tasks and len(self._tasks) > 1:
            place = (self._tasks.index(self._at) + by) % len(self._tasks)
            self._at = self._tasks[place]
            self._asked = None
            self.show_again()

    def _moved(self, work: Work) -> None:
        """Go on: in the lane that was chosen while it lasts, else with the next thing."""
        before, at = self._tasks, self._at
        self._asked = None
        # What was told of an act before is over.
        self._context.say.forget_news()
        now = self._tasks_of(work)
        self._tell_last(work, stopped=bool(now) and isinstance(now[0], DecideLine))
        self._at = following(before, at, now)
        self._show(work)

    def _tell_last(self, work: Work, *, stopped: bool) -> None:
        """Say the verdict on what was just weighed, since the next thing is in view already.

        Where the work has ``stopped`` the line itself stays in view with it.
        """
        page = self._page
        for each in (page.where, page.last, page.last_wrong):
            each.say(())
        event = event_of(work.at.events[-1].event)
        if isinstance(event, LineWeighed) and not stopped:
            line = work.at.state.lines[event.line]
            inside = SIGNS[standing(line)] is Sign.TICK
            told = self._context.text(
                "ui_bench.last", ingredient=line.ingredient, verdict=verdict_said(line)
            )
            (page.last if inside else page.last_wrong).say([held_together(told)])
        if isinstance(event, QualityTested) and not event.passed:
            failed = self._context.text("ui_bench.test.failed", test=event.test, found=event.found)
            page.last_wrong.say([held_together(failed)])
        if isinstance(event, STAGE_ENDS) and not work.at.state.transcribed:
            page.where.say(self._unweighed(work))
        if isinstance(event, VesselWeighed):
            state = work.at.state
            said = water_said(state, state.job.plan, event.vessel, work.vapours)
            page.last_wrong.say([held_together(self._context.said(said))])

    def _unweighed(self, work: Work) -> list[str]:
        """Say which vessels weren't weighed since something went in, as a stage ends."""
        filled = {line.vessel for line in work.at.state.lines}
        names = tuple(
            each.name
            for each in work.at.state.vessels
            if each.name in filled and not work.weighed_since(each.name)
        )
        return [self._context.text("ui_bench.vessel.not_weighed", names=names)] if names else []

    def _tasks_of(self, work: Work) -> tuple[Task, ...]:
        memo = self._memo(work.lot)
        return tuple(
            each
            for each in work.tasks(self._context.desk.clock.now())
            if not (isinstance(each, TareVessel) and each.phase in memo.without_vessel)
        )

    def to_labels(self) -> None:
        """Go to the labels of the preparation in view."""
        if self.doing.work is not None:
            self._context.go(PageName.LABELS, self.doing.lot)

    # Showing

    def _show(self, work: Work) -> None:
        page, scene = self._page, self._scene(work)
        self._tasks = self._tasks_of(work)
        if self._at not in self._tasks:
            self._at = self._tasks[0] if self._tasks else None
        self._seen = self._seeing(work)
        page.show_empty(empty=False)
        page.title.setText(self._title(work))
        shown = self._shown(scene)
        page.view.show_task(shown)
        page.hide_record(blind=shown.blind)
        page.menu.offer(work.at.state)
        page.papers.offer(work)
        page.offer_others(len(self._tasks) - 1)
        page.record.show_work(work)
        page.lanes.show_state(work.at.state if work.at.state.stage in AT_WORK else None)
        page.fit_lanes()
        page.next_key.give()
        self._ask_beside(scene)
        # What was done on paper comes from no balance now.
        now = self._asked is None and not scene.state.transcribed
        self.listening.follow(self._at if now else None, scene)

    def _shown(self, scene: Scene) -> Shown:
        self.doing.original = None
        if self._asked is not None:
            asked = asking(self._asked, scene, self._never_mind)
            return as_on_paper(self._asked, asked, scene)
        if self._at is None:
            return _ended(scene)
        return as_on_paper(self._at, present(self._at, scene), scene)

    def _never_mind(self) -> None:
        self._asked = None
        self.show_again()

    def _ask_beside(self, scene: Scene) -> None:
        """Ask what a thing is shown with beside the record: the shelf, or the ways out."""
        task, memo, work = self._at, scene.memo, scene.work
        if isinstance(task, FETCHED) and task.line not in memo.shelf:
            line = task.line
            memo.shelf[line] = ()
            self._context.do(
                lambda desk: on_shelf(desk, work, line),
                lambda found: self._shelf_arrived(scene, line, found),
            )
        if isinstance(task, DecideLine) and task.line not in memo.ways:
            self._ask_ways(scene, task.line)

    def _shelf_arrived(self, scene: Scene, line: int, found: tuple[object, ...]) -> None:
        scene.memo.shelf[line] = found  # type: ignore[assignment]  # holdings, read on the worker
        task = self._at
        if isinstance(task, FETCHED) and task.line == line and not self._asked:
            self._page.view.show_notes(present(task, self._scene(scene.work)).notes)

    def _ask_ways(self, scene: Scene, line: int) -> None:
        lot = scene.work.lot

        def arrived(found: tuple[Sequence[WayOut], Sequence[Finding]]) -> None:
            scene.memo.ways[line], scene.memo.doubts = found
            if self.doing.lot == lot:
                self.show_again()

        self._context.do(lambda desk: _ways(desk, lot, line), arrived)

    def _show_nothing(self, found: Listed) -> None:
        """Say what waits here, and which key begins with it."""
        text, page = self._context.text, self._page
        page.title.setText("")
        key = "ui_bench.choose" if found.open else "ui_bench.nothing"
        columns = [(text("ui_bench.waits.heading"), waiting(self._context, found.open))]
        if found.unfit:
            said = [self._context.said(each) for each in found.unfit]
            columns.append((text("ui_bench.waits.balances"), said))
        shown = Shown(
            text(f"{key}_heading"),
            notes=[text(key)],
            columns=columns if found.open else columns[1:],
        )
        page.view.show_task(shown)
        page.menu.offer(None)
        page.papers.offer(None)
        page.lanes.show_state(None)
        page.fit_lanes()
        page.offer_others(0)
        page.show_empty(empty=True)
        page.next_key.give()

    def _title(self, work: Work) -> str:
        made = work.at.preparation
        stage = named(work.at.state.stage)
        return self._context.text("ui_bench.title", lot=made.lot, title=made.title, stage=stage)

    def _scene(self, work: Work) -> Scene:
        now = self._context.desk.clock.now()
        here = local(now, self._context.house.zone)
        memo = self._memo(work.lot)
        return Scene(self._context, self.doing, work, memo, here, self.show_again)

    def _memo(self, lot: str) -> Memo:
        return self._memos.setdefault(lot, Memo())

    def _connect(self) -> None:
        page = self._page
        self.doing.moved.connect(self._moved)
        self.doing.written.connect(self._page.record.show_work)
        self.doing.noted.connect(self._never_mind)
        self.doing.refused.connect(self._refused)
        self.doing.overtaken.connect(self._overtaken)
        page.work_list.chosen.connect(self.open)
        page.work_list.sought.connect(self.open)
        page.menu.wanted.connect(self.ask_for)
        self._context.changed.connect(self._changed)
        self.listening.heard.connect(page.view.hear)

    def _refused(self, trouble: FormularyError) -> None:
        self._page.view.refuse(trouble)

    def _overtaken(self, late: FormularyError) -> None:
        """Show where it stands now that somebody was quicker, and why nothing was recorded.

        What was typed stays where the same is still to do.
        """
        lot, at = self.doing.lot, self._at
        typed = self._page.view.entries.values()

        def read(work: Work) -> None:
            self._memo(lot).ways.clear()
            self._opened(work)
            if self._at == at:
                self._page.view.entries.fill(typed)
            self._page.view.refuse(late)

        self._context.do(lambda desk: read_work(desk, lot), read, lane="bench.work")

    def _changed(self, topic: str) -> None:
        if topic == TIME_IS_UP:
            self._offer_again()
        if topic == Topic.EQUIPMENT.value and self.doing.work is not None:
            self.open(self.doing.lot)
        if topic == Topic.PREPARATIONS.value:
            self._context.do(listed_here, self._relisted, lane="bench.list")

    def _offer_again(self) -> None:
        """Offer what can be done now that a timer is up; what is in view stays."""
        work = self.doing.work
        if work is not None:
            self._tasks = self._tasks_of(work)
            self._page.offer_others(len(self._tasks) - 1)

    def _relisted(self, found: Listed) -> None:
        self._page.work_list.show_work(found.open)
        self._page.work_list.mark(self.doing.lot)


def following(before: tuple[Task, ...], at: Task | None, now: tuple[Task, ...]) -> Task | None:
    """Return what comes after a thing that is done.

    The first thing leads on to the first one. Whoever chose another lane stays in it: what was
    offered before that one is passed over while there is something else.
    """
    if not now:
        return None
    passed = before[: before.index(at)] if at in before else ()
    return next((each for each in now if each not in passed), now[0])


def _ways(desk: Desk, lot: str, line: int) -> tuple[Sequence[WayOut], Sequence[Finding]]:
    from formulary.verbs.decide_line import doubts_of_making_good, ways_open

    return ways_open(desk, lot, line), doubts_of_making_good(desk, lot)


def _ended(scene: Scene) -> Shown:
    """Return what is shown of a preparation at its end."""
    stage = named(scene.state.stage)
    notes = [scene.state.fate] if scene.state.fate else []
    return Shown(scene.text("ended", stage=stage), notes=notes)
