"""A mixture made beside, of which a line is a part: both containers and both figures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.bench.events import MixtureMade
from formulary.bench.mixtures import Mixture, mixture_of
from formulary.bench.reading import Reading
from formulary.bench.to_do import MakeMixture
from formulary.bench.weighing import shown
from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient
from formulary.verbs.work_at_bench import AtBench
from ui.bench.doing import NOBODY
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.balances import check_first
from ui.bench.tasks.presenting import present
from ui.bench.tasks.weighing import (
    Weighing,
    both_meanings,
    cautions_of,
    fetch,
    typed_in,
    weighing_of,
)
from ui.bench.typed import a_weight, weight
from ui.sign_in.dialog import Answered

NOTHING = Mixture(Amount(Fraction(0), "g"), Amount(Fraction(0), "g"))


@present.register
def make_mixture(task: MakeMixture, scene: Scene) -> Shown:
    """The container of the substance first, since its lot says how much; then what went in."""
    job = weighing_of(task.line, scene)
    wanted = mixture_of(job.planned, job.factor if job.container else None) or NOTHING
    if not job.container:
        return replace(
            fetch(job),
            heading=scene.text("mixture.heading", ingredient=job.line.ingredient),
            figure=_figure(scene, wanted),
        )
    on = tuple(_instrument(scene, each) for each in (wanted.taken, wanted.made_with))
    unfit = next((name for name in on if name in scene.work.unfit), "")
    balances = {each.name: each for each in scene.context.house.balances}
    return check_first(balances[unfit], scene) if unfit in balances else _mix(job, wanted, on)


def _mix(job: Weighing, wanted: Mixture, on: tuple[str, ...]) -> Shown:
    """Return what asks for the figures, each on its instrument, and the diluent's container."""
    scene, context, position = job.scene, job.scene.context, job.line.position
    units = wanted.taken.unit, wanted.made_with.unit
    plan = job.planned.sub_plan

    def run(values: Values) -> None:
        taken = Reading(
            weight(context, values["substance"], units[0]),
            on[0],
            job.container,
            manual=True,
            typed_container=typed_in(job),
            raw=values["substance"],
        )
        diluent = Reading(
            weight(context, values["diluent"], units[1]),
            on[1],
            values["diluent_from"],
            manual=True,
            typed_container=not values["diluent_from.scanned"],
            raw=values["diluent"],
        )
        _record(job, MixtureMade(position, taken, diluent))

    def other_container(_values: Values) -> None:
        scene.memo.other_container.add(position)
        scene.again()

    text = scene.text
    return Shown(
        text("mixture.heading", ingredient=job.line.ingredient),
        _figure(scene, wanted),
        notes=[
            text("weigh.from", container=job.container, lot=job.lot),
            *map(scene.said, wanted.steps),
            *(scene.said(each) for each in (plan.steps if plan else ())),
        ],
        sentences=list(cautions_of(job)),
        entries=[
            Entry("substance", text("mixture.substance"), a_weight(context, units[0]), units[0]),
            Entry("diluent_from", text("mixture.diluent_from"), scan=True),
            Entry("diluent", text("mixture.diluent"), a_weight(context, units[1]), units[1]),
        ],
        act=text("mixture.act"),
        run=run,
        others=[Other(text("weigh.other_container"), "Ctrl+N", other_container)],
    )


def _figure(scene: Scene, wanted: Mixture) -> str:
    return scene.text(
        "mixture.figure",
        taken=shown(convenient(wanted.taken)),
        made_with=shown(convenient(wanted.made_with)),
    )


def _instrument(scene: Scene, amount: Amount) -> str:
    """Return the finest instrument of the house that does an amount."""
    from formulary.scaling.instruments import able

    house = scene.house
    return next(iter(able(amount, house)), house.balances[0].name if house.balances else "")


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
        **on.backing,
    )
