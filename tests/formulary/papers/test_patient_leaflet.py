"""A leaflet is one page in the patient's language, of wordings that a pharmacist approved."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.formula.content import LabelText
from formulary.labels.page import BarRun, Direction, GlyphRun, Page
from formulary.labels.raster import rasterise
from formulary.labels.script import as_drawn, direction_of
from formulary.papers.head import HeadTexts
from formulary.papers.leaflet import SIZES_PT, Part, leaflet
from formulary.papers.paging import LEFT_MM
from formulary.papers.patient_leaflet import patient_leaflet
from formulary.preparation import Preparation
from formulary.verbs.issue_labels import label_contents
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.wordings import LEAFLET, approve_wordings, book_of, held_back
from formulary.wording.book import wording_of
from formulary.wording.directions import Dosing, Use
from tests.formulary.papers.reading import misplaced, missing, texts_of
from tests.formulary.papers.subjects import pdf_of
from tests.helpers.bench_work import packed
from tests.helpers.code_reader import codes_in
from tests.helpers.desks import BEN, PIN, a_desk, at, furnished, in_use
from tests.helpers.kept import a_content
from tests.helpers.memory_store import MemoryStore

LANGUAGES = ("en", "de", "es", "fr", "pl", "ar")
DIRECTIONS = "Apply thinly."
THINLY = Dosing(Use.APPLY, place="affected_skin", number=2)


@pytest.fixture
def desk(memory_store: MemoryStore) -> Desk:
    return a_desk(furnished(memory_store))


@pytest.fixture
def made(desk: Desk) -> Preparation:
    """Return a packed cream of two jars."""
    content = replace(a_content(), label=LabelText(directions=DIRECTIONS, warnings=("sun",)))
    started = start_preparation(desk, in_use(desk, content).id, Order("2 x 50 g", dosing=THINLY))
    return packed(desk, started)


def approve(desk: Desk, made: Preparation, language: str) -> None:
    """Let Ben approve what a leaflet in a language says."""
    content = label_contents(desk, made, language=language)[0]
    waiting = held_back(desk.store, content, desk.house.label_language, LEAFLET)
    if waiting:
        approve_wordings(at(desk, BEN), language, waiting, PIN)


def own_runs(pages: tuple[Page, ...]) -> list[GlyphRun]:
    return [each for page in pages for each in page.items if isinstance(each, GlyphRun)]


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_is_one_page_in_the_patients_language(
    desk: Desk, made: Preparation, language: str
) -> None:
    approve(desk, made, language)
    pages = patient_leaflet(desk, made.lot, language=language)
    assert len(pages) == 1
    assert misplaced(pages) == []
    book = book_of(desk.store, language)
    headings = [wording_of(book, f"label.leaflet.{each}").text for each in ("how", "keep", "care")]
    drawn = {each.text for each in own_runs(pages)}
    assert [each for each in headings if as_drawn(each) not in drawn] == []
    assert (made.lot, "]C0") in codes_in(rasterise(pdf_of(pages), 0, 300))


@pytest.mark.parametrize("language", [each for each in LANGUAGES if each not in ("en", "de")])
def test_a_wording_that_nobody_approved_is_refused(
    desk: Desk, made: Preparation, language: str
) -> None:
    with pytest.raises(Refusal) as refused:
        patient_leaflet(desk, made.lot, language=language)
    assert refused.value.message.key == "wording.not_approved"


def test_before_it_is_packed_it_is_a_proof_and_says_so(desk: Desk) -> None:
    started = start_preparation(desk, in_use(desk).id, Order("50 g", dosing=THINLY))
    for language in ("fr", "ar"):
        pages = patient_leaflet(desk, started.lot, language=language)
        stamp = own_runs(pages)[0]
        assert stamp.inverse
        assert stamp.place.left > LEFT_MM


def test_arabic_is_read_from_the_right_with_western_digits(desk: Desk, made: Preparation) -> None:
    approve(desk, made, "ar")
    (page,) = patient_leaflet(desk, made.lot, language="ar")
    below_head = [run for run in own_runs((page,)) if 50 < run.place.top < 270]
    lines: dict[float, list[GlyphRun]] = {}
    for run in below_head:
        lines.setdefault(round(run.y_mm, 2), []).append(run)
    right_edges = {round(max(run.place.right for run in runs), 0) for runs in lines.values()}
    assert len(right_edges) == 1, "every line begins at the right edge"
    text = "".join(run.text for run in below_head)
    assert any(direction_of(run.text) is Direction.RIGHT_TO_LEFT for run in below_head)
    assert not set(text) & set("٠١٢٣٤٥٦٧٨٩")
    assert made.lot in text


def test_a_lot_with_a_prefix_stands_on_one_line_of_the_head() -> None:
    said = "Charge GS26-00029"
    texts = HeadTexts("Haus", "Blatt", "CR-1/1", "GS26-00029", said, lambda n, of: f"{n} von {of}")
    drawn = [each.text for each in own_runs(leaflet(texts, [Part("Wie", ("Dünn auftragen.",))]))]
    assert said in drawn


def test_the_head_of_an_arabic_leaflet_is_mirrored(desk: Desk, made: Preparation) -> None:
    approve(desk, made, "ar")
    (page,) = patient_leaflet(desk, made.lot, language="ar")
    runs = [run for run in own_runs((page,)) if run.place.top < 50]
    lot = next(run for run in runs if made.lot in run.text)
    house = next(run for run in runs if desk.house.name.split()[0] in run.text)
    (code,) = [each for each in page.items if isinstance(each, BarRun)]
    assert lot.place.right < house.place.left
    assert code.place.right < house.place.left
    assert misplaced((page,)) == []


def test_it_says_directions_warnings_storage_and_dates_but_no_person(desk: Desk) -> None:
    content = replace(a_content(), label=LabelText(directions=DIRECTIONS, warnings=("sun",)))
    version = in_use(desk, content)
    order = Order("50 g", patient="Odile Harrenfeld", directions=DIRECTIONS)
    made = packed(desk, start_preparation(desk, version.id, order))
    pages = patient_leaflet(desk, made.lot)
    said = (DIRECTIONS, "Keep skin out of the sun.", "Do not store above 25 °C.", made.lot)
    assert missing(pages, *said, "Ingredients: Zinc oxide, Cream base", "Page 1 of 1") == []
    assert "Harrenfeld" not in "".join(texts_of(pages))


def test_directions_written_in_another_language_are_refused_not_left_out(desk: Desk) -> None:
    started = start_preparation(desk, in_use(desk).id, Order("50 g", directions=DIRECTIONS))
    for language in ("fr", "ar"):
        with pytest.raises(Refusal) as refused:
            patient_leaflet(desk, started.lot, language=language)
        assert refused.value.message.key == "label.directions_in_another_language"


def a_head() -> HeadTexts:
    return HeadTexts("House", "Leaflet", "T-1", "", "", lambda n, total: f"{n} of {total}")


def test_any_parts_make_a_leaflet_in_type_as_large_as_they_allow() -> None:
    short = leaflet(a_head(), [Part("How to use it", (DIRECTIONS,)), Part("Left out", ())])
    assert {run.size_pt for run in own_runs(short) if run.text == DIRECTIONS} == {SIZES_PT[0]}
    assert missing(short, "Left out") != []
    long = leaflet(a_head(), [Part("How to use it", (DIRECTIONS,) * 40)])
    sizes = {run.size_pt for run in own_runs(long) if run.text == DIRECTIONS}
    assert sizes <= set(SIZES_PT[1:])


def test_what_doesnt_fit_on_a_page_in_legible_type_is_refused() -> None:
    with pytest.raises(Refusal) as refused:
        leaflet(a_head(), [Part("How to use it", (DIRECTIONS,) * 200)])
    assert refused.value.message.key == "papers.leaflet_too_long"
