"""Record what happens to a preparation at the bench: each event is one act, followed at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Unpack

from formulary.bench import events
from formulary.bench.early import NEEDS_TIME, timed
from formulary.bench.events import Event, Recorded
from formulary.bench.fold import follow
from formulary.bench.kept import AloneAct, BenchEvent, BenchJob, FilledJar
from formulary.bench.kept_views import alone_changed, jars_changed
from formulary.bench.original import OnPaper, Original
from formulary.bench.remembering import kept, recorded, requested, state_of
from formulary.bench.stages import Stage
from formulary.bench.standing import bound
from formulary.bench.state import State
from formulary.canonical import text_hash
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Conflict, NotFound, Refusal
from formulary.formula.content import Content
from formulary.formula.version import Version
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.signing import Signature
from formulary.store import Reading, Writing
from formulary.verbs.date_preparation import date_by_what_went_in
from formulary.verbs.fit_for_work import require_fit
from formulary.verbs.order_at_bench import follow_batch, require_order_lets
from formulary.verbs.shortened_treatment import too_short_for_treatment
from formulary.verbs.sign_event import prove_second, signature_of

ACTS: dict[type[Event], str] = {
    events.Reserved: "reserve_blanks",
    events.Planned: "start_preparation",
    events.PlanChecked: "check_plan",
    events.BenchCleared: "clear_bench",
    events.ContainerStaged: "stage_container",
    events.ContainerRefused: "stage_container",
    events.VesselTared: "tare_vessel",
    events.VesselWeighed: "weigh_vessel",
    events.WaterRestored: "restore_water",
    events.LineWeighed: "weigh_line",
    events.LineTransferred: "transfer_line",
    events.LineChecked: "check_line",
    events.EndReached: "end_line",
    events.LineDecided: "decide_line",
    events.DropsAdded: "add_drops",
    events.MixtureMade: "make_mixture",
    events.StepStarted: "start_step",
    events.StepDone: "finish_step",
    events.TimerStarted: "start_timer",
    events.TimerStopped: "stop_timer",
    events.Measured: "note_measurement",
    events.PhasesJoined: "join_phases",
    events.Interrupted: "interrupt_work",
    events.Continued: "continue_work",
    events.YieldTaken: "take_yield",
    events.QualityTested: "test_quality",
    events.ContainersFilled: "fill_containers",
    events.LabelsPrinted: "issue_labels",
    events.LabelsVoided: "void_labels",
    events.LabelsReconciled: "reconcile_labels",
    events.SentForRelease: "send_for_release",
    events.Released: "release",
    events.Rejected: "reject",
    events.HandedOver: "hand_over",
    events.DeviationOpened: "open_deviation",
    events.DeviationDecided: "decide_deviation",
    events.Held: "hold",
    events.HoldLifted: "lift_hold",
    events.Cancelled: "cancel",
    events.SteppedBack: "step_back",
    events.Moved: "move_bench",
    events.Transcribed: "transcribe",
    events.Corrected: "correct_entry",
    events.SelfChecked: "self_check",
}
"""The verb under which each event is done, so that the roles know it."""


@dataclass(frozen=True, slots=True)
class AtBench:
    """A preparation with its formula's content, what happened to it, and where it stands."""

    preparation: Preparation
    content: Content
    job: BenchJob
    events: tuple[BenchEvent, ...]
    state: State


Also = Callable[[Writing, AtBench], None]
"""What else is kept in the same transaction, given where the preparation then stands."""


def at_bench(store: Reading, lot: str) -> AtBench:
    """Return where the preparation with that lot stands.

    Raises :class:`formulary.errors.NotFound` for an unknown lot, and for one that was started
    before this program kept what happens at the bench.
    """
    preparation = store.preparation(lot.strip())
    if preparation is None:
        raise NotFound(message("verbs.no_such_lot", lot=lot.strip()))
    job = store.get(BenchJob, preparation.id)
    version = store.get(Version, preparation.version_id)
    if job is None or version is None:
        raise NotFound(message("verbs.not_at_the_bench", lot=preparation.lot))
    found = tuple(store.having(BenchEvent, preparation_id=preparation.id))
    state = state_of(version.content, job, found)
    return AtBench(preparation, version.content, job, found, state)


class Backing(OnPaper, total=False):
    """What backs an act: the PIN that signs it, and the reason for acting alone.

    ``second_pin`` is that of the second person whom the event names, ``seen`` the number of the
    last event that the person at the desk knew of, ``excepted_by`` the id of who signs an exception
    to the method where that is somebody else. ``original`` is what the paper says of an event
    that was done there first.
    """

    pin: str
    alone_because: str
    second_pin: str
    excepted_by: str
    seen: int


def record(
    desk: Desk, lot: str, event: Event, *, also: Also | None = None, **backing: Unpack[Backing]
) -> AtBench:
    """Record one event and return where the preparation then stands.

    Raises :class:`formulary.errors.Refusal` where the event isn't allowed now,
    :class:`formulary.errors.Forbidden` where this person may not, and
    :class:`formulary.errors.Conflict` where another desk recorded more than this one has ``seen``.
    """
    verb, alone = ACTS[type(event)], backing.get("alone_because", "")
    desk.may(verb)
    if isinstance(event, NEEDS_TIME) and "original" not in backing:
        event = timed(at_bench(desk.store, lot).state, event, desk.clock.now())
    by = backing.get("excepted_by", "")
    signature = signature_of(desk, event, backing.get("pin", ""), alone, by)
    prove_second(desk, event, backing.get("second_pin", ""))
    with desk.writing(verb, alone) as writing:
        before = at_bench(writing, lot)
        require_seen(before, backing.get("seen"))
        original = backing.get("original")
        require_fit(desk, writing, before.content, event, original)
        if signature is not None:
            hashed = bound(before.events, before.job, event)
            signature = replace(signature, content_hash=hashed)
        after = followed(desk, writing, before, event, signature, original)
        after = _with_treatment_told(desk, writing, before, after, original)
        if also is not None:
            also(writing, after)
        return after


def _with_treatment_told(
    desk: Desk, writing: Writing, before: AtBench, after: AtBench, original: Original | None
) -> AtBench:
    """Open a deviation where what went in ends it before the treatment that it is for."""
    made = after.preparation
    said = too_short_for_treatment(writing, made)
    if said is None or made.use_by >= before.preparation.use_by:
        return after
    house = desk.house
    what = Catalogue(house.language, house.decimal_sign).text(said)
    event = events.DeviationOpened(events.Category.OTHER, what)
    return followed(desk, writing, after, event, original=original)


def require_seen(before: AtBench, seen: int | None) -> None:
    """Refuse to go on where more happened than a desk has ``seen``, by the last event's number.

    Raises :class:`formulary.errors.Conflict`, saying who did what, and when. None sees all.
    """
    if seen is None or seen == before.state.events:
        return
    last = recorded(before.events[-1])
    raise Conflict(
        message(
            "verbs.bench_moved_on",
            lot=before.preparation.lot,
            by=last.person,
            at=last.at,
            act=message(f"roles.verb.{ACTS[type(last.event)]}"),
        )
    )


def begin_at_bench(
    desk: Desk, writing: Writing, preparation: Preparation, content: Content, job: BenchJob
) -> AtBench:
    """Keep a new preparation's job and plan it, within the transaction that starts it."""
    asked = put_at_bench(writing, preparation, content, job)
    return followed(desk, writing, asked, planned(preparation))


def put_at_bench(
    writing: Writing, preparation: Preparation, content: Content, job: BenchJob
) -> AtBench:
    """Keep a new preparation's job, and nothing that happened to it yet."""
    writing.put(job)
    return AtBench(preparation, content, job, (), requested(content, job))


def planned(preparation: Preparation) -> events.Planned:
    """Return the event that binds a preparation to its plan."""
    return events.Planned(preparation.target, text_hash(preparation.plan))


def followed(
    desk: Desk,
    writing: Writing,
    before: AtBench,
    event: Event,
    signature: Signature | None = None,
    original: Original | None = None,
) -> AtBench:
    """Keep one more event within a transaction whose verb allows it; see :func:`record`."""
    person = desk.person
    require_order_lets(writing, before.preparation, event)
    number, at = before.state.events + 1, desk.act().at
    happened = Recorded(number, at, person.id, person.name, person.post, event, signature, original)
    state = follow(before.state, happened)
    if state.stage is Stage.BENCH_CLEARED:
        _require_free_bench(writing, before.preparation, state)
    new = writing.put(kept(happened, before.preparation.id))
    _keep_views(writing, before, state)
    writing.tell(lot=before.preparation.lot, event=number)
    made = before.preparation
    if isinstance(event, events.ContainersFilled):
        made = _finally_dated(writing, made)
    moved = _moved(writing, made, state)
    follow_batch(writing, moved, event)
    return replace(
        before,
        preparation=moved,
        events=(*before.events, new),
        state=state,
    )


def happened(events_: tuple[BenchEvent, ...]) -> tuple[Recorded, ...]:
    """Return kept events as they happened."""
    return tuple(map(recorded, events_))


def _keep_views(writing: Writing, before: AtBench, after: State) -> None:
    """Keep what is found without following events: jars, and acts done alone."""
    made = before.preparation
    for jar in jars_changed(before.state, after, made.id, made.lot):
        stored = writing.get(FilledJar, jar.id)
        writing.put(replace(jar, revision=stored.revision if stored else 0))
    for act in alone_changed(before.state, after, made.id, made.lot):
        known = writing.get(AloneAct, act.id)
        writing.put(replace(act, revision=known.revision if known else 0))


def _moved(writing: Writing, preparation: Preparation, state: State) -> Preparation:
    """Return the preparation with its new stage and bench, kept where they changed."""
    moved = replace(preparation, stage=state.stage, workstation=state.workstation)
    return preparation if moved == preparation else writing.put(moved)


def _finally_dated(writing: Writing, preparation: Preparation) -> Preparation:
    """Return the packed preparation with the last day of use that its materials allow."""
    version = writing.get(Version, preparation.version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=preparation.code))
    found = date_by_what_went_in(writing, preparation, version)
    return preparation if found == preparation else writing.put(found)


def _require_free_bench(store: Reading, preparation: Preparation, state: State) -> None:
    """Refuse a second open preparation at one bench; what is entered from paper stands at none."""
    if state.transcribed:
        return
    for stage in (Stage.BENCH_CLEARED, Stage.IN_WORK):
        for other in store.having(Preparation, stage=stage.value, workstation=state.workstation):
            if other.id != preparation.id and not at_bench(store, other.lot).state.transcribed:
                raise Refusal(message("verbs.bench_taken", bench=state.workstation, lot=other.lot))
