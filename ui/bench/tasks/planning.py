"""Checking the plan, clearing the bench, and taking work up again."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.events import BenchCleared, Continued, HoldLifted, PlanChecked
from formulary.bench.to_do import CheckPlan, ClearBench, Continue, LiftHold
from formulary.bench.words import where
from formulary.formula.kind_text import said as quantity_said
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient
from formulary.roles import MAY
from formulary.scaling.plan import PlannedLine
from formulary.training import why_unfit
from formulary.verbs.work_at_bench import ACTS
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.typed import a_weight, weight
from ui.signs import Sign

FACTOR_DIGITS = 6


@present.register
def check_plan(_task: CheckPlan, scene: Scene) -> Shown:
    """Every figure with its working, or none of them; another person signs."""
    preparation, state = scene.work.at.preparation, scene.state
    if scene.memo.blind:
        return _check_blind(scene)

    def run(_values: Values) -> None:
        meaning = scene.text("sign.plan", title=preparation.title, target=preparation.target)
        scene.doing.sign(PlanChecked(), meaning, alone=(state.planner,))

    return Shown(
        scene.text("plan.heading"),
        preparation.target,
        notes=[scene.text("plan.notes_alone" if _planned_here(scene) else "plan.notes")],
        sentences=_plan_doubts(scene),
        working=list(_working(scene)),
        act=scene.text("plan.act"),
        run=run,
        # On paper the figures stood beside.
        others=[]
        if state.transcribed
        else [Other(scene.text("plan.blind"), "B", lambda _: _turn_blind(scene))],
    )


def _planned_here(scene: Scene) -> bool:
    """Whether who is at the desk made the plan, and may check it alone for a reason."""
    me = scene.context.desk.person
    return me.id == scene.state.planner and me.post in MAY[ACTS[PlanChecked]]


def _check_blind(scene: Scene) -> Shown:
    """Return what asks for each figure as the checker works it out, from what the formula says."""
    preparation, lines = scene.work.at.preparation, scene.state.job.plan.lines
    asked = [(at, each) for at, each in enumerate(lines) if each.to_measure is not None]

    def run(values: Values) -> None:
        figures: list[Amount | None] = [None] * len(lines)
        for at, each in asked:
            figures[at] = weight(scene.context, values[f"line{at}"], _unit(each))
        event = PlanChecked(figures=tuple(figures))
        meaning = scene.text("sign.plan", title=preparation.title, target=preparation.target)
        scene.doing.sign(event, meaning, alone=(scene.state.planner,))

    return Shown(
        scene.text("plan.heading"),
        preparation.target,
        notes=[scene.text("plan.blind_notes")],
        sentences=_plan_doubts(scene),
        entries=[
            Entry(
                f"line{at}",
                _written(scene, each),
                a_weight(scene.context, _unit(each)),
                _unit(each),
            )
            for at, each in asked
        ],
        act=scene.text("plan.act"),
        run=run,
        others=[Other(scene.text("plan.seeing"), "Ctrl+Backspace", lambda _: _turn_blind(scene))],
        blind=True,
    )


def _own_figure(scene: Scene, at: int, line: PlannedLine) -> Entry:
    unit = _unit(line)
    return Entry(f"line{at}", _written(scene, line), a_weight(scene.context, unit), unit)


def _turn_blind(scene: Scene) -> None:
    scene.memo.blind = not scene.memo.blind
    scene.again()


def _plan_doubts(scene: Scene) -> list[tuple[Sign, str]]:
    return [(Sign.OCTAGON, scene.said(each)) for each in scene.state.plan_doubts]


def _unit(line: PlannedLine) -> str:
    return convenient(line.to_measure).unit if line.to_measure is not None else "g"


def _written(scene: Scene, line: PlannedLine) -> str:
    """Return a line as the formula writes it, with its lot's factor."""
    quantity = quantity_said(line.line.quantity)
    said = scene.text("plan.written", ingredient=line.line.ingredient, quantity=quantity)
    if line.correction is None:
        return said
    factor = round_to_significant(line.correction.factor, FACTOR_DIGITS)
    return scene.text("plan.corrected", said=said, factor=factor)


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
            _cleared(scene, tuple(ticks))

    return Shown(
        scene.text("clear.heading"),
        notes=[left[0] if left else scene.text("clear.nothing")],
        sentences=[
            *((Sign.DOT, each) for each in _around(scene)),
            *((Sign.TRIANGLE, each) for each in _unfit(scene)),
            *((Sign.TICK, each) for each in wanted if each in ticks),
        ],
        act=scene.text("clear.tick" if left else "clear.act"),
        run=run,
    )


def _around(scene: Scene) -> Iterator[str]:
    """Yield what was made here before, and what the log says of the room and equipment today."""
    seen = scene.work.around
    if seen is None:
        return
    if seen.before:
        yield scene.text("clear.before", lot=seen.before)
    yield scene.said(seen.room.said) if seen.room is not None else scene.text("clear.no_room")
    yield from (scene.said(each.said) for each in seen.notes)


def _unfit(scene: Scene) -> Iterator[str]:
    if scene.work.not_alone is not None and not scene.state.transcribed:
        yield scene.said(scene.work.not_alone)
    if scene.work.around is not None:
        yield from map(scene.said, scene.work.around.unfit)


def _cleared(scene: Scene, ticks: tuple[str, ...]) -> None:
    """Record the cleared bench, with somebody fit beside whoever isn't."""
    seen = scene.work.around
    room = scene.said(seen.room.said) if seen is not None and seen.room is not None else ""
    event = BenchCleared(ticks, before=seen.before if seen is not None else "", room=room)
    if _fit_alone(scene):
        scene.doing.record(event)
    else:
        scene.doing.clear_beside(event, scene.text("sign.supervise", lot=scene.work.lot))


def _fit_alone(scene: Scene) -> bool:
    """Whether whoever cleared the bench is fit for the work: who is at the desk, or on paper."""
    original = scene.doing.original
    if original is None:
        return scene.work.not_alone is None
    trainings, form = scene.context.house.trainings, scene.work.at.content.form
    day = scene.work.at.preparation.made_on
    return why_unfit(trainings, original.person_id, original.person, form, day) is None


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
