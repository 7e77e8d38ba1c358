"""A wording prints for a patient once a pharmacist of the house has approved it, and not before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.bench import true_strength
from formulary.bench.label_strength import strength_outside
from formulary.desk import Desk
from formulary.errors import BadText, Forbidden, Refusal
from formulary.exchange.sample_house import sample_house
from formulary.formula.content import Content, Form, LabelText, Line, Role, Route
from formulary.formula.kinds import Share, ToTotal
from formulary.labels.content import LabelContent
from formulary.labels.page import Field, Page
from formulary.labels.stock import LabelStock
from formulary.labels.wording import statements
from formulary.messages import message
from formulary.patient import PatientDetails
from formulary.preparation import Preparation
from formulary.quantity.amount import Amount, Concentration
from formulary.signing import Meaning
from formulary.verbs import issue_labels as issuing
from formulary.verbs.address_preparation import address_preparation
from formulary.verbs.change_order import asked_of, change_order
from formulary.verbs.issue_labels import issue_labels, label_contents, trial_contents
from formulary.verbs.last_supply import strength_changes
from formulary.verbs.look_up_order import order_with
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.take_order import take_order
from formulary.verbs.wordings import (
    approve_wordings,
    book_of,
    change_wording,
    held_back,
    waiting_on,
    wordings_in,
)
from formulary.verbs.work_at_bench import at_bench
from formulary.wording.book import FREE, Wording, codes, wording_of
from formulary.wording.directions import Dosing, Food, Use
from tests.helpers.bench_work import packed
from tests.helpers.desks import BEN, CID, PIN, at, in_use
from tests.helpers.kept import a_content
from tests.helpers.ordered import PATIENT, an_order, asked, kept_well

STOCK = "100x70"
THINLY = Dosing(Use.APPLY, place="affected_skin", number=2)
DRINK = Dosing(Use.TAKE, Amount(Fraction(5), "mL"), place="by_mouth", number=3, food=Food.AFTER)


def nowhere(_pages: Sequence[Page], _stock: LabelStock) -> None:
    """Deliver labels nowhere."""


def a_syrup(strength: str = "2", code: str = "SY") -> Content:
    """Return a liquid by mouth of so many mg in 1 mL."""
    lines = (
        Line("Thiamine", Share(Concentration(Fraction(strength), "mg/mL")), Role.ACTIVE),
        Line("Syrup", ToTotal(Amount(Fraction(100), "mL")), Role.VEHICLE),
    )
    made = kept_well(a_content(f"Thiamine syrup {code}", code))
    return replace(made, form=Form.SOLUTION, route=Route.ORAL, lines=lines, total=None)


@pytest.fixture
def made(desk: Desk) -> Preparation:
    return start_preparation(desk, in_use(desk).id, Order("3 x 60 g", dosing=THINLY))


@pytest.fixture
def drink(desk: Desk) -> LabelContent:
    """Return what a bottle says, packed for somebody who reads Polish."""
    started = start_preparation(desk, in_use(desk, a_syrup()).id, Order("100 mL"))
    address_preparation(desk, started.lot, "x", "Ewa Lis", language="pl", dosing=DRINK)
    kept = desk.store.preparation(started.lot)
    assert kept is not None
    return label_contents(desk, kept)[0]


def test_an_unapproved_language_prints_no_label_for_a_patient(
    desk: Desk, made: Preparation
) -> None:
    packed(desk, made)
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, nowhere, language="fr")
    assert caught.value.message.key == "wording.not_approved"
    assert list(desk.store.prints(made.id)) == []


def test_until_then_it_stands_on_proofs_and_trial_labels_only(
    desk: Desk, made: Preparation
) -> None:
    assert issue_labels(desk, made.lot, STOCK, nowhere, language="fr").proof
    (trial,) = trial_contents(desk, made.version_id, Order("60 g", dosing=THINLY), language="fr")
    assert statements(trial)[Field.STAMP] == "NE PAS UTILISER – ESSAI"


def test_approved_by_a_signature_over_its_texts_it_prints(desk: Desk, made: Preparation) -> None:
    content = label_contents(desk, packed(desk, made), language="fr")[0]
    waiting = held_back(desk.store, content, "en")
    book = approve_wordings(at(desk, BEN), "fr", waiting, PIN)
    (approval,) = book.approvals
    assert approval.by.meaning is Meaning.APPROVED
    assert approval.by.content_hash
    assert set(approval.texts) == set(waiting)
    assert desk.store.history()[-1].verb == "approve_wordings"
    assert held_back(desk.store, content, "en") == ()
    assert issue_labels(desk, made.lot, STOCK, nowhere, language="fr").language == "fr"


def test_only_a_pharmacist_approves_and_changes(desk: Desk) -> None:
    (first, *_) = wordings_in(desk.store, "fr")
    with pytest.raises(Forbidden):
        approve_wordings(at(desk, CID), "fr", [first.wording], PIN)
    with pytest.raises(Forbidden):
        change_wording(at(desk, CID), "fr", "label.warning.sun", "Pas de soleil.")


def test_a_changed_wording_waits_again_and_is_then_printed(desk: Desk, made: Preparation) -> None:
    code = "label.warning.keep_out_of_reach_of_children"
    changed = change_wording(desk, "en", code, "Children must not get at it.")
    assert code in changed.own_texts
    content = label_contents(desk, packed(desk, made))[0]
    assert "Children must not get at it." in statements(content)[Field.WARNINGS]
    (waiting,) = held_back(desk.store, content, "en")
    assert waiting == Wording(code, "Children must not get at it.")
    approve_wordings(desk, "en", [waiting], PIN)
    issue_labels(desk, made.lot, STOCK, nowhere)


def test_what_came_along_can_be_taken_back(desk: Desk) -> None:
    code = "label.warning.sun"
    shipped = wording_of(book_of(desk.store, "en"), code).text
    change_wording(desk, "en", code, "No sun.")
    assert not change_wording(desk, "en", code, shipped).own


@pytest.mark.parametrize(
    ("code", "text", "key"),
    [
        ("label.warning.sun", "  ", "empty"),
        ("label.warning.sun", "No {sun}.", "no_placeholders"),
        ("label.says.use_by", "Use soon", "other_placeholders"),
        ("label.says.use_by", "Use by {date", "brace"),
        ("label.warning.nonsense", "Text", "no_such_code"),
    ],
)
def test_a_wording_that_would_lose_a_figure_is_refused(
    desk: Desk, code: str, text: str, key: str
) -> None:
    with pytest.raises(BadText) as caught:
        change_wording(desk, "en", code, text)
    assert caught.value.message.key == f"wording.{key}"


def test_what_was_changed_since_it_was_shown_isnt_approved_unread(desk: Desk) -> None:
    code = "label.warning.sun"
    shown = wording_of(book_of(desk.store, "fr"), code)
    change_wording(desk, "fr", code, "Pas de soleil.")
    with pytest.raises(Refusal) as caught:
        approve_wordings(desk, "fr", [shown], PIN)
    assert caught.value.message.key == "wording.changed_since"
    with pytest.raises(Refusal):
        approve_wordings(desk, "fr", [], PIN)


def test_an_approval_stays_on_record(desk: Desk) -> None:
    book = book_of(desk.store, "en")
    with pytest.raises(Forbidden), desk.writing("change_wording") as writing:
        writing.put(replace(book, approvals=()))


def test_typed_directions_that_are_misread_wait_for_a_pharmacist(
    desk: Desk, made: Preparation
) -> None:
    address_preparation(desk, made.lot, "Apply 5.0 mg of it.", "Eve Falk")
    packed(desk, made)
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, nowhere)
    assert caught.value.message.key == "wording.not_approved"
    approve_wordings(desk, "en", [Wording(FREE, "Apply 5.0 mg of it.")], PIN)
    issue_labels(desk, made.lot, STOCK, nowhere)


def test_latin_prints_for_no_patient_whoever_signs(desk: Desk, made: Preparation) -> None:
    address_preparation(desk, made.lot, "Apply t.i.d.", "Eve Falk")
    packed(desk, made)
    approve_wordings(desk, "en", [Wording(FREE, "Apply t.i.d.")], PIN)
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, nowhere)
    assert caught.value.message.key == "wording.slip.latin"


def test_what_was_typed_in_one_language_isnt_printed_among_another(
    desk: Desk, made: Preparation
) -> None:
    address_preparation(desk, made.lot, "Apply thinly.", "Ewa Lis", language="de")
    content = label_contents(desk, packed(desk, made))[0]
    assert content.language == "de"
    assert held_back(desk.store, content, "en") == (Wording(FREE, "Apply thinly."),)


def test_the_formulas_own_directions_pass_for_no_other_language(desk: Desk) -> None:
    said = LabelText(directions="Apply thinly twice a day.")
    made = start_preparation(desk, in_use(desk, replace(a_content(), label=said)).id, Order("60 g"))
    packed(desk, made)
    assert label_contents(desk, made)[0].written_in == ""
    content = label_contents(desk, made, language="es")[0]
    with pytest.raises(Refusal) as caught:
        statements(content)
    assert caught.value.message == message(
        "label.directions_in_another_language",
        written=message("wording.language.en"),
        wanted=message("wording.language.es"),
    )
    with pytest.raises(Refusal):
        waiting_on(desk.store, [content], "en")
    with pytest.raises(Refusal):
        issue_labels(desk, made.lot, STOCK, nowhere, language="es")


def test_directions_stay_what_they_are_where_only_the_language_is_changed(
    desk: Desk, made: Preparation
) -> None:
    address_preparation(desk, made.lot, "Apply thinly.")
    with pytest.raises(Refusal) as caught:
        address_preparation(desk, made.lot, "Apply thinly.", language="de")
    assert caught.value.message.key == "label.directions_in_another_language"
    assert address_preparation(desk, made.lot, "Dünn auftragen.", language="de").language == "de"


def test_an_orders_directions_stay_what_they_are_where_only_its_language_is_changed(
    desk: Desk,
) -> None:
    order = an_order(desk, in_use(desk), directions="Apply thinly.")
    with pytest.raises(BadText) as caught:
        change_order(desk, order.id, replace(asked_of(order), language="es"))
    assert caught.value.message.key == "label.directions_in_another_language"
    assert caught.value.field == "directions"
    anew = replace(asked_of(order), language="es", directions="Aplicar una capa fina.")
    changed = change_order(desk, order.id, anew)
    assert (changed.language, changed.directions) == ("es", "Aplicar una capa fina.")


def test_what_was_built_for_an_order_stays_in_the_houses_language_once_it_is_only_text(
    desk: Desk,
) -> None:
    syrup = in_use(desk, a_syrup())
    order = an_order(desk, syrup, target="100 mL", directions="", dosing=DRINK, language="pl")
    with pytest.raises(BadText):
        change_order(desk, order.id, replace(asked_of(order), dosing=None))
    other = change_order(desk, order.id, replace(asked_of(order), language="es"))
    assert other.language == "es"


def test_a_label_in_two_languages_says_typed_directions_in_the_second_alone(desk: Desk) -> None:
    said = LabelText(directions="Apply thinly twice a day.")
    made = start_preparation(desk, in_use(desk, replace(a_content(), label=said)).id, Order("60 g"))
    content = label_contents(desk, made, language="ar")[0]
    found = statements(content)
    assert Field.DIRECTIONS not in found
    assert "Apply thinly" in found[Field.BESIDE]
    assert FREE not in {each.code for each in held_back(desk.store, content, "en")}


def test_directions_built_for_a_patient_follow_the_labels_language(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk, a_syrup()).id, Order("100 mL"))
    made = address_preparation(desk, made.lot, "Take 5 mL.", "Ewa Lis", dosing=DRINK)
    content = label_contents(desk, made, language="pl")[0]
    assert statements(content)[Field.DIRECTIONS].startswith("Przyjmować")


def test_what_is_added_to_built_directions_passes_for_no_other_language(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk, a_syrup()).id, Order("100 mL"))
    added = replace(DRINK, note="Shake well.")
    made = address_preparation(desk, made.lot, "Take 5 mL.", "Ewa Lis", dosing=added)
    assert "Shake well." in statements(label_contents(desk, made)[0])[Field.DIRECTIONS]
    with pytest.raises(BadText) as caught:
        statements(label_contents(desk, made, language="de")[0])
    assert caught.value.message.key == "label.note_in_another_language"
    arabic = statements(label_contents(desk, made, language="ar")[0])
    assert "Shake" not in arabic[Field.DIRECTIONS]
    assert "Shake well." in arabic[Field.BESIDE]
    with pytest.raises(BadText):
        address_preparation(desk, made.lot, "Take 5 mL.", dosing=added, language="pl")
    polish = replace(DRINK, note="Wstrząsnąć.")
    made = address_preparation(desk, made.lot, "Take 5 mL.", dosing=polish, language="pl")
    content = label_contents(desk, made)[0]
    assert "Wstrząsnąć." in statements(content)[Field.DIRECTIONS]
    assert Wording(FREE, "Wstrząsnąć.") in held_back(desk.store, content, "en")


@pytest.mark.parametrize(
    ("directions", "dosing", "refused"),
    [
        ("Take 5 mL (100 mg) once a day.", None, "label.dose_wrong"),
        ("x", replace(DRINK, amount=Amount(Fraction(200), "mL")), "label.dose_beyond"),
    ],
)
def test_no_label_says_a_dose_that_cant_be_meant(
    desk: Desk, directions: str, dosing: Dosing | None, refused: str
) -> None:
    made = start_preparation(desk, in_use(desk, a_syrup()).id, Order("100 mL"))
    address_preparation(desk, made.lot, directions, "Ewa Lis", dosing=dosing)
    packed(desk, made)
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, nowhere)
    assert caught.value.message.key == refused


def test_a_dose_in_ml_and_mg_that_fits_the_strength_is_printed(desk: Desk) -> None:
    made = start_preparation(desk, in_use(desk, a_syrup()).id, Order("100 mL"))
    address_preparation(desk, made.lot, "Take 5 mL (10 mg) once a day.", "Ewa Lis")
    packed(desk, made)
    assert issue_labels(desk, made.lot, STOCK, nowhere).copies == 1


def test_the_patient_reads_another_language_than_the_screen_and_the_house(
    desk: Desk, drink: LabelContent
) -> None:
    assert desk.house.language == desk.house.label_language == "en"
    said = statements(drink)
    assert said[Field.DIRECTIONS].replace("\u00a0", " ") == (
        "Przyjmować doustnie 5 mL (10 mg) 3 razy na dobę po jedzeniu."
    )
    assert said[Field.USE_BY].startswith("Zużyć do ")


def test_a_liquid_states_its_strength_for_1_ml_and_for_the_whole_bottle(
    drink: LabelContent,
) -> None:
    said = statements(replace(drink, language="en"))[Field.STRENGTH].replace("\u00a0", " ")
    assert said == "2 mg in 1 mL (200 mg in 100 mL)"


def test_a_percentage_of_a_cream_stays_as_it_was_declared(desk: Desk) -> None:
    content = replace(a_content(), label=LabelText(strength="5 % w/w"))
    started = start_preparation(desk, in_use(desk, content).id, Order("60 g"))
    assert statements(label_contents(desk, started)[0])[Field.STRENGTH].startswith("5\u00a0%")


def test_directions_of_an_order_follow_the_strength_that_is_made(desk: Desk) -> None:
    weak, strong = in_use(desk, a_syrup("2", "S1")), in_use(desk, a_syrup("5", "S2"))
    order = an_order(desk, weak, target="100 mL", directions="", dosing=DRINK, language="pl")
    assert "5 mL (10 mg)" in order.directions.replace("\u00a0", " ")
    wanted = replace(asked_of(order), version_id=strong.id)
    changed = change_order(desk, order.id, wanted)
    assert "5 mL (25 mg)" in changed.directions.replace("\u00a0", " ")
    assert order_with(desk.store, order.id).language == "pl"


def test_an_unknown_language_is_refused_when_the_order_is_taken(desk: Desk) -> None:
    with pytest.raises(Refusal):
        an_order(desk, language="tlh")


def test_outside_its_limits_no_label_declares_the_strength(
    desk: Desk, made: Preparation, monkeypatch: pytest.MonkeyPatch
) -> None:
    packed(desk, made)
    state = at_bench(desk.store, made.lot).state
    (found,) = true_strength.true_strengths(state.job.plan, state.lines, state.job.reads)
    narrow = true_strength.StrengthLimits(found.percent + 1, found.percent + 2)
    job = replace(state.job, limits=narrow)
    said = strength_outside(replace(state, job=job))
    assert said is not None
    assert said.key == "wording.strength_outside"
    monkeypatch.setattr(issuing, "strength_outside", lambda _: said)
    with pytest.raises(Refusal) as caught:
        issue_labels(desk, made.lot, STOCK, nowhere)
    assert caught.value.message == said
    assert list(desk.store.prints(made.id)) == []


def handed_over(desk: Desk, version_id: str, **more: object) -> None:
    """Keep an order of an earlier day as it was handed over to the patient."""
    from formulary.orders.order import OrderState, moved_to

    order = take_order(desk, asked(version_id, target="100 mL", **more))
    with desk.writing("change_order") as writing:
        working = writing.put(moved_to(order, OrderState.IN_WORK))
        writing.put(moved_to(working, OrderState.HANDED_OVER))


def test_another_strength_than_the_last_supply_is_told(desk: Desk) -> None:
    weak, strong = in_use(desk, a_syrup("2", "S1")), in_use(desk, a_syrup("5", "S2"))
    handed_over(desk, weak.id)
    same, other = an_order(desk, weak, target="100 mL"), an_order(desk, strong, target="100 mL")
    assert strength_changes(desk.store, same) == ()
    (told,) = strength_changes(desk.store, other)
    assert told.key == "wording.strength_changed"
    assert dict(told.parameters)["before"] == Concentration(Fraction(2), "mg/mL")
    assert PATIENT not in str(told)


def test_somebody_else_of_that_name_is_told_apart_by_the_birth_date(desk: Desk) -> None:
    weak, strong = in_use(desk, a_syrup("2", "S1")), in_use(desk, a_syrup("5", "S2"))
    handed_over(desk, weak.id)
    other = an_order(desk, strong, target="100 mL", details=PatientDetails(born=date(2001, 1, 1)))
    assert strength_changes(desk.store, other) == ()
    nobody = an_order(desk, strong, target="100 mL", patient="", details=None)
    assert strength_changes(desk.store, nobody) == ()


def test_the_sample_house_has_approved_two_languages_and_no_more() -> None:
    books = {book.id: book for book in sample_house().wordings}
    assert set(books) == {"en", "de"}
    for book in books.values():
        assert book.approved == {wording_of(book, code) for code in codes()}


def test_what_nobody_approved_is_seen_to_wait(desk: Desk) -> None:
    for language in ("es", "fr", "pl", "ar"):
        assert {each.by for each in wordings_in(desk.store, language)} == {None}
    assert None not in {each.by for each in wordings_in(desk.store, "en")}
