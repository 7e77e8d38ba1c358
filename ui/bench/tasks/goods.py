"""The yield, the tests, and the containers filled."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtWidgets import QApplication

from formulary.bench.events import QualityTested
from formulary.bench.quality import (
    appearance,
    in_range,
    is_appearance,
    is_uniformity,
    look_said,
    looks_for,
    range_of,
)
from formulary.bench.to_do import DoTest, FillContainers, TakeYield
from formulary.bench.true_strength import in_all
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.content import QualityTest
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient, write_number
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.tasks.single_masses import PIECE, weigh_units
from ui.bench.typed import (
    a_number,
    a_weight,
    a_weight_or_none,
    number,
    or_nothing,
    some_weights,
    weight,
    weights,
)
from ui.files import ask_to_open, read_file
from ui.signs import Sign

NOTHING = ("none", "nothing", "nil")
"""Limits by which a bare word would read as if there were no limits."""


@present.register
def take_yield(_task: TakeYield, scene: Scene) -> Shown:
    """What there is, before anything is filled."""
    context = scene.context
    unit = convenient(scene.state.job.plan.total).unit

    def run(values: Values) -> None:
        left = values["residue"]
        residue = weight(context, left, unit) if left else None
        scene.doing.take_yield(weight(context, values["amount"], unit), residue)

    return Shown(
        scene.text("yield.heading"),
        notes=[scene.text("yield.notes", total=_in_all(scene))],
        entries=[
            Entry("amount", scene.text("yield.amount"), a_weight(context, unit), unit),
            Entry(
                "residue",
                scene.text("yield.residue"),
                or_nothing(a_weight_or_none(context, unit)),
                unit,
                required=False,
                passed_over=True,
            ),
        ],
        act=scene.text("yield.act"),
        run=run,
    )


def _in_all(scene: Scene) -> Amount:
    """Return what the batch comes to as it was weighed, made good or not."""
    return convenient(in_all(scene.state.job.plan, scene.state.lines))


@present.register
def do_test(task: DoTest, scene: Scene) -> Shown:
    """A look is answered item by item, a figure is judged by its limits, the rest by the person."""
    if is_uniformity(task.test) and scene.state.job.plan.total.unit == PIECE:
        return weigh_units(task.test, scene)
    test = next(each for each in scene.work.at.content.tests if each.name == task.test)
    limits = range_of(test.limits)
    if is_appearance(test.name):
        return _look(test, scene)
    return _judge(test, scene) if limits is None else _measure(test, scene)


def _limits_said(test: QualityTest, scene: Scene) -> str:
    """Return a test's limits as they are written, in a sentence that can stand alone."""
    limits = test.limits.strip()
    if not limits:
        return scene.text("test.no_limits")
    if limits.rstrip(".").casefold() in NOTHING:
        return scene.text("test.nothing_allowed")
    return scene.text("test.limits", limits=limits)


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
        _record(scene, QualityTested(test.name, said, found.passed))

    signs = {True: Sign.TICK, False: Sign.OCTAGON}
    return Shown(
        scene.text("test.look", test=test.name, item=look_said(left[0])),
        notes=[_limits_said(test, scene)],
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
        _record(scene, QualityTested(test.name, written, passed))

    return Shown(
        test.name,
        notes=[scene.text("test.limits", limits=test.limits)],
        sentences=list(_attached(scene)),
        entries=[Entry("found", scene.text("test.found"), a_number(context))],
        act=scene.text("test.act"),
        run=run,
        others=[_certificate(scene)],
    )


def _judge(test: QualityTest, scene: Scene) -> Shown:
    def judged(values: Values, *, passed: bool) -> None:
        found = values["found"] or (test.limits if passed else "")
        _record(scene, QualityTested(test.name, found, passed))

    return Shown(
        test.name,
        notes=[_limits_said(test, scene)],
        sentences=list(_attached(scene)),
        entries=[Entry("found", scene.text("test.found"))],
        act=scene.text("test.within"),
        run=lambda values: judged(values, passed=True),
        others=[
            Other(
                scene.text("test.outside"),
                "Ctrl+Shift+N",
                lambda values: judged(values, passed=False),
            ),
            _certificate(scene),
        ],
    )


def _record(scene: Scene, event: QualityTested) -> None:
    """Record a finding, with the certificate that was chosen for it."""
    chosen, scene.memo.certificate = scene.memo.certificate, None
    if chosen is None:
        scene.doing.record(event)
    else:
        scene.doing.do(lambda desk, on: _attach(desk, on, event, chosen))


def _attached(scene: Scene) -> Iterator[tuple[Sign, str]]:
    if scene.memo.certificate is not None:
        yield Sign.TICK, scene.text("test.attached", name=scene.memo.certificate[0])


def _certificate(scene: Scene) -> Other:
    return Other(scene.text("test.certificate"), "Ctrl+O", lambda _: _choose(scene))


def _choose(scene: Scene) -> None:
    words = scene.context.text("ui_stock.documents")

    def chosen(path: Path) -> None:
        try:
            scene.memo.certificate = (path.name, read_file(path))
        except Refusal as unreadable:
            scene.doing.refuse(unreadable)
            return
        scene.again()

    ask_to_open(QApplication.activeWindow(), scene.text("test.certificate"), chosen, words)


def _attach(desk: Desk, on: InView, event: QualityTested, file: tuple[str, bytes]) -> AtBench:
    from formulary.verbs.attach_result import attach_result

    return attach_result(desk, on.lot, event, *file, **on.backing)


@present.register
def fill_containers(_task: FillContainers, scene: Scene) -> Shown:
    """Each container's content as it is filled; after the last one ordered all are recorded."""
    context, nets = scene.context, scene.memo.nets
    preparation, ordered = scene.work.at.preparation, scene.state.job.containers
    unit = preparation.fill.unit

    def filled(values: Values) -> None:
        given, goods = tuple(nets), values.get("goods", "")
        nets.clear()
        scene.doing.do(lambda desk, on: _fill(desk, on, given, goods))

    def run(values: Values) -> None:
        nets.extend(weights(context, values["net"], unit))
        scene.memo.goods = values.get("goods", "")
        if len(nets) < ordered:
            scene.again()
        else:
            filled(values)

    def back(_values: Values) -> None:
        del nets[-1:]
        scene.again()

    others = [
        Other(scene.text("fill.all"), "Ctrl+Return", filled),
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
        entries=[
            Entry("net", scene.text("fill.net"), some_weights(context, unit), unit),
            *_goods(scene),
        ],
        act=scene.text("fill.act"),
        run=run,
        others=others if nets else [],
    )


def _goods(scene: Scene) -> Iterator[Entry]:
    """Ask which counted containers are filled, where the house counts any."""
    if scene.work.goods:
        none = (scene.text("fill.not_counted"), "")
        named = [
            (scene.text("fill.goods_of", name=each.name, lot=each.number or "-"), each.id)
            for each in scene.work.goods
        ]
        yield Entry(
            "goods",
            scene.text("fill.goods"),
            at_first=scene.memo.goods,
            required=False,
            choices=[none, *named],
        )


def _fill(desk: Desk, on: InView, nets: tuple[Amount, ...], goods: str) -> AtBench:
    from formulary.verbs.fill_containers import fill_containers

    return fill_containers(desk, on.lot, nets, goods, **on.backing)
