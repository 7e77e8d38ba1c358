"""The trace report: whom to call stands first, and names only where they were asked for."""

from __future__ import annotations

import pytest

from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound
from formulary.labels.page import GlyphRun, Page
from formulary.papers.printed import printed_now
from formulary.papers.trace_report import TraceSubject, trace_report
from formulary.patient import PatientDetails
from formulary.people import Identity, Part, Person, Post
from formulary.store import Store
from formulary.verbs.read_trace import TraceSeen, foresee_recall, read_trace, whom_to_call
from formulary.verbs.recall_lot import ToCall
from tests.helpers.desks import a_desk, at, furnished
from tests.helpers.stocked import grams, made, ready, weigh

OTTILIE = Identity(
    "x-1", Part.PATIENT, "Ottilie Brandmeer", details=PatientDetails(telephone="555 0142")
)


@pytest.fixture
def desk(memory_store: Store) -> Desk:
    """Return a desk where zinc went into two jars for a patient."""
    desk = a_desk(furnished(memory_store))
    with desk.store.writing(desk.act(), "keep") as writing:
        writing.put(OTTILIE)
    _, (tub,) = ready(desk)
    made(desk, patient=OTTILIE.id)
    weigh(desk, tub, grams(5))
    return desk


def texts(pages: tuple[Page, ...]) -> str:
    return " ".join(i.text for page in pages for i in page.items if isinstance(i, GlyphRun))


def printed(desk: Desk, seen: TraceSeen, names: dict[str, ToCall]) -> str:
    return texts(trace_report(TraceSubject(desk.house, seen, names, printed_now(desk))))


def test_a_lot_is_reported_with_patients_jars_and_what_was_made(desk: Desk) -> None:
    seen = read_trace(desk, "ZN-4711")
    said = printed(desk, seen, whom_to_call(desk, seen))
    for part in (
        "Ottilie Brandmeer",
        "Telephone 555 0142",
        "K26-00001/1",
        "Zinc cream",
        "ZN-4711: Zinc oxide",
    ):
        assert part in said


def test_without_asking_for_names_none_is_printed(desk: Desk) -> None:
    said = printed(desk, read_trace(desk, "ZN-4711"), {})
    assert "Ottilie" not in said
    assert "0142" not in said
    assert "A patient" in said
    assert "signed in" in said


def test_a_jar_is_reported_back_to_its_supplier(desk: Desk) -> None:
    said = printed(desk, read_trace(desk, "K26-00001/2"), {})
    assert "supplier Tidewater Fine Chemicals" in said
    assert "lot ZN-4711: Zinc oxide" in said


def test_who_asked_for_the_names_is_on_record_without_them(desk: Desk) -> None:
    whom_to_call(desk, read_trace(desk, "ZN-4711"))
    entry = desk.store.history()[-1]
    assert entry.verb == "view_patient"
    assert "ZN-4711" in entry.details
    assert "Ottilie" not in entry.details
    assert "0142" not in entry.details


def test_a_reader_is_told_no_names(desk: Desk) -> None:
    reader = at(desk, Person("p-rae", "Rae", Post.READER))
    with pytest.raises(Forbidden):
        whom_to_call(reader, read_trace(reader, "ZN-4711"))


def test_what_a_recall_would_reach_is_foreseen(desk: Desk) -> None:
    found = foresee_recall(desk.store, "zn 4711")
    assert (found.number, found.lots, found.to_call) == ("ZN-4711", 1, 1)
    assert [found.names[each] for each in found.reach.open_work] == ["K26-00001"]


def test_nothing_is_foreseen_of_a_lot_that_isn_t_here(desk: Desk) -> None:
    with pytest.raises(NotFound):
        foresee_recall(desk.store, "ZN-4712")
