"""The inspection pack: everything of a period in one file, with contents, numbers and bookmarks."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pypdfium2
import pytest

from formulary.bench.events import Category, DeviationOpened, LabelsPrinted, LabelsReconciled
from formulary.desk import Desk
from formulary.equipment import Noted
from formulary.errors import Refusal
from formulary.house import BenchTask, Instrument, InstrumentKind, Training
from formulary.labels.drawing import pdf_bytes
from formulary.labels.raster import rasterise
from formulary.papers.label_list import label_list
from formulary.papers.pack import Pack, inspection_pack
from formulary.papers.stock_paper import stock_list, stock_today
from formulary.papers.subject import of_lot
from formulary.papers.worksheet import worksheet
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.issue_labels import issue_labels
from formulary.verbs.keep_records import save_house
from formulary.verbs.note_equipment import note_equipment
from formulary.verbs.read_period import Days, days_between
from formulary.verbs.recall_lot import recall_lot
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import write_version
from tests.formulary.papers.reading import misplaced, missing, numbers_of, texts_of
from tests.helpers.code_reader import codes_in
from tests.helpers.desks import ADA, CID, MORNING, PIN, a_desk, at, furnished
from tests.helpers.memory_store import MemoryStore
from tests.helpers.pdf_text import squeezed
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, four_lines, lot_of

TODAY = MORNING.date()
MARCH = Days(date(2026, 3, 1), date(2026, 3, 31))


@pytest.fixture
def job(memory_store: MemoryStore) -> Job:
    """Return a released batch, with a deviation, a changed formula and a note in the log."""
    desk = a_stocked_house(a_desk(furnished(memory_store)))
    job = a_job(desk).started("2 x 100 g").cleared()
    record(desk, job.lot, DeviationOpened(Category.OTHER, "Power cut for two minutes"))
    fridge = Instrument("Fridge 1", InstrumentKind.FRIDGE, due=date(2026, 12, 31))
    trained = Training(CID.id, BenchTask.SEMISOLIDS, date(2026, 2, 1))
    house = replace(desk.house, instruments=(fridge,), trainings=(trained,))
    save_house(at(desk, ADA), house)
    note_equipment(desk, "Fridge 1", Noted.CLEANED, note="with ethanol 70 %")
    change = replace(four_lines(), purpose="Dry skin")
    write_version(
        at(desk, ADA), change, formula_id=job.version.formula_id, reason="purpose was missing"
    )
    return job


def pack_of(desk: Desk, days: Days = MARCH) -> Pack:
    return inspection_pack(desk, days)


def test_it_holds_records_deviations_changes_checks_equipment_and_training(job: Job) -> None:
    pages = pack_of(job.desk).pages
    wanted = (
        job.lot,
        "Power cut for two minutes",
        "Not decided yet.",
        "purpose was missing",
        "Purpose: nothing > Dry skin",
        "Fridge 1 cleaned by Cid Dane",
        "with ethanol 70 %",
        "is right: 200 g for 200 g",
        "Cid Dane, technician",
        "Trained for creams, ointments, pastes and gels, to be reviewed by 1 Feb 2026 – overdue",
        "Recalls",
        "Nothing in this period.",
    )
    assert missing(pages, *wanted) == []
    assert misplaced(pages) == []


def test_it_is_numbered_through_and_each_part_keeps_its_own_number(job: Job) -> None:
    pages = pack_of(job.desk).pages
    assert numbers_of(pages, "Inspection pack, page {n} of {total}") == []
    assert all("Page1of" in text or re.search(r"Page\d+of", text) for text in texts_of(pages))


def test_bookmarks_and_contents_lead_to_where_a_part_begins(job: Job) -> None:
    pack = pack_of(job.desk)
    pdf = pdf_bytes(pack.pages, title=pack.title, bookmarks=pack.bookmarks)
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    marks = [
        (each.level, each.get_title(), each.get_dest().get_index()) for each in document.get_toc()
    ]
    texts = texts_of(pack.pages)
    titles = [title for _, title, _ in marks]
    assert titles[:2] == ["Contents", "Register"]
    assert titles[3:] == [
        "Deviations",
        "Complaints and reactions",
        "Recalls",
        "Versions written and put in use",
        "Balance checks",
        "Equipment and room",
        "People and their training",
    ]
    (record_mark,) = [each for each in marks if each[0] == 1]
    assert job.lot in record_mark[1]
    assert squeezed(f"Lot {job.lot}") in texts[record_mark[2]]
    for level, title, page in marks[1:]:
        if level == 0:
            assert squeezed(title) in texts[page]
        assert squeezed(f"{title}{page + 1}") in texts[0]


def test_only_what_is_of_the_period_is_in_it(job: Job) -> None:
    later = Days(TODAY + timedelta(days=1), TODAY + timedelta(days=30))
    pages = pack_of(job.desk, later).pages
    assert missing(pages, job.lot, "Power cut for two minutes", "purpose was missing") == [
        job.lot,
        "Power cut for two minutes",
        "purpose was missing",
    ]
    assert missing(pack_of(job.desk, Days(TODAY, TODAY)).pages, job.lot) == []


def test_whoever_waits_hears_how_far_it_is_and_may_stop_it(job: Job) -> None:
    class StoppedByHand(Exception):
        """Raised where somebody has had enough."""

    heard: list[tuple[int, int]] = []
    inspection_pack(job.desk, MARCH, lambda done, of: heard.append((done, of)))
    assert heard == [(0, 1)]

    def stop(*_: int) -> None:
        raise StoppedByHand

    with pytest.raises(StoppedByHand):
        inspection_pack(job.desk, MARCH, stop)


def test_a_period_that_ends_before_it_begins_or_lasts_too_long_is_refused() -> None:
    for first, last, key in (
        (date(2026, 3, 2), date(2026, 3, 1), "papers.pack.backwards"),
        (date(1926, 3, 2), date(2026, 3, 1), "papers.pack.too_long"),
    ):
        with pytest.raises(Refusal) as refused:
            days_between(first, last)
        assert refused.value.message.key == key
    assert days_between(TODAY, TODAY) == Days(TODAY, TODAY)


def test_the_list_of_labels_counts_each_container_and_shows_the_label(job: Job) -> None:
    job.packed()
    pages = label_list(of_lot(job.desk, job.lot))
    wanted = ("Labels of a preparation", f"{job.lot}/1", f"{job.lot}/2", "100 g", "here")
    assert missing(pages, *wanted) == []
    assert numbers_of(pages, "Page {n} of {total}") == []


def test_the_label_stands_on_the_list_as_it_was_drawn(job: Job) -> None:
    job.packed()
    made = preparation_of(job.desk, job.lot)
    issue_labels(job.desk, made.lot, "70x35", lambda *_: None)
    pages = label_list(of_lot(job.desk, job.lot))
    assert misplaced(pages) == []
    pdf = pdf_bytes(pages, title="labels")
    found = [code for number in range(len(pages)) for code in codes_in(rasterise(pdf, number, 300))]
    assert f"{job.lot}/1" in [text.partition(" ")[0] for text, _ in found]


def test_what_a_recall_reached_is_called_so_in_the_register_and_on_its_record(
    memory_store: MemoryStore,
) -> None:
    desk = a_stocked_house(a_desk(furnished(memory_store)))
    job = a_job(desk).started("2 x 100 g").cleared().released()

    def told() -> list[str]:
        return missing(pack_of(job.desk).pages, "released, recalled")

    assert told() != []
    lot = lot_of(job.desk, job.containers[0])
    recall_lot(at(job.desk, ADA), lot.number, PIN, "wrong assay")
    assert told() == []
    assert missing(worksheet(of_lot(job.desk, job.lot)), "released, recalled") == []
    title = preparation_of(job.desk, job.lot).title
    assert missing(pack_of(job.desk).pages, f"Went into {job.lot} ({title})") == []


def test_the_stock_list_says_what_is_there_until_when_and_how_it_stands(job: Job) -> None:
    pages = stock_list(stock_today(job.desk))
    numbers = [container.number for container in job.containers]
    assert missing(pages, "Stock on 10 Mar 2026", "Urea", "Wax", "accepted", *numbers) == []
    assert misplaced(pages) == []
    assert numbers_of(pages, "Page {n} of {total}") == []


def test_labels_printed_after_they_were_reconciled_stand_on_a_line_of_their_own(job: Job) -> None:
    job.packed()
    at_lot = partial(record, job.desk, job.lot)
    at_lot(LabelsPrinted((1, 2)))
    at_lot(LabelsReconciled(2, 0, 0))
    at_lot(LabelsPrinted((1, 2), reason="Smudged."))
    pages = label_list(of_lot(job.desk, job.lot))
    counted = "2 printed = 2 used + 0 destroyed + 0 spare"
    assert missing(pages, counted, "2 labels printed since", "Smudged.", "Not reconciled.") == []
