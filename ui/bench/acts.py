"""What can be done beside the next thing: a row each, with what is asked and what it records."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from formulary.bench import events
from formulary.bench.evaporating import full_gross, water_of, water_said
from formulary.bench.events import Category, Event
from formulary.bench.stages import BEFORE_RELEASE, ENDS, WITH_GOODS, Stage, is_earlier, named
from formulary.bench.state import State
from formulary.bench.words import named as said_of
from formulary.desk import Desk
from formulary.equipment import ROOM, EquipmentNote, Noted
from formulary.errors import Refusal
from formulary.formula.content import Asked
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.typed import a_count, a_number, a_weight, count, number, weight

AT_WORK = (Stage.BENCH_CLEARED, Stage.IN_WORK)


@dataclass(frozen=True, slots=True)
class BenchAct:
    """An act: its keys, whether it makes sense now, its entries, and the event that it records.

    Its words are ``ui_bench.act.<name>``; where it is signed by a second person,
    ``ui_bench.sign.<name>`` says what that means. ``does`` does it where something else is kept,
    ``notes`` is what is shown beside.
    """

    name: str
    keys: str
    fits: Callable[[State], bool]
    entries: Callable[[Scene], list[Entry]]
    event: Callable[[Scene, Values], Event] | None = None
    signed: bool = False
    does: Callable[[Scene, Values], None] | None = None
    notes: Callable[[Scene], list[str]] = lambda _: []


def _reason(scene: Scene) -> list[Entry]:
    return [Entry("reason", scene.text("act.reason"))]


def _vessels(scene: Scene) -> list[tuple[str, str]]:
    return [(each.name, each.name) for each in scene.state.vessels]


def _open(state: State) -> bool:
    return state.stage not in ENDS


def _working(state: State) -> bool:
    return state.stage in AT_WORK and not state.held


def _with_vessel(state: State) -> bool:
    return _working(state) and bool(state.vessels)


def _stages_before(state: State) -> list[Stage]:
    """Return where it can step back to, the nearest first; what is weighed keeps its plan."""
    first = Stage.IN_WORK if any(line.readings for line in state.lines) else Stage.PLANNED
    stages = BEFORE_RELEASE[BEFORE_RELEASE.index(first) :]
    return [each for each in reversed(stages) if is_earlier(each, state.stage)]


def _earlier(scene: Scene) -> list[tuple[str, str]]:
    return [(scene.said(named(each)), each.value) for each in _stages_before(scene.state)]


def _categories(scene: Scene) -> list[tuple[str, str]]:
    return [(scene.said(said_of(each)), each.value) for each in Category]


def _measurable(scene: Scene) -> list[tuple[str, str]]:
    wanted = (Asked.TEMPERATURE, Asked.PH, Asked.TIME)
    return [(scene.said(said_of(each)), each.value) for each in wanted]


def _deviations(scene: Scene) -> list[tuple[str, str]]:
    return [
        (scene.text("act.deviation_of", number=each.number, what=each.what), str(each.number))
        for each in scene.state.open_deviations
    ]


def _timers(scene: Scene) -> list[tuple[str, str]]:
    return [(each.name, str(each.number)) for each in scene.state.open_timers]


def _unchecked(scene: Scene) -> list[tuple[str, str]]:
    return [
        (scene.text("act.alone_of", act=each.act, person=each.person), str(each.event))
        for each in scene.state.exemptions
        if each.checked_at is None
    ]


def _jars(scene: Scene) -> list[tuple[str, str]]:
    return [(str(each.number), str(each.number)) for each in scene.state.jars]


def _grams(scene: Scene, values: Values) -> events.VesselWeighed:
    gross = weight(scene.context, values["gross"], "g")
    return events.VesselWeighed(values["vessel"], gross)


def _water(scene: Scene, values: Values) -> events.WaterRestored:
    amount = weight(scene.context, values["amount"], "g")
    return events.WaterRestored(values["vessel"], amount, values["container"])


def _restore(scene: Scene, values: Values) -> None:
    """Record water with the container that it came from, so that the shelf falls."""
    event = _water(scene, values)

    def act(desk: Desk, on: InView) -> AtBench:
        from formulary.verbs.restore_water import restore_water

        return restore_water(desk, on.lot, event, **on.backing)

    scene.doing.do(act)


def _full(scene: Scene) -> Iterator[str]:
    """Say what each vessel shows where nothing has left it."""
    filled = {line.vessel for line in scene.state.lines}
    for vessel in scene.state.vessels:
        if vessel.name not in filled:
            continue
        try:
            yield scene.said(full_gross(scene.state, scene.state.job.plan, vessel.name))
        except Refusal as refusal:
            yield scene.said(refusal.message)


def _missing(scene: Scene) -> Iterator[str]:
    """Say how much water each weighed vessel lacks, with the working."""
    plan, vapours = scene.state.job.plan, scene.work.vapours
    for vessel in scene.state.vessels:
        if not scene.work.weighed_since(vessel.name):
            continue
        yield scene.said(water_said(scene.state, plan, vessel.name, vapours))
        try:
            _, found = water_of(scene.state, plan, vessel.name, vapours)
        except Refusal:
            continue
        yield from map(scene.said, found.steps)


def _cleanable(scene: Scene) -> list[tuple[str, str]]:
    house = scene.context.house
    instruments = [(each.name, each.name) for each in house.instruments]
    balances = [(each.name, each.name) for each in house.balances]
    return [(scene.context.text("equipment.room"), ROOM), *instruments, *balances]


def _cleaned(scene: Scene, values: Values) -> None:
    """Write into the log that something was cleaned."""

    def note(desk: Desk) -> EquipmentNote:
        from formulary.verbs.note_equipment import note_equipment

        return note_equipment(desk, values["subject"], Noted.CLEANED, note=values["with"])

    scene.doing.note(note)


def _weighing(scene: Scene, name: str) -> list[Entry]:
    return [
        Entry("vessel", scene.text("vessel.name"), choices=_vessels(scene)),
        Entry(name, scene.text(f"act.{name}"), a_weight(scene.context, "g"), "g"),
    ]


ACTS: tuple[BenchAct, ...] = (
    BenchAct(
        "interrupt",
        "Ctrl+I",
        lambda state: _working(state) and not state.interrupted,
        lambda _: [],
        lambda *_: events.Interrupted(),
    ),
    BenchAct(
        "timer",
        "Ctrl+Shift+T",
        lambda state: state.stage in (*AT_WORK, *WITH_GOODS) and not state.held,
        lambda scene: [
            Entry("minutes", scene.text("act.minutes"), a_number(scene.context), "min"),
            Entry("name", scene.text("act.timer_name"), at_first=scene.text("act.timer")),
        ],
        lambda scene, values: events.TimerStarted(
            values["name"], number(scene.context, values["minutes"])
        ),
    ),
    BenchAct(
        "stop_timer",
        "Ctrl+Shift+S",
        lambda state: bool(state.open_timers),
        lambda scene: [
            Entry("reason", scene.text("act.why_stopped"), required=False),
            Entry("timer", scene.text("act.timer_name"), choices=_timers(scene)),
        ],
        lambda _, values: events.TimerStopped(int(values["timer"]), values["reason"]),
    ),
    BenchAct(
        "measure",
        "Ctrl+M",
        _working,
        lambda scene: [
            Entry("number", scene.text("act.number"), a_number(scene.context)),
            Entry("what", scene.text("act.what"), choices=_measurable(scene)),
        ],
        lambda scene, values: events.Measured(
            Asked(values["what"]), number(scene.context, values["number"])
        ),
    ),
    BenchAct(
        "weigh_vessel",
        "Ctrl+W",
        _with_vessel,
        lambda scene: _weighing(scene, "gross"),
        _grams,
        notes=lambda scene: list(_full(scene)),
    ),
    BenchAct(
        "water",
        "Ctrl+Shift+W",
        _with_vessel,
        lambda scene: [
            *_weighing(scene, "amount"),
            Entry("container", scene.text("act.from_container"), required=False),
        ],
        does=_restore,
        notes=lambda scene: list(_missing(scene)),
    ),
    BenchAct(
        "cleaned",
        "Ctrl+Shift+K",
        lambda _: True,
        lambda scene: [
            Entry("with", scene.text("act.with"), required=False),
            Entry("subject", scene.text("act.subject"), choices=_cleanable(scene)),
        ],
        does=_cleaned,
    ),
    BenchAct(
        "deviation",
        "Ctrl+Shift+D",
        _open,
        lambda scene: [
            Entry("what", scene.text("act.what_happened")),
            Entry("impact", scene.text("act.impact"), required=False),
            Entry(
                "category",
                scene.text("act.category"),
                at_first=Category.OTHER.value,
                choices=_categories(scene),
            ),
        ],
        lambda _, values: events.DeviationOpened(
            Category(values["category"]), values["what"], values["impact"]
        ),
    ),
    BenchAct(
        "decide_deviation",
        "Ctrl+Shift+Y",
        lambda state: bool(state.open_deviations),
        lambda scene: [
            Entry("decision", scene.text("act.decision")),
            Entry("deviation", scene.text("act.which_deviation"), choices=_deviations(scene)),
        ],
        lambda _, values: events.DeviationDecided(int(values["deviation"]), values["decision"]),
        signed=True,
    ),
    BenchAct(
        "void_label",
        "Ctrl+Shift+V",
        lambda state: any(each.printed > each.void for each in state.labels),
        lambda scene: [
            Entry("count", scene.text("act.labels"), a_count, at_first="1"),
            Entry("reason", scene.text("act.reason")),
            Entry("jar", scene.text("act.jar"), choices=_jars(scene)),
        ],
        lambda _, values: events.LabelsVoided(
            int(values["jar"]), values["reason"], count(values["count"])
        ),
    ),
    BenchAct(
        "correct",
        "Ctrl+Shift+C",
        lambda state: state.events > 0,
        lambda scene: [
            Entry("event", scene.text("act.entry"), a_count),
            Entry("says", scene.text("act.says")),
            Entry("reason", scene.text("act.reason")),
        ],
        lambda _, values: events.Corrected(
            count(values["event"]), values["says"], values["reason"]
        ),
    ),
    BenchAct(
        "self_check",
        "Ctrl+Shift+Q",
        lambda state: any(each.checked_at is None for each in state.exemptions),
        lambda scene: [Entry("event", scene.text("act.entry"), choices=_unchecked(scene))],
        lambda _, values: events.SelfChecked(int(values["event"])),
        signed=True,
    ),
    BenchAct(
        "move",
        "Ctrl+Shift+M",
        lambda state: _open(state) and not is_earlier(Stage.PACKED, state.stage),
        lambda _: [],
        lambda scene, _: events.Moved(scene.context.desk.workstation),
    ),
    BenchAct(
        "step_back",
        "Ctrl+Shift+B",
        lambda state: bool(_stages_before(state)) and not state.held,
        lambda scene: [
            *_reason(scene),
            Entry("to", scene.text("act.stage"), choices=_earlier(scene)),
        ],
        lambda _, values: events.SteppedBack(Stage(values["to"]), values["reason"]),
    ),
    BenchAct(
        "hold",
        "Ctrl+Shift+H",
        lambda state: _open(state) and not state.held,
        _reason,
        lambda _, values: events.Held(values["reason"]),
    ),
    BenchAct(
        "cancel",
        "Ctrl+Shift+X",
        lambda state: state.stage in BEFORE_RELEASE,
        lambda scene: [*_reason(scene), Entry("fate", scene.text("act.fate"), required=False)],
        lambda _, values: events.Cancelled(values["reason"], values["fate"]),
        signed=True,
    ),
    BenchAct(
        "reject",
        "Ctrl+Shift+R",
        lambda state: state.stage in WITH_GOODS and state.stage is not Stage.AWAITING_RELEASE,
        lambda scene: [*_reason(scene), Entry("fate", scene.text("act.fate"))],
        lambda _, values: events.Rejected(values["reason"], values["fate"]),
        signed=True,
    ),
)


def asking(act: BenchAct, scene: Scene, leave: Callable[[], None]) -> Shown:
    """Return what asks for an act; ``leave`` goes back to the next thing."""

    def run(values: Values) -> None:
        if act.does is not None:
            act.does(scene, values)
        if act.event is None:
            return
        event = act.event(scene, values)
        if act.signed:
            meaning = scene.text(f"sign.{act.name}", lot=scene.work.lot)
            scene.doing.sign(event, meaning)
        else:
            scene.doing.record(event)

    return Shown(
        scene.text(f"act.{act.name}"),
        notes=[scene.text(f"asking.{act.name}"), *act.notes(scene)],
        entries=act.entries(scene),
        act=scene.text(f"act.{act.name}"),
        run=run,
        others=[Other(scene.text("act.never_mind"), "Ctrl+Backspace", lambda _: leave())],
    )
