"""Recall a supplier's lot: freeze it, hold all that was made from it, call whoever got some."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from formulary.bench.events import Category, DeviationOpened, Held
from formulary.bench.kept import BenchJob
from formulary.bench.stages import ENDS, Stage, is_earlier
from formulary.canonical import content_hash, json_text, text_hash
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.ids import new_id
from formulary.messages import message
from formulary.people import Identity
from formulary.preparation import Preparation
from formulary.signing import Meaning
from formulary.stock.lot import Halt, SupplyLot
from formulary.stock.recall import (
    Attempt,
    Outcome,
    Recall,
    begin,
    called,
    close,
    contact_of,
    jars_named,
    numbered,
    require_all_reached,
)
from formulary.stock.status import halt
from formulary.store import Reading, Writing
from formulary.tracing import Trace, Way, trace
from formulary.verbs.look_up_stock import lot_with
from formulary.verbs.sign_in import signed
from formulary.verbs.trace_links import forward, lot_node
from formulary.verbs.work_at_bench import at_bench, followed


def recall_lot(desk: Desk, number: str, pin: str, reason: str, *, practice: bool = False) -> Recall:
    """Begin the recall of every delivery of a lot number.

    A practice takes the same steps and freezes nothing. Raises
    :class:`formulary.errors.NotFound` for a number that no lot here has.
    """
    desk.may("recall_lot")
    lots = lots_numbered(desk.store, number)
    bound = text_hash(json_text([content_hash(each) for each in lots]))
    signature = signed(desk, pin, Meaning.DECIDED, bound)
    with desk.writing("recall_lot", reason) as writing:
        found = trace([lot_node(each) for each in lots], Way.FORWARD, forward(writing))
        open_work = _open_work(writing, found)
        recall = begin(new_id(), found, open_work, signature, reason, practice=practice)
        if not practice:
            _freeze(writing, recall)
            _hold(desk, writing, recall, lots[0].number)
        writing.tell(lot=lots[0].number, preparations=len(found.preparations))
        return writing.put(recall)


def lots_numbered(store: Reading, number: str) -> tuple[SupplyLot, ...]:
    """Return every delivery of a lot number; raises :class:`formulary.errors.NotFound`."""
    lots = numbered(store.every(SupplyLot), number)
    if not lots:
        raise NotFound(message("stock.look_up.no_lot", lot=number.strip()))
    return lots


def _open_work(store: Reading, found: Trace) -> set[str]:
    ids = {node.id for node in found.preparations}
    made = store.having_any(Preparation, "id", ids)
    return {each.id for each in made if is_earlier(each.stage, Stage.PACKED)}


def _freeze(writing: Writing, recall: Recall) -> None:
    for lot_id in recall.reach.lots:
        writing.put(halt(lot_with(writing, lot_id), Halt.RECALLED, recall.begun, recall.reason))


def _hold(desk: Desk, writing: Writing, recall: Recall, number: str) -> None:
    """Hold open work and what isn't handed over yet; what is held already can't be released."""
    said = message("verbs.held_by_recall", lot=number, reason=recall.reason)
    reason = Catalogue(desk.house.language).text(said)
    reached = (*recall.reach.open_work, *recall.reach.made)
    for preparation in writing.having_any(Preparation, "id", reached):
        if preparation.stage in ENDS or writing.get(BenchJob, preparation.id) is None:
            continue
        work = at_bench(writing, preparation.lot)
        opened = DeviationOpened(Category.OTHER, reason)
        followed(desk, writing, work, opened if work.state.held else Held(reason))


@dataclass(frozen=True, slots=True)
class Call:
    """What came of calling somebody: which jars came back as they are named, what was said."""

    outcome: Outcome
    jars: str = ""
    note: str = ""


def note_call(desk: Desk, recall_id: str, recipient_id: str, call: Call) -> Recall:
    """Add an attempt to reach somebody to a recall.

    Raises as :func:`formulary.stock.recall.called`.
    """
    at, by = desk.act().at, desk.person
    with desk.writing("note_call") as writing:
        recall = _recall(writing, recall_id)
        jars = jars_named(contact_of(recall, recipient_id), call.jars)
        said = Attempt(at, by.id, by.name, call.outcome, note=call.note.strip(), jars=jars)
        return writing.put(called(recall, recipient_id, said))


def close_recall(desk: Desk, recall_id: str, pin: str, finding: str) -> Recall:
    """Close a recall with whether it worked. Raises Refusal while somebody isn't reached."""
    desk.may("close_recall")
    recall = _recall(desk.store, recall_id)
    require_all_reached(recall)
    closed = close(recall, signed(desk, pin, Meaning.DECIDED, content_hash(recall)), finding)
    with desk.writing("close_recall") as writing:
        return writing.put(closed)


def _recall(store: Reading, recall_id: str) -> Recall:
    found = store.get(Recall, recall_id)
    if found is None:
        raise NotFound(message("stock.recall.none_such"))
    return found


@dataclass(frozen=True, slots=True)
class ToCall:
    """Whom to call, and at which number; ``telephone`` is empty where none was taken down."""

    name: str
    telephone: str = ""


def recipients(desk: Desk, recall: Recall) -> dict[str, ToCall]:
    """Return the patients to call by their ids; who asked for them is on record.

    Raises :class:`formulary.errors.Forbidden` for whoever may not see patients. A name that was
    erased is left out.
    """
    ids = {each.recipient_id for each in recall.contacts if not each.is_ward}
    with desk.writing("view_patient") as writing:
        writing.tell(recall=recall.id, patients=len(ids))
        return people_to_call(writing, ids)


def people_to_call(store: Reading, ids: Collection[str]) -> dict[str, ToCall]:
    """Return the people with these ids whose names weren't erased, by their ids."""
    return {each.id: _to_call(each) for each in store.having_any(Identity, "id", ids)}


def _to_call(identity: Identity) -> ToCall:
    return ToCall(identity.name, identity.details.telephone if identity.details else "")
