"""A worksheet says all: targets before the work, what was done after it, nothing cut."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from formulary.bench.balance_checks import CheckWeight
from formulary.bench.events import ContainerRefused, PhasesJoined, Transcribed
from formulary.errors import Refusal
from formulary.formula.content import Content, MethodStep, Role
from formulary.labels.page import GlyphRun, Page, Place
from formulary.labels.raster import rasterise
from formulary.messages import message
from formulary.papers.subject import Subject
from formulary.papers.words import words_of
from formulary.papers.worksheet import worksheet, worksheets
from formulary.review.overriding import Overriding
from formulary.signing import Meaning, Signature
from tests.formulary.papers.subjects import (
    LOT,
    blank,
    cream,
    filled,
    formulas,
    of_bench,
    of_sample,
    pdf_of,
)
from tests.helpers.at_bench import BORIS, NINE, a_bench, at
from tests.helpers.code_reader import codes_in
from tests.helpers.formulas import a_formula, a_line, amount
from tests.helpers.pdf_text import page_sizes_mm, page_texts, squeezed

WEIGHTS = (CheckWeight("W-1", amount("200 g")), CheckWeight("W-2", amount("20 g")))
# Each word is its own, so that none can be missed where a page ends.
WORDS = [f"stir{number:04}times" for number in range(1500)]


def read(pages: tuple[Page, ...]) -> str:
    """Return what is read on pages, without spaces."""
    return squeezed("".join(page_texts(pdf_of(pages))))


def text_of(subject: Subject) -> str:
    """Return all that is read on the pages, without spaces."""
    return read(worksheet(subject))


def says(subject: Subject, *texts: str) -> list[str]:
    """Return which of the texts are missing."""
    found = text_of(subject)
    return [each for each in texts if squeezed(each) not in found]


def test_a_blank_has_room_for_the_check_of_each_balance_it_needs() -> None:
    planned = blank(lot=LOT)
    needed = {each.instrument for each in planned.plan.lines}
    balances = tuple(replace(each, weights=WEIGHTS) for each in planned.house.balances)
    subject = replace(planned, house=replace(planned.house, balances=balances))
    used = [each.name for each in balances if each.name in needed]
    assert used
    room = ("Check of the balances", "It shows", "W-1, 200 g", "W-2, 20 g", *used)
    assert says(subject, *room) == []
    assert says(filled(), "Check of the balances") == ["Check of the balances"]


def glyphs(pages: tuple[Page, ...]) -> list[GlyphRun]:
    """Return the runs of glyphs of pages."""
    return [each for page in pages for each in page.items if isinstance(each, GlyphRun)]


def crowded(page: Page) -> list[tuple[str, str]]:
    """Return the texts of a page that lie over each other."""
    return [
        (one.text, other.text)
        for one, other in combinations(glyphs((page,)), 2)
        if one.place.overlaps(other.place)
    ]


def test_a_blank_says_what_to_weigh_within_which_band_on_which_balance() -> None:
    missing = says(
        blank(),
        "Test formula",
        "T-1, version 2",
        "No lot yet",
        "20 g",
        "19.4 g to 20.6 g (3 %)",
        "on Middle balance",
        "9.9 g to 10.1 g (1 %)",
        "☐ Nothing else on the bench",
        "Phase A: Fat phase",
        "A, right is 65 to 70 °C",
        "They may differ by 5 °C at most.",
        "After steps 1, 2",
        "pH",
        "4 to 6",
        "Released: order, record, label and product agree",
    )
    assert missing == []


def test_a_band_ends_at_the_last_readings_of_the_balance_that_are_inside() -> None:
    """3 % of 20.03 g ends at 19.4291 and 20.6309 g; the balance reads to 0.01 g."""
    odd = a_formula(a_line("Wax", "20.03 g", Role.BASE), a_line("Oil", "79.97 g"))
    assert says(blank(odd), "19.43 g to 20.63 g (3 %)", "on Middle balance") == []


def test_targets_are_read_at_arms_length() -> None:
    runs = glyphs(worksheet(blank()))
    targets = [each for each in runs if each.text.replace("\N{NO-BREAK SPACE}", " ") == "20 g"]
    assert targets != []
    assert all(each.size_pt >= 14 for each in targets)


def test_the_working_of_every_line_is_included() -> None:
    subject = blank()
    words = words_of(subject.house)
    said = [words.text(step) for line in subject.plan.lines for step in line.working]
    assert len(said) > 3
    assert says(subject, *said) == []


def test_a_records_yield_is_what_was_taken_of_what_was_weighed() -> None:
    """100 g went in and 98 g were there; the two jars hold 48 and 49 g of it."""
    said = ("98 g of 100 g", "98 %", "Of it 97 g is in the containers; 1 g is over.")
    assert says(filled(), *said) == []


def test_a_record_says_what_was_done_by_whom_and_when() -> None:
    missing = says(
        filled(),
        "Preparation record",
        "tare 1 g, gross 22.6 g",
        "typed by hand",
        "ST,+21.60 g",
        "Wax: remove to waste and weigh again. Own boat. (Boris, 2 Mar 2026 09:05)",
        "left after some went to waste:",
        "Right: 20.00 g for 20 g, 0 % off; 3 % is allowed.",
        "100, scanned",
        "lot L1",
        "68.5 °C",
        "98 g",
        "98 g of 100 g = 98 %",
        "passed",
        "2 printed = 2 used + 0 destroyed + 0 spare",
        "Power cut for 2 min",
        "Decided by Boris: No effect on the product",
        "Decided by Boris: remove to waste and weigh again. Own boat",
        "☑ Nothing else on the bench",
    )
    assert missing == []


def test_a_container_that_was_refused_is_on_the_record_at_its_line() -> None:
    bench = a_bench(cream()).cleared()
    bench.does(ContainerRefused(0, "B-00012-8", "It holds Urea, not Wax."))
    subject = of_bench(bench, cream())
    said = "Container B-00012-8 not taken for Wax: It holds Urea, not Wax."
    assert text_of(subject).count(squeezed(said)) == len(("at its line", "in the log"))


def test_signatures_show_name_date_time_and_meaning_and_who_was_alone() -> None:
    missing = says(
        filled(),
        "checked: Plan checked.",
        "2 Mar 2026 09:01",
        "released: Released. Alone: Saturday, nobody else here",
        "Not looked at again yet.",
    )
    assert missing == []


def test_a_record_names_who_answers_for_each_thing_that_a_worksheet_asks_to_be_signed() -> None:
    text = text_of(filled()).partition("DateandtimeMeaning")[2].partition("Everythingthat")[0]
    roles = ("checked:Planchecked", "made:lastact", "recordcomplete:", "released:Released")
    assert [each for each in roles if each not in text] == []
    assert "Anna2Mar202609:20made:lastactinmakingit" in text
    assert "NameandsignatureMeaningMade" not in text


def test_a_worksheet_in_work_asks_only_for_what_nobody_answers_for_yet() -> None:
    bench = a_bench(cream()).cleared()
    text = text_of(of_bench(bench, cream()))
    assert "Planchecked byanotherperson".replace(" ", "") not in text
    assert text.count("Nameandsignature") == len(("made", "complete", "released"))


def test_every_event_is_on_the_record() -> None:
    subject = filled()
    log = text_of(subject).partition("Everythingthathappened")[2]
    assert len(subject.events) > 20
    assert [each for each in subject.events if f"{each.at:%H:%M}{each.person}" not in log] == []


def test_what_waits_to_be_done_has_boxes_and_what_is_over_has_none() -> None:
    assert "Nameandsignature" in text_of(blank())
    assert "Nameandsignature" not in text_of(filled())


def test_no_persons_name_from_outside_is_printed_but_an_opaque_reference() -> None:
    assert says(filled(), "a patient, reference x-77") == []


def test_a_record_entered_from_paper_says_so() -> None:
    bench = a_bench(cream())
    bench.does(Transcribed("K26-00042", "Power cut"))
    assert says(of_bench(bench, cream()), "Written on paper worksheet K26-00042 first") == []


@pytest.mark.parametrize("dots_per_inch", [203, 300])
@pytest.mark.parametrize("lot", [LOT, "GS26-00001", "ABCDE26-00042"])
def test_every_page_carries_the_lot_as_code_and_text_and_its_number(
    lot: str, dots_per_inch: int
) -> None:
    pdf = pdf_of(worksheet(blank(lot=lot)))
    texts = page_texts(pdf)
    assert len(texts) > 1
    for number, text in enumerate(texts):
        assert codes_in(rasterise(pdf, number, dots_per_inch)) == [(lot, "]C0")]
        assert f"Lot{lot}" in squeezed(text)
        assert f"Page{number + 1}of{len(texts)}" in squeezed(text)


def test_pages_are_a4_and_every_page_names_house_formula_and_version() -> None:
    pdf = pdf_of(worksheet(filled()))
    assert set(page_sizes_mm(pdf)) == {(210.0, 297.0)}
    for text in page_texts(pdf):
        assert all(each in squeezed(text) for each in ("Testhouse", "Testformula", "T-1,version2"))


def test_a_sample_and_a_trial_say_so_on_every_page() -> None:
    stamps = (message("papers.stamp.trial"), message("papers.stamp.sample"))
    for text in page_texts(pdf_of(worksheet(replace(blank(), stamps=stamps)))):
        assert "NOTFORUSE–TRIAL,SAMPLE" in squeezed(text)


def test_without_a_stamp_nothing_says_not_for_use() -> None:
    assert "NOTFORUSE" not in text_of(blank())


@pytest.mark.parametrize("content", formulas(), ids=lambda content: content.code)
def test_every_formula_of_the_sample_is_set_inside_its_pages_without_overlap(
    content: Content,
) -> None:
    pages = worksheet(of_sample(content))
    inside = Place(10, 5, 200, 292)
    assert all(item.place.within(inside) for page in pages for item in page.items)
    assert [each for page in pages for each in crowded(page)] == []


def test_a_very_long_method_flows_over_pages_whole() -> None:
    content = cream(steps=(MethodStep(" ".join(WORDS), "A"), MethodStep("Join the phases")))
    pages = worksheet(blank(content))
    assert len(pages) > 5
    found = read(pages)
    assert [each for each in WORDS if each not in found] == []
    assert [each for page in pages for each in crowded(page)] == []


def test_a_word_wider_than_its_column_goes_on_in_the_next_line() -> None:
    word = "x" * 400
    content = cream(cautions=word)
    assert says(blank(content), word) == []


def test_a_sign_that_no_font_has_is_refused_with_its_place() -> None:
    with pytest.raises(Refusal, match="not_printable"):
        worksheet(blank(cream(cautions="Keep from \N{CJK UNIFIED IDEOGRAPH-706B}")))


def test_a_sign_of_the_second_font_is_printed() -> None:
    assert says(blank(cream(cautions="Δ ☂ ≥ 5")), "Δ ☂ ≥ 5") == []


def test_a_title_that_leaves_no_room_is_refused() -> None:
    with pytest.raises(Refusal, match="title_too_long"):
        worksheet(blank(replace(cream(), title="A very long title " * 200)))


def test_high_alert_and_double_check_are_asked_for_on_the_line() -> None:
    subject = blank(high_alert=(2,), needs_check=(2,))
    missing = says(
        subject,
        "High alert: a second person witnesses a figure written by hand.",
        "A second person checks container and figure afresh.",
        "Checked by",
    )
    assert missing == []


def test_several_worksheets_are_each_numbered_by_themselves() -> None:
    pages = worksheets([blank(lot="K26-00001"), blank(lot="K26-00002")])
    texts = [squeezed(each) for each in page_texts(pdf_of(pages))]
    firsts = [each for each in texts if "Page1of" in each]
    assert [("K26-00001" in firsts[0]), ("K26-00002" in firsts[1])] == [True, True]


def test_what_the_review_found_and_why_it_stood_is_on_the_record() -> None:
    by = Signature("p-1", "Ada Berg", "pharmacist", Meaning.DECIDED, NINE)
    said = message("review.finding.peroxides", ingredient="Ether")
    given = Overriding("o-1", "v-1", "peroxides", "ingredient.0.name", said, "fresh bottle", by)
    kept = replace(blank(lot=LOT), overridings=(given,))
    title = "Findings of the review that stand"
    assert says(kept, title, "forms explosive peroxides", "fresh bottle (Ada Berg") == []
    assert says(blank(lot=LOT), title) == [title]


def test_an_exception_names_who_signed_it_at_its_step() -> None:
    bench = a_bench(cream()).melted()
    cold = (at("A", "68"), at("B", "40"))
    event = PhasesJoined(2, cold, exception="The bath failed")
    bench.does(event, BORIS, Meaning.DECIDED)
    subject = of_bench(bench, cream())
    assert says(subject, "Exception, signed by Boris, 2 Mar 2026", "The bath failed") == []
