"""For whom a preparation is, and its labels: on record and delivered, or neither."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from formulary.bench.stages import Stage
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.formula.content import LabelText
from formulary.house import Printer
from formulary.labels.content import Stamp, awaiting_release
from formulary.labels.kept_page import PEOPLE, kept_pages
from formulary.labels.overflow import Overflow
from formulary.labels.page import BarRun, Field, GlyphRun, Page
from formulary.labels.stock import LabelStock, label_stock
from formulary.labels.wording import statements
from formulary.people import Identity
from formulary.preparation import Preparation
from formulary.scaling.lot_text import parse_lots
from formulary.scaling.plan import Choices
from formulary.verbs.address_preparation import address_preparation, preparation_of
from formulary.verbs.issue_labels import (
    LeafletWanted,
    Printing,
    issue_labels,
    issue_run,
    label_contents,
    trial_contents,
)
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.write_version import write_version
from formulary.wording.directions import Dosing, Use
from tests.helpers.bench_work import packed
from tests.helpers.desks import in_use
from tests.helpers.formulas import amount
from tests.helpers.kept import a_content
from tests.helpers.stocked_bench import a_job, a_stocked_house, four_lines

STOCK = "100x70"


class Delivered:
    """Takes the pages that would go to a printer or into a file."""

    def __init__(self) -> None:
        self.pages: list[Page] = []

    def __call__(self, pages: Sequence[Page], _stock: LabelStock) -> None:
        self.pages.extend(pages)


def jammed(_pages: Sequence[Page], _stock: LabelStock) -> None:
    """Fail as a printer does."""
    raise OSError("paper jam")


@pytest.fixture
def made(desk: Desk) -> Preparation:
    """Start three jars."""
    return start_preparation(desk, in_use(desk).id, Order("3 x 60 g"))


def test_a_preparation_is_found_by_its_lot(desk: Desk, made: Preparation) -> None:
    assert preparation_of(desk, f" {made.lot} ") == made
    with pytest.raises(NotFound):
        preparation_of(desk, "26-99999")


def test_it_is_addressed_until_it_is_packed(desk: Desk, made: Preparation) -> None:
    addressed = address_preparation(desk, made.lot, "Twice a day.", "Eve Falk", "Dr Gray")
    assert addressed.directions == "Twice a day."
    patient = desk.store.get(Identity, addressed.patient_id)
    assert patient is not None
    assert patient.name == "Eve Falk"
    assert "Falk" not in " ".join(entry.details for entry in desk.store.history())
    packed(desk, addressed)
    with pytest.raises(Forbidden) as caught:
        address_preparation(desk, made.lot, "Once a day.")
    assert caught.value.message.key == "verbs.already_labelled"


def test_each_container_gets_a_label_that_names_all(desk: Desk, made: Preparation) -> None:
    addressed = address_preparation(desk, made.lot, "Twice a day.", "Eve Falk", "Dr Gray")
    contents = label_contents(desk, packed(desk, addressed))
    assert [(each.container, each.containers) for each in contents] == [(1, 3), (2, 3), (3, 3)]
    first = contents[0]
    assert (first.lot, first.made_on, first.use_by) == (made.lot, made.made_on, made.use_by)
    assert (first.patient, first.prescriber) == ("Eve Falk", "Dr Gray")
    assert first.stamp is Stamp.NONE


def test_before_it_is_packed_there_are_only_proofs_that_say_so(
    desk: Desk, made: Preparation
) -> None:
    assert {each.stamp for each in label_contents(desk, made)} == {Stamp.PROOF}
    record = issue_labels(desk, made.lot, STOCK, Delivered())
    assert record.proof
    assert preparation_of(desk, made.lot).stage is Stage.PLANNED
    assert desk.store.register()[0].labels_printed == 0


def test_printing_is_on_record(desk: Desk, made: Preparation) -> None:
    packed(desk, made)
    taken = Delivered()
    record = issue_labels(desk, made.lot, STOCK, taken)
    assert len(taken.pages) == 3
    assert (record.lot, record.stock, record.copies) == (made.lot, STOCK, 3)
    assert list(desk.store.prints(made.id)) == [record]
    entry = desk.store.history()[-1]
    assert entry.verb == "issue_labels"
    assert made.lot in entry.details


def test_every_reprint_has_its_reason_and_is_on_record_too(desk: Desk, made: Preparation) -> None:
    packed(desk, made)
    issue_labels(desk, made.lot, STOCK, Delivered())
    with pytest.raises(Refusal):
        issue_labels(desk, made.lot, STOCK, Delivered())
    issue_labels(desk, made.lot, STOCK, Delivered(), reason="smeared")
    assert len(desk.store.prints(made.id)) == 2
    assert desk.store.register()[0].labels_printed == 6


def test_a_reprint_says_which_copy_it_is(desk: Desk, made: Preparation) -> None:
    preparation = packed(desk, made)
    assert {each.copy for each in label_contents(desk, preparation)} == {1}
    issue_labels(desk, made.lot, STOCK, Delivered())
    again = label_contents(desk, preparation_of(desk, made.lot))
    assert {statements(each)[Field.COPY] for each in again} == {"Copy 2"}
    record = issue_labels(desk, made.lot, STOCK, Delivered(), reason="smeared")
    assert '"copy":2' in record.content


def test_several_preparations_are_printed_in_one_run(desk: Desk, made: Preparation) -> None:
    other = start_preparation(desk, made.version_id, Order("2 x 30 g"))
    for each in (made, other):
        packed(desk, each)
    taken = Delivered()
    before = len(desk.store.history())
    records = issue_run(desk, [made.lot, other.lot], Printing("63.5x38.1-a4", start=2), taken)
    assert [each.copies for each in records] == [3, 2]
    assert len(taken.pages) == 1
    assert len(desk.store.history()) == before + 1
    entry = desk.store.history()[-1]
    assert made.lot in entry.details
    assert other.lot in entry.details
    assert {preparation_of(desk, each.lot).stage for each in records} == {Stage.PACKED}


def test_of_a_run_either_all_are_on_record_or_none(desk: Desk, made: Preparation) -> None:
    other = start_preparation(desk, made.version_id, Order("2 x 30 g"))
    for each in (made, other):
        packed(desk, each)
    with pytest.raises(OSError, match="paper jam"):
        issue_run(desk, [made.lot, other.lot], Printing(STOCK), jammed)
    issue_labels(desk, other.lot, STOCK, Delivered())
    with pytest.raises(Refusal):
        issue_run(desk, [made.lot, other.lot], Printing(STOCK), Delivered())
    assert list(desk.store.prints(made.id)) == []


def test_a_second_label_is_printed_for_each_container(desk: Desk, made: Preparation) -> None:
    packed(desk, made)
    taken = Delivered()
    way = Overflow.SECOND_LABEL
    record = issue_labels(desk, made.lot, STOCK, taken, overflow=way)
    assert (record.copies, record.containers) == (6, 3)
    assert len(taken.pages) == 6
    # Two labels on each of three containers reconcile with three.
    assert desk.store.register()[0].labels_printed == 3


def test_leaflets_are_printed_and_counted_in_the_same_act(desk: Desk, made: Preparation) -> None:
    packed(desk, made)
    taken = Delivered()
    drawn: list[LeafletWanted] = []
    handed: list[int] = []

    def leaflets(wanted: Sequence[LeafletWanted]) -> Callable[[], None]:
        drawn.extend(wanted)
        return lambda: handed.append(len(wanted))

    way = Overflow.LEAFLET
    record = issue_labels(desk, made.lot, STOCK, taken, overflow=way, leaflets=leaflets)
    assert (record.copies, record.containers, record.leaflets) == (3, 3, 3)
    assert drawn == [LeafletWanted(made.lot, "en", 3)]
    assert handed == [1]
    assert list(desk.store.prints(made.id)) == [record]
    assert desk.store.register()[0].labels_printed == 3


def test_where_the_leaflet_jams_nothing_is_on_record(desk: Desk, made: Preparation) -> None:
    packed(desk, made)

    def leaflets(_: Sequence[LeafletWanted]) -> Callable[[], None]:
        return lambda: jammed([], label_stock(STOCK))

    way = Overflow.LEAFLET
    with pytest.raises(OSError, match="paper jam"):
        issue_labels(desk, made.lot, STOCK, Delivered(), overflow=way, leaflets=leaflets)
    assert list(desk.store.prints(made.id)) == []


def test_each_lot_of_a_run_is_printed_in_its_own_patients_language(
    desk: Desk, made: Preparation
) -> None:
    german = Order("2 x 30 g", directions="Dünn auftragen.", language="de")
    other = start_preparation(desk, made.version_id, german)
    taken = Delivered()
    records = issue_run(desk, [made.lot, other.lot], Printing(STOCK), taken)
    assert [each.language for each in records] == ["en", "de"]
    pages = [
        " ".join(each.text for each in page.items if isinstance(each, GlyphRun))
        for page in taken.pages
    ]
    assert ["Use by" in each for each in pages] == [True] * 3 + [False] * 2
    assert ["Verwendbar bis" in each for each in pages] == [False] * 3 + [True] * 2


def test_what_the_rules_for_labels_ask_for_is_printed_or_nothing(
    desk: Desk, made: Preparation
) -> None:
    with desk.writing("save_house") as writing:
        writing.put(replace(desk.house, label_profile="us", telephone=""))
    # A proof may lack what is still to come.
    assert issue_labels(desk, made.lot, STOCK, Delivered()).proof
    packed(desk, made)
    taken = Delivered()
    with pytest.raises(Refusal) as refusal:
        issue_labels(desk, made.lot, STOCK, taken)
    said = Catalogue().text(refusal.value.message)
    assert "pharmacy's telephone number (in Settings)" in said
    assert "strength of each active (in the formula)" in said
    assert taken.pages == []


def test_a_batch_that_waits_for_its_release_has_a_label_for_its_tray(
    desk: Desk, made: Preparation
) -> None:
    taken, waiting = Delivered(), Printing(STOCK, awaiting=True)
    with pytest.raises(Refusal):
        issue_run(desk, [made.lot], waiting, taken)
    preparation = packed(desk, made)
    (record,) = issue_run(desk, [made.lot], waiting, taken)
    assert len(taken.pages) == 1
    said = statements(awaiting_release(label_contents(desk, preparation)[0]))
    assert said[Field.STAMP] == "AWAITING RELEASE – NOT FOR USE"
    assert not {Field.PATIENT, Field.DIRECTIONS, Field.CONTAINER} & said.keys()
    # It is no label of a container: those are still to be printed, without a reason.
    assert record.proof
    assert issue_labels(desk, made.lot, STOCK, Delivered()).copies == 3


def test_what_is_kept_of_a_label_names_no_person(desk: Desk, made: Preparation) -> None:
    address_preparation(desk, made.lot, "Twice a day.", "Eve Falk", "Dr Gray")
    record = issue_labels(desk, made.lot, STOCK, Delivered())
    assert "Zinc cream" in record.content
    assert "Falk" not in record.content
    assert "Gray" not in record.content


def test_what_was_printed_is_kept_as_it_was_drawn(desk: Desk, made: Preparation) -> None:
    address_preparation(desk, made.lot, "Twice a day.", "Eve Falk", "Dr Gray")
    packed(desk, made)
    taken: list[Page] = []
    issue_labels(desk, made.lot, STOCK, lambda pages, _: taken.extend(pages))
    (record,) = desk.store.prints(made.id)
    kept = kept_pages(record.drawn)
    shown = [
        replace(page, items=tuple(each for each in page.items if each.field not in PEOPLE))
        for page in taken
    ]
    assert list(kept) == shown
    assert len(kept) == record.copies
    said = " ".join(each.text for page in kept for each in page.items if isinstance(each, GlyphRun))
    assert "Falk" not in said
    assert "Gray" not in said


def test_of_a_run_on_a_sheet_each_lot_keeps_its_own_labels(desk: Desk, made: Preparation) -> None:
    other = start_preparation(desk, made.version_id, Order("2 x 30 g"))
    for each in (made, other):
        packed(desk, each)
    printing = Printing("63.5x38.1-a4", start=4)
    kept = [
        kept_pages(each.drawn)
        for each in issue_run(desk, [made.lot, other.lot], printing, Delivered())
    ]
    assert [len(each) for each in kept] == [made.containers, 2]
    for pages, lot in zip(kept, (made.lot, other.lot), strict=True):
        assert all((page.width_mm, page.height_mm) == (63.5, 38.1) for page in pages)
        lots = {item.data for page in pages for item in page.items if isinstance(item, BarRun)}
        assert lots <= {lot}


def test_where_delivering_fails_nothing_is_on_record(desk: Desk, made: Preparation) -> None:
    packed(desk, made)
    before = len(desk.store.history())
    with pytest.raises(OSError, match="paper jam"):
        issue_labels(desk, made.lot, STOCK, jammed)
    assert len(desk.store.history()) == before
    assert list(desk.store.prints(made.id)) == []
    assert preparation_of(desk, made.lot).stage is Stage.PACKED


def test_what_does_not_fit_is_refused_before_anything_is_on_record(desk: Desk) -> None:
    long = LabelText(directions="Apply thinly to the skin and rub in well. " * 30)
    version = in_use(desk, replace(a_content(), label=long))
    made = start_preparation(desk, version.id, Order("60 g"))
    before = len(desk.store.history())
    taken = Delivered()
    with pytest.raises(Refusal):
        issue_labels(desk, made.lot, STOCK, taken)
    assert taken.pages == []
    assert len(desk.store.history()) == before


def test_an_unknown_stock_is_refused(desk: Desk, made: Preparation) -> None:
    with pytest.raises(Refusal):
        issue_labels(desk, made.lot, "9x9", Delivered())
    with pytest.raises(NotFound):
        issue_labels(desk, "26-99999", STOCK, Delivered())


def test_a_printers_offset_moves_the_page(desk: Desk, made: Preparation) -> None:
    plain, moved = Delivered(), Delivered()
    issue_labels(desk, made.lot, STOCK, plain, printer=Printer("P", "p"))
    issue_labels(desk, made.lot, STOCK, moved, printer=Printer("P", "p", offset_right_mm="0.5"))
    assert plain.pages != moved.pages


def test_a_label_speaks_another_language_if_asked(desk: Desk, made: Preparation) -> None:
    dosing = Dosing(Use.APPLY, place="affected_skin", number=2)
    address_preparation(desk, made.lot, dosing=dosing)
    record = issue_labels(desk, made.lot, STOCK, Delivered(), language="de")
    assert record.language == "de"


def test_an_unknown_language_is_refused(desk: Desk, made: Preparation) -> None:
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, Delivered(), language="xx")
    assert caught.value.message.key == "label.no_language"


def test_a_trial_of_a_draft_is_marked_not_for_use(desk: Desk) -> None:
    version = write_version(desk, a_content())
    before = len(desk.store.history())
    contents = trial_contents(desk, version.id, Order("2 x 60 g"))
    assert [each.stamp for each in contents] == [Stamp.TRIAL, Stamp.TRIAL]
    assert len(desk.store.history()) == before


def test_a_trial_without_shelf_life_is_refused(desk: Desk) -> None:
    version = write_version(desk, replace(a_content(), shelf_life=None))
    with pytest.raises(Refusal) as caught:
        trial_contents(desk, version.id, Order("60 g"))
    assert caught.value.message.key == "verbs.shelf_life_needed"


@pytest.mark.parametrize(("assay", "weighed"), [("95", "9.474"), ("80", "11.25")])
def test_labels_state_the_declared_strength_never_the_corrected_amount(
    desk: Desk, assay: str, weighed: str
) -> None:
    """By hand: 5 % of 180 g is 9 g; 9 g / 0.95 = 9.474 g, 9 g / 0.8 = 11.25 g."""
    content = replace(a_content(), label=LabelText(strength="Zinc oxide 5 % w/w"))
    version = in_use(desk, content)
    lots = parse_lots([f"Zinc oxide: assay={assay}"], content)
    plain = start_preparation(desk, version.id, Order("3 x 60 g"))
    order = Order("3 x 60 g", choices=Choices(lots=lots.certificates))
    corrected = start_preparation(desk, version.id, order)
    assert f'"amount":"{weighed}"' in corrected.plan.replace(" ", "")
    assert weighed not in plain.plan
    said = [label_contents(desk, each) for each in (plain, corrected)]
    for one, other in zip(*said, strict=True):
        assert other.strength == "Zinc oxide 5 % w/w"
        assert replace(other, lot=one.lot) == one


def test_a_label_declares_what_its_jar_was_filled_with(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk), four_lines())
    made = job.started("2 x 50 g").cleared().packed("49 g", "50 g").made
    quantities = [each.quantity for each in label_contents(desk, made)]
    assert quantities == [amount("49 g"), amount("50 g")]
