"""A blank that was set aside: the day on which it was made, then all that was written on it."""

from __future__ import annotations

from formulary.bench.to_do import EnterBlank
from formulary.clock import legal_date
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Shown, Values
from ui.bench.tasks.presenting import present
from ui.forms.days import day_of, typed_day


@present.register
def enter_blank(_task: EnterBlank, scene: Scene) -> Shown:
    """The paper is marked as entered later; what stands on it is asked for thing by thing."""
    state, zone = scene.state, scene.context.house.zone
    given = state.reserved_at
    on = legal_date(given, zone) if given is not None else scene.work.at.preparation.made_on

    def run(values: Values) -> None:
        scene.doing.enter_blank(day_of(values["made_on"]), values["note"])

    return Shown(
        scene.text("blank.heading"),
        scene.work.at.preparation.target,
        notes=[
            scene.text("blank.set_aside", day=on, reason=state.reserved),
            scene.text("blank.notes"),
        ],
        entries=[
            Entry("made_on", scene.text("blank.made_on"), typed_day),
            Entry("note", scene.text("blank.note"), required=False, passed_over=True),
        ],
        act=scene.text("blank.act"),
        run=run,
    )
