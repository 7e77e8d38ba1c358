"""Drops counted in groups as they go in, and the second look at a line."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from formulary.bench.drops import count_said
from formulary.bench.events import LineChecked
from formulary.bench.to_do import CheckLine, CountDrops
from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.stock.numbers import read_container_number
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.tasks.weighing import Weighing, both_meanings, fetch, weighing_of
from ui.bench.typed import a_count, a_weight, count, weight
from ui.signs import Sign

if TYPE_CHECKING:
    from formulary.verbs.two_people import Signing


@present.register
def count_drops(task: CountDrops, scene: Scene) -> Shown:
    """The container first; then each group of drops is typed as it went in."""
    job = weighing_of(task.line, scene)
    drops = next(each for each in scene.state.drops if each.line == task.line)
    if not job.container:
        return fetch(job)

    def run(values: Values) -> None:
        drops = count(values["drops"])
        if job.line.controlled:
            amount = Amount(Fraction(drops), "drop")
            meanings = both_meanings(job, "into", amount)
            scene.doing.sign_both(
                "add_drops", meanings, lambda desk, on, by: _add(desk, on, drops, job, by)
            )
        else:
            scene.doing.do(lambda desk, on: _add(desk, on, drops, job))

    def other_container(_values: Values) -> None:
        scene.memo.other_container.add(task.line)
        scene.again()

    return Shown(
        job.line.ingredient,
        scene.text("drops.to_come", n=drops.to_come),
        notes=[scene.text("weigh.from", container=job.container, lot=job.lot)],
        sentences=[(Sign.TICK if drops.is_inside else Sign.DOT, scene.said(count_said(drops)))],
        entries=[Entry("drops", scene.text("drops.group"), a_count)],
        act=scene.text("drops.act"),
        run=run,
        others=[Other(scene.text("weigh.other_container"), "Ctrl+N", other_container)],
    )


@present.register
def check_line(task: CheckLine, scene: Scene) -> Shown:
    """Container and figure are taken down afresh; nothing of what was typed before is shown."""
    context, job = scene.context, weighing_of(task.line, scene)
    several = sum(bool(each.net.number) for each in job.line.portions)

    def run(values: Values) -> None:
        first, *others = (
            read_container_number(values[f"container{place}"]) for place in range(several)
        )
        seen = weight(context, values["seen"], job.unit)
        event = LineChecked(task.line, first, seen, tuple(others))
        meaning = scene.text("sign.line", ingredient=job.line.ingredient)
        scene.doing.sign(event, meaning, alone=job.line.weighed_by)

    return Shown(
        scene.text("check.heading", ingredient=job.line.ingredient),
        notes=[scene.text("check.notes")],
        sentences=[(Sign.OCTAGON, scene.said(job.line.disputed))] if job.line.disputed else [],
        entries=[
            *(
                Entry(f"container{place}", scene.text("weigh.container"), scan=True)
                for place in range(several)
            ),
            Entry("seen", scene.text("check.seen"), a_weight(context, job.unit), job.unit),
        ],
        act=scene.text("check.act"),
        run=run,
        blind=True,
    )


# What is imported on the worker, when first needed.


def _add(desk: Desk, on: InView, drops: int, job: Weighing, by: Signing | None = None) -> AtBench:
    from formulary.verbs.add_drops import add_drops
    from formulary.verbs.two_people import UNSIGNED

    signed = by or UNSIGNED
    return add_drops(
        desk,
        on.lot,
        job.line.position,
        drops,
        job.container,
        vessel=job.vessel,
        witness_id=signed.second_id,
        pin=signed.pin,
        second_pin=signed.second_pin,
        alone_because=signed.alone_because,
        **on.backing,
    )
