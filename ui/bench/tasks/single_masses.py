"""Single masses: each unit as it is weighed, then the verdict on all of them."""

from __future__ import annotations

from collections.abc import Sequence

from formulary.bench.events import QualityTested
from formulary.desk import Desk
from formulary.formula.content import Form
from formulary.quantity.amount import Amount
from formulary.verbs.weigh_units import judged, rule_of, units_to_weigh
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.typed import a_weight, weight
from ui.signs import Sign

PIECE = "piece"
UNIT = "mg"


def weigh_units(test: str, scene: Scene) -> Shown:
    """Return what asks for the next mass, and once all are there, what records the verdict."""
    singles, wanted = scene.memo.singles, units_to_weigh(scene.work.at)
    rule = rule_of(scene.context.house)
    if wanted < TWENTY and rule is None:
        return _without_rule(test, wanted, scene)
    return _judge(test, scene) if len(singles) >= wanted else _next(test, wanted, scene)


TWENTY = 20


def _next(test: str, wanted: int, scene: Scene) -> Shown:
    context, singles = scene.context, scene.memo.singles
    key = "capsules" if scene.work.at.content.form is Form.CAPSULES else "notes"

    def run(values: Values) -> None:
        singles.append(weight(context, values["weight"], UNIT))
        scene.again()

    return Shown(
        scene.text("units.heading", test=test, number=len(singles) + 1, total=wanted),
        notes=[scene.text(f"units.{key}"), _so_far(scene)],
        entries=[Entry("weight", scene.text("weigh.figure"), a_weight(context, UNIT), UNIT)],
        act=scene.text("units.act"),
        run=run,
        others=_back(scene),
    )


def _judge(test: str, scene: Scene) -> Shown:
    singles = tuple(scene.memo.singles)
    found = judged(scene.work.at, singles, scene.context.house)

    def run(_values: Values) -> None:
        scene.memo.singles.clear()
        scene.doing.do(lambda desk, on: _record(desk, on, test, singles))

    return Shown(
        test,
        notes=[_so_far(scene)],
        sentences=[
            (Sign.TICK if found.passed else Sign.OCTAGON, scene.said(each)) for each in found.steps
        ],
        act=scene.text("test.act"),
        run=run,
        others=_back(scene),
    )


def _without_rule(test: str, wanted: int, scene: Scene) -> Shown:
    """Return what lets somebody judge a small batch for which the house has no rule."""

    def judge(values: Values, *, passed: bool) -> None:
        scene.doing.record(QualityTested(test, values["found"], passed))

    return Shown(
        test,
        sentences=[(Sign.TRIANGLE, scene.text("units.no_rule", n=wanted))],
        entries=[Entry("found", scene.text("test.found"))],
        act=scene.text("test.within"),
        run=lambda values: judge(values, passed=True),
        others=[
            Other(
                scene.text("test.outside"),
                "Ctrl+Shift+N",
                lambda values: judge(values, passed=False),
            )
        ],
    )


def _back(scene: Scene) -> Sequence[Other]:
    def back(_values: Values) -> None:
        del scene.memo.singles[-1:]
        scene.again()

    words = scene.text("units.back")
    return [Other(words, "Ctrl+Backspace", back)] if scene.memo.singles else []


def _so_far(scene: Scene) -> str:
    return " · ".join(scene.written(each) for each in scene.memo.singles)


# What is imported on the worker, when first needed.


def _record(desk: Desk, on: InView, test: str, singles: tuple[Amount, ...]) -> AtBench:
    from formulary.verbs.weigh_units import weigh_units as record

    return record(desk, on.lot, test, singles, **on.backing)
