"""A mixture made beside, of which a line is a part: both containers and both figures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.bench.events import MixtureMade
from formulary.bench.reading import Reading
from formulary.bench.to_do import MakeMixture
from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.verbs.work_at_bench import AtBench
from ui.bench.doing import NOBODY
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Shown, Values
from ui.bench.tasks.balances import check_first
from ui.bench.tasks.presenting import present
from ui.bench.tasks.weighing import Weighing, both_meanings, cautions_of, weighing_of
from ui.bench.typed import a_weight, weight
from ui.sign_in.dialog import Answered

NOTHING = Amount(Fraction(0), "g")


@present.register
def make_mixture(task: MakeMixture, scene: Scene) -> Shown:
    """The steps as they are planned, then what went in of substance and diluent."""
    job = weighing_of(task.line, scene)
    plan = job.planned.sub_plan
    taken = convenient((plan.taken if plan else None) or NOTHING)
    made_with = convenient((plan.made_with if plan else None) or NOTHING)
    on = tuple(_instrument(scene, each) for each in (taken, made_with))
    unfit = next((name for name in on if name in scene.work.unfit), "")
    balances = {each.name: each for each in scene.context.house.balances}
    if unfit in balances:
        return check_first(balances[unfit], scene)

    def run(values: Values) -> None:
        readings = (
            _reading(scene, values, "substance", taken.unit, on[0]),
            _reading(scene, values, "diluent", made_with.unit, on[1]),
        )
        _record(job, MixtureMade(task.line, *readings))

    context = scene.context
    return Shown(
        scene.text("mixture.heading", ingredient=job.line.ingredient),
        scene.text("mixture.figure", taken=taken, made_with=made_with),
        notes=[scene.said(each) for each in plan.steps] if plan else [],
        sentences=list(cautions_of(job)),
        entries=[
            Entry("substance_from", scene.text("mixture.substance_from"), scan=True),
            Entry(
                "substance",
                scene.text("mixture.substance"),
                a_weight(context, taken.unit),
                taken.unit,
            ),
            Entry("diluent_from", scene.text("mixture.diluent_from"), scan=True),
            Entry(
                "diluent",
                scene.text("mixture.diluent"),
                a_weight(context, made_with.unit),
                made_with.unit,
            ),
        ],
        act=scene.text("mixture.act"),
        run=run,
    )


def _instrument(scene: Scene, amount: Amount) -> str:
    """Return the finest instrument of the house that does an amount."""
    from formulary.scaling.instruments import able

    house = scene.house
    return next(iter(able(amount, house)), house.balances[0].name if house.balances else "")


def _reading(scene: Scene, values: Values, what: str, unit: str, on: str) -> Reading:
    return Reading(
        weight(scene.context, values[what], unit),
        on,
        values[f"{what}_from"],
        manual=True,
        typed_container=not values[f"{what}_from.scanned"],
        raw=values[what],
    )


def _record(job: Weighing, event: MixtureMade) -> None:
    doing, ingredient, amount = job.scene.doing, job.line.ingredient, event.taken.amount
    if job.line.controlled:
        meanings = both_meanings(job, "into", amount)
        doing.sign_both(
            "make_mixture",
            meanings,
            lambda desk, on, by: _make(
                desk,
                on,
                _seen(event, by.second_id),
                Answered(by.second_id, by.pin, by.alone_because),
                by.second_pin,
            ),
        )
    elif job.line.high_alert:
        meaning = job.scene.text("sign.witness", ingredient=ingredient, amount=amount)
        doing.witnessed(meaning, lambda desk, on, by: _witnessed(desk, on, event, by))
    else:
        doing.do(lambda desk, on: _make(desk, on, event))


def _seen(event: MixtureMade, by: str) -> MixtureMade:
    return replace(event, taken=replace(event.taken, witness_id=by))


def _witnessed(desk: Desk, on: InView, event: MixtureMade, by: Answered) -> AtBench:
    """Make it with whoever saw it, or alone for a reason."""
    if by.alone_because:
        return _make(desk, on, event, by)
    return _make(desk, on, _seen(event, by.person_id), Answered(by.person_id, ""), by.pin)


def _make(
    desk: Desk,
    on: InView,
    event: MixtureMade,
    by: Answered = NOBODY,
    second_pin: str = "",
) -> AtBench:
    from formulary.verbs.make_mixture import make_mixture as make

    return make(
        desk,
        on.lot,
        event,
        pin=by.pin,
        second_pin=second_pin,
        alone_because=by.alone_because,
        seen=on.seen,
    )
