"""The vessel of a phase, weighed empty before anything goes in."""

from __future__ import annotations

from formulary.bench.events import VesselTared
from formulary.bench.to_do import TareVessel
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.balances import check_first
from ui.bench.tasks.presenting import present
from ui.bench.typed import a_weight, a_weight_or_volume, weight, weight_or_volume

TARE_UNIT = "g"


@present.register
def tare_vessel(task: TareVessel, scene: Scene) -> Shown:
    """The tare is typed; the name and the balance are proposed."""
    context = scene.context
    balance = largest_balance(scene)
    house = {each.name: each for each in scene.house.balances}
    if balance in scene.work.unfit and balance in house:
        return check_first(house[balance], scene)

    def run(values: Values) -> None:
        tare = weight(context, values["tare"], TARE_UNIT)
        said = values.get("holds")
        holds = weight_or_volume(context, said) if said else None
        event = VesselTared(values["vessel"], tare, values["balance"], holds, task.phase)
        scene.doing.record(event)

    def leave_out(_values: Values) -> None:
        scene.memo.without_vessel.add(task.phase)
        scene.again()

    def say_size(_values: Values) -> None:
        scene.memo.sizing.symmetric_difference_update({task.phase})
        scene.again()

    phase = phase_name(scene, task.phase)
    proposed = scene.text("vessel.proposed", number=len(scene.state.vessels) + 1)
    return Shown(
        scene.text("vessel.heading", phase=phase) if phase else scene.text("vessel.heading_only"),
        notes=[scene.text("vessel.notes")],
        entries=[
            Entry("tare", scene.text("vessel.tare"), a_weight(context, TARE_UNIT), TARE_UNIT),
            *_size(task, scene),
            Entry("vessel", scene.text("vessel.name"), at_first=proposed),
            Entry(
                "balance",
                scene.text("weigh.balance"),
                at_first=balance,
                choices=[(name, name) for name in house],
            ),
        ],
        act=scene.text("vessel.act"),
        run=run,
        others=[
            Other(scene.text("vessel.none"), "Ctrl+D", leave_out),
            Other(scene.text("vessel.say_size"), "Ctrl+J", say_size),
        ],
    )


def _size(task: TareVessel, scene: Scene) -> list[Entry]:
    """Return what asks how much the vessel holds, once somebody wants to say it."""
    if task.phase not in scene.memo.sizing:
        return []
    words = scene.text("vessel.holds")
    return [Entry("holds", words, a_weight_or_volume(scene.context))]


def largest_balance(scene: Scene) -> str:
    """Return the balance that carries most: a vessel with its content goes onto that."""
    balances = scene.house.balances
    largest = max(balances, key=lambda each: each.capacity.to(TARE_UNIT).number, default=None)
    return largest.name if largest is not None else ""


def phase_name(scene: Scene, code: str) -> str:
    """Return what a phase is called: its code and its name."""
    names = {each.code: each.name for each in scene.work.at.content.phases}
    return f"{code}: {names[code]}" if names.get(code) else code
