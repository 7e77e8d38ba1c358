"""The yield, the tests, and the containers filled."""

from __future__ import annotations

from formulary.bench.events import ContainersFilled, QualityTested
from formulary.bench.quality import (
    appearance,
    in_range,
    is_appearance,
    look_said,
    looks_for,
    range_of,
)
from formulary.bench.to_do import DoTest, FillContainers, TakeYield
from formulary.formula.content import QualityTest
from formulary.quantity.writing import convenient, write_number
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.typed import a_number, a_weight, number, some_weights, weight, weights
from ui.signs import Sign


@present.register
def take_yield(_task: TakeYield, scene: Scene) -> Shown:
    """What there is, before anything is filled."""
    context = scene.context
    unit = convenient(scene.state.job.plan.total).unit

    def run(values: Values) -> None:
        scene.doing.take_yield(weight(context, values["amount"], unit))

    return Shown(
        scene.text("yield.heading"),
        notes=[scene.text("yield.notes", total=convenient(scene.state.job.plan.total))],
        entries=[Entry("amount", scene.text("yield.amount"), a_weight(context, unit), unit)],
        act=scene.text("yield.act"),
        run=run,
    )


@present.register
def do_test(task: DoTest, scene: Scene) -> Shown:
    """A look is answered item by item, a figure is judged by its limits, the rest by the person."""
    test = next(each for each in scene.work.at.content.tests if each.name == task.test)
    limits = range_of(test.limits)
    if is_appearance(test.name):
        return _look(test, scene)
    return _judge(test, scene) if limits is None else _measure(test, scene)


def _look(test: QualityTest, scene: Scene) -> Shown:
    form, looks = scene.work.at.content.form, scene.memo.looks
    left = [each for each in looks_for(form) if each not in looks]

    def answer(*, right: bool) -> None:
        looks[left[0]] = right
        if len(left) > 1:
            scene.again()
            return
        found = appearance(form, looks)
        said = scene.said(found.steps[-1]).rstrip(".")
        looks.clear()
        scene.doing.record(QualityTested(test.name, said, found.passed))

    signs = {True: Sign.TICK, False: Sign.OCTAGON}
    return Shown(
        scene.text("test.look", test=test.name, item=look_said(left[0])),
        notes=[scene.text("test.limits", limits=test.limits)],
        sentences=[(signs[right], scene.said(look_said(each))) for each, right in looks.items()],
        act=scene.text("test.right"),
        run=lambda _: answer(right=True),
        others=[Other(scene.text("test.wrong"), "N", lambda _: answer(right=False))],
    )


def _measure(test: QualityTest, scene: Scene) -> Shown:
    context = scene.context

    def run(values: Values) -> None:
        found = number(context, values["found"])
        limits = range_of(test.limits)
        passed = limits is None or in_range(found, *limits)[0]
        written = write_number(found, context.house.decimal_sign)
        scene.doing.record(QualityTested(test.name, written, passed))

    return Shown(
        test.name,
        notes=[scene.text("test.limits", limits=test.limits)],
        entries=[Entry("found", scene.text("test.found"), a_number(context))],
        act=scene.text("test.act"),
        run=run,
    )


def _judge(test: QualityTest, scene: Scene) -> Shown:
    def judged(values: Values, *, passed: bool) -> None:
        found = values["found"] or (test.limits if passed else "")
        scene.doing.record(QualityTested(test.name, found, passed))

    return Shown(
        test.name,
        notes=[test.limits],
        entries=[Entry("found", scene.text("test.found"))],
        act=scene.text("test.within"),
        run=lambda values: judged(values, passed=True),
        others=[
            Other(
                scene.text("test.outside"),
                "Ctrl+Shift+N",
                lambda values: judged(values, passed=False),
            )
        ],
    )


@present.register
def fill_containers(_task: FillContainers, scene: Scene) -> Shown:
    """Each container's content as it is filled; after the last one ordered all are recorded."""
    context, nets = scene.context, scene.memo.nets
    preparation, ordered = scene.work.at.preparation, scene.state.job.containers
    unit = preparation.fill.unit

    def filled() -> None:
        given = tuple(nets)
        nets.clear()
        scene.doing.record(ContainersFilled(given))

    def run(values: Values) -> None:
        nets.extend(weights(context, values["net"], unit))
        if len(nets) < ordered:
            scene.again()
        else:
            filled()

    def back(_values: Values) -> None:
        del nets[-1:]
        scene.again()

    others = [
        Other(scene.text("fill.all"), "Ctrl+Return", lambda _: filled()),
        Other(scene.text("fill.back"), "Ctrl+Backspace", back),
    ]
    place = len(nets) + 1
    return Shown(
        scene.text("fill.heading", number=place, total=ordered),
        scene.written(preparation.fill),
        notes=[scene.text("fill.notes", yielded=scene.state.yielded or preparation.fill)],
        sentences=[
            (Sign.TICK, scene.text("fill.one", number=at, net=net))
            for at, net in enumerate(nets, 1)
        ],
        entries=[Entry("net", scene.text("fill.net"), some_weights(context, unit), unit)],
        act=scene.text("fill.act"),
        run=run,
        others=others if nets else [],
    )
