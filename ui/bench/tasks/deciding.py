"""A line that holds too much: the ways out with their working, and what is decided."""

from __future__ import annotations

from collections.abc import Callable

from formulary.bench.events import LineDecided, Surplus, Way
from formulary.bench.out_of_tolerance import WayOut
from formulary.bench.reading import Reading, Taking
from formulary.bench.to_do import DecideLine
from formulary.bench.weighing import verdict_said
from formulary.bench.words import named
from formulary.desk import Desk
from formulary.finding import Severity
from formulary.messages import Message
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.tasks.weighing import Weighing, gauge_of, record_reading, weighing_of
from ui.bench.typed import a_weight_or_none, weight
from ui.sign_in.dialog import Answered
from ui.signs import Sign


@present.register
def decide_line(task: DecideLine, scene: Scene) -> Shown:
    """First the ways, then the one that is chosen, then what goes to waste by it."""
    job = weighing_of(task.line, scene)
    if (task.line, Way.WASTE) in scene.state.ways:
        return _waste(job)
    ways = {each.way: each for each in scene.memo.ways.get(task.line, ())}
    chosen = scene.memo.way.get(task.line)
    return _decide(job, ways[chosen]) if chosen in ways else _choose(job, tuple(ways.values()))


def _choose(job: Weighing, ways: tuple[WayOut, ...]) -> Shown:
    scene = job.scene

    def chooser(way: Way) -> Callable[[Values], None]:
        def choose(_values: Values) -> None:
            scene.memo.way[job.line.position] = way
            scene.again()

        return choose

    others = [
        Other(scene.said(named(each.way)).capitalize(), str(number), chooser(each.way))
        for number, each in enumerate(ways, 1)
    ]
    return Shown(
        scene.text("decide.heading", ingredient=job.line.ingredient),
        sentences=[
            (Sign.OCTAGON, scene.said(verdict_said(job.line))),
            *((Sign.TRIANGLE, scene.text("decide.not_good", why=each)) for each in _against(scene)),
        ],
        notes=[scene.text("decide.notes")],
        gauge=gauge_of(job),
        others=others,
    )


def _against(scene: Scene) -> list[Message]:
    """Return why making good isn't among the ways."""
    return [each.said for each in scene.memo.doubts if each.severity is Severity.STOP]


def _to_look_at(scene: Scene, way: WayOut) -> list[tuple[Sign, str]]:
    """Return what to look at before making good is decided."""
    doubts = scene.memo.doubts if way.way is Way.MAKE_GOOD else ()
    return [(Sign.TRIANGLE, scene.said(each.said)) for each in doubts]


def _decide(job: Weighing, way: WayOut) -> Shown:
    scene, position = job.scene, job.line.position

    def run(values: Values) -> None:
        surplus = Surplus(values["surplus"]) if way.way is Way.MAKE_GOOD else None
        decision = LineDecided(position, way.way, values["reason"], way.factor, surplus)

        def act(desk: Desk, on: InView, by: Answered) -> AtBench:
            from formulary.verbs.decide_line import decide_line as decide

            return decide(desk, on.lot, decision, by.pin, **on.backing)

        said = scene.said(named(way.way))
        meaning = scene.text("sign.decide", ingredient=job.line.ingredient, way=said)
        scene.doing.countersign("decide_line", meaning, act, without=scene.doing.not_on_paper())

    def back(_values: Values) -> None:
        scene.memo.way.pop(position, None)
        scene.again()

    entries = [Entry("reason", scene.text("decide.reason"))]
    if way.way is Way.MAKE_GOOD:
        fates = [(scene.said(named(each)), each.value) for each in Surplus]
        entries.append(Entry("surplus", scene.text("decide.surplus"), choices=fates))
    return Shown(
        scene.text("decide.chosen", ingredient=job.line.ingredient, way=scene.said(named(way.way))),
        sentences=_to_look_at(scene, way),
        notes=[scene.said(each) for each in way.working],
        entries=entries,
        act=scene.text("decide.act"),
        run=run,
        others=[Other(scene.text("decide.back"), "Ctrl+Backspace", back)],
    )


def _waste(job: Weighing) -> Shown:
    scene = job.scene

    def run(values: Values) -> None:
        left = weight(scene.context, values["left"], job.unit)
        reading = Reading(left, job.balance, taking=Taking.LEFT, manual=True, raw=values["left"])
        record_reading(job, reading, left, "left")

    return Shown(
        scene.text("waste.heading", ingredient=job.line.ingredient),
        notes=[scene.text("waste.notes")],
        sentences=[(Sign.OCTAGON, scene.said(verdict_said(job.line)))],
        gauge=gauge_of(job),
        entries=[
            Entry(
                "left",
                scene.text("waste.left"),
                a_weight_or_none(scene.context, job.unit),
                job.unit,
            )
        ],
        act=scene.text("waste.act"),
        run=run,
    )
