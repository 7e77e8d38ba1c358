"""Checking the plan, clearing the bench, and taking work up again."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import BenchCleared, Continued, HoldLifted, PlanChecked
from formulary.bench.to_do import CheckPlan, ClearBench, Continue, LiftHold
from formulary.bench.words import where
from formulary.quantity.writing import convenient
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Shown, Values
from ui.bench.tasks.presenting import present
from ui.signs import Sign


@present.register
def check_plan(_task: CheckPlan, scene: Scene) -> Shown:
    """Every figure with its working; another person signs."""
    preparation, state = scene.work.at.preparation, scene.state

    def run(_values: Values) -> None:
        meaning = scene.text("sign.plan", title=preparation.title, target=preparation.target)
        scene.doing.sign(PlanChecked(), meaning, alone=(state.planner,))

    return Shown(
        scene.text("plan.heading"),
        preparation.target,
        notes=[scene.text("plan.notes")],
        working=list(_working(scene)),
        act=scene.text("plan.act"),
        run=run,
    )


def _working(scene: Scene) -> Iterator[str]:
    for line in scene.state.job.plan.lines:
        amount = line.to_measure or line.required
        figure = scene.written(convenient(amount)) if amount else scene.text("as_needed")
        yield f"{line.line.ingredient}: {figure}"
        yield from (f"    {scene.said(step)}" for step in line.working)
    yield from (scene.said(step) for step in scene.state.job.plan.working)


@present.register
def clear_bench(_task: ClearBench, scene: Scene) -> Shown:
    """The house's list, one item at a time; the last one clears the bench."""
    wanted, ticks = scene.state.job.clearance, scene.memo.ticks
    left = [each for each in wanted if each not in ticks]

    def run(_values: Values) -> None:
        ticks.extend(left[:1])
        if len(left) > 1:
            scene.again()
        else:
            scene.doing.record(BenchCleared(tuple(ticks)))

    return Shown(
        scene.text("clear.heading"),
        notes=[left[0]] if left else [scene.text("clear.nothing")],
        sentences=[(Sign.TICK, each) for each in wanted if each in ticks],
        act=scene.text("clear.tick" if left else "clear.act"),
        run=run,
    )


@present.register
def continue_work(_task: Continue, scene: Scene) -> Shown:
    """Where the bench was when it was left."""
    last = where(scene.state)
    return Shown(
        scene.text("continue.heading"),
        notes=[scene.said(last)] if last is not None else [],
        act=scene.text("continue.act"),
        run=lambda _: scene.doing.record(Continued()),
    )


@present.register
def lift_hold(_task: LiftHold, scene: Scene) -> Shown:
    """Why it is on hold; a pharmacist lifts it."""

    def run(values: Values) -> None:
        event = HoldLifted(values["reason"])
        scene.doing.sign(event, scene.text("sign.lift_hold", lot=scene.work.lot))

    return Shown(
        scene.text("held.heading"),
        sentences=[(Sign.TRIANGLE, scene.state.held)],
        entries=[Entry("reason", scene.text("held.reason"))],
        act=scene.text("held.act"),
        run=run,
    )
