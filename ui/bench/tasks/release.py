"""Labels counted, the record sent, released or rejected, and each jar handed over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from formulary.bench.events import LabelsReconciled, Recipient, Rejected, Released, SentForRelease
from formulary.bench.remembering import recorded
from formulary.bench.rushed import rushed
from formulary.bench.state import State
from formulary.bench.to_do import HandOver, PrintLabels, ReconcileLabels, Release, SendForRelease
from formulary.bench.words import decision_said, named
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.content import Route
from formulary.messages import message
from formulary.verbs.date_preparation import date_on_record
from formulary.verbs.work_at_bench import AtBench
from ui.bench.reading import InView
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.strengths import strengths_said
from ui.bench.tasks.presenting import present
from ui.bench.typed import a_count, count
from ui.context import PageName
from ui.signs import Sign

if TYPE_CHECKING:
    from formulary.verbs.two_people import Signing


@present.register
def print_labels(_task: PrintLabels, scene: Scene) -> Shown:
    """Labels are printed on their own page, from what was filled."""
    return Shown(
        scene.text("labels.print"),
        notes=[scene.text("labels.print_notes", n=len(scene.state.jars))],
        act=scene.text("labels.go"),
        run=lambda _: scene.context.go(PageName.LABELS, scene.work.lot),
    )


@present.register
def reconcile_labels(_task: ReconcileLabels, scene: Scene) -> Shown:
    """What is counted by hand is typed; what was destroyed is on record."""
    state = scene.state
    void = sum(each.void for each in state.labels)

    def run(values: Values) -> None:
        used, spare = count(values["used"]), count(values["spare"])
        scene.doing.record(LabelsReconciled(used, void, spare))

    return Shown(
        scene.text("labels.reconcile"),
        notes=[scene.text("labels.counts", printed=state.labels_printed, destroyed=void)],
        entries=[
            Entry("used", scene.text("labels.used"), a_count),
            Entry("spare", scene.text("labels.spare"), a_count),
        ],
        act=scene.text("labels.act"),
        run=run,
    )


@present.register
def send_for_release(_task: SendForRelease, scene: Scene) -> Shown:
    """The record is complete."""
    return Shown(
        scene.text("send.heading"),
        columns=record_columns(scene),
        act=scene.text("send.act"),
        run=lambda _: scene.doing.record(SentForRelease()),
    )


@present.register
def release(_task: Release, scene: Scene) -> Shown:
    """Order, record, label and product side by side; another person than the maker signs."""
    if scene.memo.rejecting:
        return reject(scene)
    preparation, state = scene.work.at.preparation, scene.state

    def run(_values: Values) -> None:
        meaning = scene.text("sign.release", title=preparation.title, lot=preparation.lot)
        scene.doing.sign(Released(), meaning, alone=state.makers)

    def turn(_values: Values) -> None:
        scene.memo.rejecting = True
        scene.again()

    return Shown(
        scene.text("release.heading"),
        columns=record_columns(scene),
        sentences=[
            (Sign.OCTAGON, scene.text("release.open", number=each.number, what=each.what))
            for each in state.open_deviations
        ],
        act=scene.text("release.act"),
        run=run,
        others=[Other(scene.text("release.reject"), "Ctrl+Shift+R", turn)],
    )


def reject(scene: Scene) -> Shown:
    """Return what asks why it is rejected, and what becomes of the goods."""
    preparation = scene.work.at.preparation

    def run(values: Values) -> None:
        meaning = scene.text("sign.reject", title=preparation.title, lot=preparation.lot)
        scene.doing.sign(Rejected(values["reason"], values["fate"]), meaning)

    def back(_values: Values) -> None:
        scene.memo.rejecting = False
        scene.again()

    return Shown(
        scene.text("reject.heading"),
        entries=[
            Entry("reason", scene.text("reject.reason")),
            Entry("fate", scene.text("reject.fate")),
        ],
        act=scene.text("reject.act"),
        run=run,
        others=[Other(scene.text("decide.back"), "Ctrl+Backspace", back)],
    )


def record_columns(scene: Scene) -> list[tuple[str, Sequence[str]]]:
    """Return what was ordered, done, labelled and found, each under its heading."""
    preparation, state = scene.work.at.preparation, scene.state
    dated = date_on_record(preparation)
    text = scene.text
    hasty = len(rushed(map(recorded, scene.work.at.events)))
    order = [
        preparation.title,
        text("record.version", number=preparation.version_number),
        preparation.target,
        text("record.use_by", day=preparation.use_by),
        *([text("record.bound_by", bound=dated.bound_by)] if dated else []),
        *([preparation.directions] if preparation.directions else []),
    ]
    done = [
        text("record.lines", n=len(state.lines)),
        text("record.steps", n=len(state.done_steps)),
        *(
            text(
                "record.deviation",
                number=each.number,
                what=each.what,
                decision=decision_said(each),
            )
            for each in state.deviations
            if each.decision
        ),
        *(text("record.alone", act=each.act, because=each.because) for each in state.exemptions),
        *([text("record.rushed", n=hasty)] if hasty else []),
        *([text("record.paper", n=state.from_paper)] if state.from_paper else []),
    ]
    void = sum(each.void for each in state.labels)
    labels = [
        text("record.printed", n=state.labels_printed),
        text("record.containers", n=len(state.jars), ordered=state.job.containers),
        *_fills(scene),
        *([text("record.void", n=void)] if void else []),
    ]
    headings = ("record.order", "record.done", "record.label", "record.product")
    found = (order, done, labels, _product(scene, state))
    return [(text(heading), lines) for heading, lines in zip(headings, found, strict=True)]


def _fills(scene: Scene) -> list[str]:
    """Return what each container declares and holds, where those aren't the same."""
    declared = scene.work.at.preparation.fill
    return [
        scene.text("record.filled", number=each.number, filled=each.net, ordered=declared)
        for each in scene.state.jars
        if each.net != declared
    ]


def _product(scene: Scene, state: State) -> list[str]:
    yielded = [scene.text("record.yield", amount=state.yielded)] if state.yielded else []
    tests = [
        scene.text(
            "record.passed" if each.passed else "record.failed", test=each.test, found=each.found
        )
        for each in state.tests
    ]
    return [*yielded, *tests, *strengths_said(scene.context, state)]


@present.register
def hand_over(task: HandOver, scene: Scene) -> Shown:
    """A jar goes to whom it was made for, or to a patient or ward that is named."""
    if scene.work.at.content.route is Route.NOT_A_MEDICINE:
        return _keep_as_stock(scene)
    preparation = scene.work.at.preparation
    known = bool(preparation.patient_id)
    waiting = [each.number for each in scene.state.jars if each.recipient is None]

    def run(values: Values, jars: Sequence[int]) -> None:
        from formulary.verbs.hand_over_jar import hand_over_jars

        to, name = values.get("to", ""), values.get("name", "")
        telephone = values.get("telephone", "")
        patient = name if to == Recipient.PATIENT.value else ""
        if patient and not telephone and patient not in scene.memo.without_telephone:
            scene.memo.without_telephone.add(patient)
            raise Refusal(message("ui_bench.hand_over.no_telephone", patient=patient))
        ward = name if to == Recipient.WARD.value else ""
        scene.doing.do(
            lambda desk, on: hand_over_jars(
                desk,
                on.lot,
                jars,
                patient=patient,
                telephone=telephone,
                ward=ward,
                seen=on.seen,
            )
        )

    choices = [
        (scene.said(named(each)), each.value) for each in (Recipient.WARD, Recipient.PATIENT)
    ]
    entries = [
        Entry("name", scene.text("hand_over.name")),
        Entry("telephone", scene.text("hand_over.telephone"), required=False, passed_over=True),
        Entry("to", scene.text("hand_over.to"), choices=choices),
    ]
    all_words = scene.text("hand_over.all", n=len(waiting))
    return Shown(
        scene.text("hand_over.heading", number=task.jar, total=len(scene.state.jars)),
        notes=[scene.text("hand_over.known" if known else "hand_over.notes")],
        entries=[] if known else entries,
        act=scene.text("hand_over.act", number=task.jar),
        run=lambda values: run(values, [task.jar]),
        others=[Other(all_words, "Ctrl+Return", lambda values: run(values, waiting))]
        if len(waiting) > 1
        else [],
    )


def _keep_as_stock(scene: Scene) -> Shown:
    """A base or trituration becomes a lot of stock, each jar a container with its own number."""
    made = {each.id: each for each in scene.work.made_here}

    def run(values: Values) -> None:
        ingredient, place = made[values["ingredient"]], values["place"]
        if ingredient.controlled:
            first = scene.text("sign.keep", ingredient=ingredient.name)
            second = scene.text("sign.keep_beside", ingredient=ingredient.name)
            scene.doing.sign_both(
                "keep_intermediate",
                (first, second),
                lambda desk, on, by: _keep(desk, on, ingredient.id, place, by),
                alone=False,
            )
        else:
            scene.doing.do(lambda desk, on: _keep(desk, on, ingredient.id, place))

    if not made:
        return Shown(scene.text("keep.heading"), notes=[scene.text("keep.none")])
    choices = [(each.name, each.id) for each in made.values()]
    return Shown(
        scene.text("keep.heading"),
        notes=[scene.text("keep.notes", n=len(scene.state.jars))],
        entries=[
            Entry("place", scene.text("keep.place")),
            Entry("ingredient", scene.text("keep.ingredient"), choices=choices),
        ],
        act=scene.text("keep.act"),
        run=run,
    )


def _keep(
    desk: Desk, on: InView, ingredient_id: str, place: str, by: Signing | None = None
) -> AtBench:
    from formulary.verbs.keep_intermediate import keep_intermediate
    from formulary.verbs.two_people import UNSIGNED
    from formulary.verbs.work_at_bench import at_bench

    keep_intermediate(desk, on.lot, ingredient_id, place, by or UNSIGNED, seen=on.seen)
    return at_bench(desk.store, on.lot)
