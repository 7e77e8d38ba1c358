"""Print a preparation's labels: laid out first, then on record and delivered, or neither."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from formulary.bench.applying import require_stage
from formulary.bench.events import LabelsPrinted
from formulary.bench.kept import BenchJob
from formulary.bench.label_strength import strength_outside
from formulary.bench.rules_labels import PRINTED_AT
from formulary.bench.stages import Stage, is_earlier
from formulary.bench.state import Jar
from formulary.canonical import canonical_text
from formulary.catalogue import ENGLISH
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.formula.content import Content
from formulary.formula.version import Version
from formulary.house import House, Printer
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.labels.content import (
    LabelContent,
    Occasion,
    awaiting_release,
    declaring,
    each_container,
    in_two_languages,
    label_content,
    with_people,
    without_people,
)
from formulary.labels.doses import dose_doubts
from formulary.labels.for_printer import faces, on_paper
from formulary.labels.kept_page import keep_pages
from formulary.labels.missing import require_complete
from formulary.labels.overflow import Overflow, in_parts
from formulary.labels.page import Page
from formulary.labels.stock import LabelStock
from formulary.messages import message
from formulary.orders.blocking import Step
from formulary.people import Identity
from formulary.preparation import LabelPrint, Preparation
from formulary.scaling.making import filled
from formulary.store import Reading, Writing
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.date_preparation import date_content, require_datable
from formulary.verbs.order_at_bench import as_ordered, require_clear_for
from formulary.verbs.plan import plan
from formulary.verbs.start_preparation import Order
from formulary.verbs.stocks_of_house import design_for, layout_for, stock_called
from formulary.verbs.wordings import require_approved
from formulary.verbs.work_at_bench import at_bench, followed
from formulary.wording.book import WordingBook
from formulary.wording.strength import only_strength
from formulary.wording.warnings import warnings_for

Deliver = Callable[[Sequence[Page], LabelStock], None]
Leaflets = Callable[[Sequence["LeafletWanted"]], Callable[[], None]]
"""Draws leaflets, which may be refused, and returns what delivers them."""

TRIAL_LOT = "TRIAL"


def label_contents(
    desk: Desk, preparation: Preparation, *, language: str = ""
) -> tuple[LabelContent, ...]:
    """Return what each container's label says, names included, for drawing only.

    ``language`` is the label's own; if not given the patient's, and the house's label language
    where that isn't known either.
    """
    version = _version(desk, preparation.version_id)
    preparation = as_ordered(desk.store, preparation)
    house = _speaking(desk.house, language or preparation.language)
    occasion = Occasion(
        lot=preparation.lot,
        made_on=preparation.made_on,
        use_by=preparation.use_by,
        fill=preparation.fill,
        containers=_jars(desk.store, preparation),
        directions=preparation.directions,
        proof=is_proof(desk.store, preparation),
        dosing=preparation.dosing,
        warnings=_warnings(desk.store, version.content),
        own=_own(desk.store, house.label_language),
        written_in=_written_in(desk.house, version.content, preparation),
        one_off=bool(version.order_id),
    )
    content = label_content(version.content, house, occasion)
    content = _bilingual(desk, replace(content, copy=_copy(desk.store, preparation)))
    patient = _name(desk, preparation.patient_id)
    prescriber = _name(desk, preparation.prescriber_id)
    labels = each_container(with_people(content, patient, prescriber))
    return _as_filled(desk.store, preparation, version.content, labels)


def _as_filled(
    store: Reading, preparation: Preparation, content: Content, labels: tuple[LabelContent, ...]
) -> tuple[LabelContent, ...]:
    """Return the labels with what each jar really holds; before packing as it is ordered."""
    nets = {each.number: each.net for each in _filled_jars(store, preparation)}
    return tuple(declaring(each, content, nets.get(each.container)) for each in labels)


def _bilingual(desk: Desk, content: LabelContent) -> LabelContent:
    language = desk.house.label_language
    own = {each: _own(desk.store, each) for each in (language, ENGLISH)}
    return in_two_languages(content, language, own)


def _written_in(house: House, content: Content, made: Preparation | Order) -> str:
    """Return the language of free directions: the patient's if typed there, else the house's."""
    typed = made.directions.strip() not in ("", content.label.directions.strip())
    return (made.language if typed else "") or house.label_language


def _copy(store: Reading, preparation: Preparation) -> int:
    """Return which print of its labels the next one is; proofs don't count."""
    if is_proof(store, preparation):
        return 1
    return 1 + sum(not each.proof for each in store.prints(preparation.id))


def trial_contents(
    desk: Desk, version_id: str, order: Order, *, language: str = ""
) -> tuple[LabelContent, ...]:
    """Return labels for a trial of any version: no lot is given, and they say "not for use"."""
    return trial_contents_of(desk, _version(desk, version_id).content, order, language=language)


def trial_contents_of(
    desk: Desk, content: Content, order: Order, *, language: str = ""
) -> tuple[LabelContent, ...]:
    """Return trial labels for a content that needn't be kept here."""
    made = plan(desk.store, desk.house, content, order.target, order.excess, order.choices)
    today, house = desk.today, _speaking(desk.house, language or order.language)
    occasion = Occasion(
        lot=TRIAL_LOT,
        made_on=today,
        use_by=require_datable(date_content(desk.house, content, today)).use_by,
        fill=filled(content, made.target.each),
        containers=made.target.count,
        directions=order.directions,
        trial=True,
        dosing=order.dosing,
        warnings=_warnings(desk.store, content),
        own=_own(desk.store, house.label_language),
        written_in=_written_in(desk.house, content, order),
    )
    said = _bilingual(desk, label_content(content, house, occasion))
    return each_container(with_people(said, order.patient, order.prescriber))


@dataclass(frozen=True, slots=True)
class Printing:
    """How labels are printed; ``start`` is the first free place of a sheet, counted from 1.

    With ``awaiting`` one label for the tray says that the batch isn't released; it counts as none
    of its containers'.

    ``language`` is the labels' own where it isn't the patient's or the house's. ``reason`` is why
    labels that were printed before are printed again.
    """

    stock: str
    printer: Printer | None = None
    language: str = ""
    reason: str = ""
    overflow: Overflow = Overflow.NONE
    start: int = 1
    awaiting: bool = False


@dataclass(frozen=True, slots=True)
class LeafletWanted:
    """What goes with the labels of a lot whose rest stands on a leaflet: one for each container."""

    lot: str
    language: str
    copies: int


@dataclass(frozen=True, slots=True)
class _Job:
    """One preparation's labels, ready to be laid out, and the record of their print."""

    preparation: Preparation
    labels: tuple[LabelContent, ...]
    containers: int
    made: LabelPrint

    @property
    def leaflet(self) -> LeafletWanted:
        """What goes with them where their rest stands on a leaflet."""
        return LeafletWanted(self.preparation.lot, self.made.language, self.containers)


def issue_labels(  # noqa: PLR0913  what a print is asked with, each by name
    desk: Desk,
    lot: str,
    stock_code: str,
    deliver: Deliver,
    *,
    printer: Printer | None = None,
    language: str = "",
    reason: str = "",
    overflow: Overflow = Overflow.NONE,
    start: int = 1,
    leaflets: Leaflets | None = None,
) -> LabelPrint:
    """Print one preparation's labels; see :func:`issue_run`."""
    printing = Printing(stock_code, printer, language, reason, overflow, start)
    return issue_run(desk, [lot], printing, deliver, leaflets)[0]


def issue_run(
    desk: Desk,
    lots: Sequence[str],
    printing: Printing,
    deliver: Deliver,
    leaflets: Leaflets | None = None,
) -> tuple[LabelPrint, ...]:
    """Lay labels out, put each print on record and hand all pages to ``deliver``, or none of it.

    What isn't packed yet gets proofs only, which say that they aren't for use. A second print needs
    a reason and its labels say which copy they are. Refused before anything is on record: what
    doesn't fit, what the house's rules for labels ask for and isn't there, a wording that no
    pharmacist has approved, a dose that can't be meant, and a true strength outside its limits. If
    delivering fails, nothing is on record either.

    Where the house has a layout of its own in use for the stock, labels are printed by it. What
    has no room and was left to a leaflet is handed to ``leaflets`` in the same act, and counted.
    """
    stock = stock_called(desk.store, printing.stock)
    beside = None if printing.awaiting or printing.overflow is not Overflow.LEAFLET else leaflets
    jobs = [_job(desk, lot, stock, printing) for lot in dict.fromkeys(lots)]
    labels = [label for job in jobs for label in job.labels]
    design = design_for(desk.store, stock.code)
    drawn = faces(labels, stock, printing.printer, design)
    pages = on_paper(drawn, stock, printing.printer, printing.start)
    of_jobs = iter(drawn)
    jobs = [_as_drawn(job, islice(of_jobs, len(job.labels))) for job in jobs]
    hand_out = None
    if beside is not None:
        hand_out = beside([job.leaflet for job in jobs])
        jobs = [_with_leaflets(job) for job in jobs]
    with desk.writing("issue_labels") as writing:
        kept = tuple(_keep(desk, writing, job, printing.reason) for job in jobs)
        told = ", ".join(each.lot for each in kept)
        writing.tell(lot=told, stock=stock.code, copies=len(labels))
        if hand_out is not None:
            writing.tell(leaflets=sum(each.leaflets for each in kept))
            hand_out()
        deliver(pages, stock)
    return kept


def _as_drawn(job: _Job, labels: Iterable[Page]) -> _Job:
    return replace(job, made=replace(job.made, drawn=keep_pages(labels)))


def _with_leaflets(job: _Job) -> _Job:
    return replace(job, made=replace(job.made, leaflets=job.containers))


def _job(desk: Desk, lot: str, stock: LabelStock, printing: Printing) -> _Job:
    preparation = preparation_of(desk, lot)
    contents = label_contents(desk, preparation, language=printing.language)
    if printing.awaiting:
        require_awaiting(preparation)
        tray = awaiting_release(contents[0])
        made = replace(_record(desk, preparation, stock, [tray]), proof=True)
        return _Job(preparation, (tray,), 0, made)
    if not is_proof(desk.store, preparation):
        _require_labelled_still(desk.store, preparation)
        require_complete(contents[:1])
        require_approved(desk.store, contents[:1], desk.house.label_language)
        _require_dose_meant(desk, preparation, contents[0])
        require_true_strength(desk.store, preparation)
    labels = in_parts(contents, printing.overflow)
    made = replace(_record(desk, preparation, stock, labels), containers=len(contents))
    return _Job(preparation, labels, len(contents), made)


def _require_labelled_still(store: Reading, preparation: Preparation) -> None:
    """Raise Refusal where nothing more is labelled, before anything is said of its room."""
    if store.get(BenchJob, preparation.id) is not None:
        require_stage(at_bench(store, preparation.lot).state, *PRINTED_AT)


def _require_dose_meant(desk: Desk, preparation: Preparation, label: LabelContent) -> None:
    strength = only_strength(_version(desk, preparation.version_id).content)
    for doubt in dose_doubts(label, strength):
        raise Refusal(doubt)


def require_awaiting(preparation: Preparation) -> None:
    """Raise :class:`formulary.errors.Refusal` for what isn't packed yet or is released."""
    waiting = (Stage.PACKED, Stage.LABELLED, Stage.AWAITING_RELEASE)
    if preparation.stage not in waiting:
        raise Refusal(message("label.not_awaiting", lot=preparation.lot))


def _keep(desk: Desk, writing: Writing, job: _Job, reason: str) -> LabelPrint:
    """Keep a print, and that it happened: at the bench, or as the preparation's stage."""
    preparation, made = job.preparation, job.made
    at_the_bench = writing.get(BenchJob, preparation.id) is not None
    if at_the_bench and not made.proof:
        event = LabelsPrinted(tuple(range(1, job.containers + 1)), made.id, reason)
        followed(desk, writing, at_bench(writing, preparation.lot), event)
    elif not made.proof:
        require_clear_for(writing, preparation, Step.LABEL)
        if preparation.stage is not Stage.LABELLED:
            writing.put(replace(preparation, stage=Stage.LABELLED))
    return writing.put(made)


def is_proof(store: Reading, preparation: Preparation) -> bool:
    """Tell whether what is printed now is a proof: it is at the bench and isn't packed."""
    unpacked = is_earlier(preparation.stage, Stage.PACKED)
    return unpacked and store.get(BenchJob, preparation.id) is not None


def require_true_strength(store: Reading, preparation: Preparation) -> None:
    """Raise :class:`formulary.errors.Refusal` for a true strength outside the formula's limits."""
    job = store.get(BenchJob, preparation.id)
    if job is None:
        return
    outside = strength_outside(at_bench(store, preparation.lot).state)
    if outside is not None:
        raise Refusal(outside)


def _warnings(store: Reading, content: Content) -> tuple[str, ...]:
    chosen = warnings_for(content, store.every(Ingredient))
    return tuple(each.code for each in chosen.printed)


def _own(store: Reading, language: str) -> tuple[tuple[str, str], ...]:
    """Return the house's own wordings; without any in a language nothing is asked of it."""
    book = store.get(WordingBook, language)
    return () if book is None else tuple((each.code, each.text) for each in book.own)


def _record(
    desk: Desk, preparation: Preparation, stock: LabelStock, contents: Sequence[LabelContent]
) -> LabelPrint:
    layout = layout_for(desk.store, stock.code)
    return LabelPrint(
        id=new_id(),
        preparation_id=preparation.id,
        lot=preparation.lot,
        stock=stock.code,
        language=contents[0].language,
        copies=len(contents),
        content=canonical_text(without_people(contents[0]), "label content"),
        printed_at=desk.act().at,
        printed_by=desk.person.name,
        proof=is_proof(desk.store, preparation),
        layout=0 if layout is None else layout.number,
    )


def _jars(store: Reading, preparation: Preparation) -> int:
    """Return how many containers there are: those filled, before that those ordered."""
    return len(_filled_jars(store, preparation)) or preparation.containers


def _filled_jars(store: Reading, preparation: Preparation) -> tuple[Jar, ...]:
    unpacked = is_earlier(preparation.stage, Stage.PACKED)
    if unpacked or store.get(BenchJob, preparation.id) is None:
        return ()
    return at_bench(store, preparation.lot).state.jars


def _speaking(house: House, language: str) -> House:
    return replace(house, label_language=language) if language else house


def _version(desk: Desk, version_id: str) -> Version:
    version = desk.store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    return version


def _name(desk: Desk, identity_id: str) -> str:
    found = desk.store.get(Identity, identity_id) if identity_id else None
    return found.name if found else ""
