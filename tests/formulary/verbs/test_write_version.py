"""Writing a formula down: drafts, versions and what an open editor holds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.drafts import Draft
from formulary.errors import Forbidden, FormularyError, Refusal
from formulary.formula.version import Formula, State, Version
from formulary.ingredient import Ingredient
from formulary.verbs.keep_records import save_ingredient
from formulary.verbs.move_version import send_to_review
from formulary.verbs.write_version import drop_draft, keep_draft, write_version
from tests.helpers.desks import ADA, BEN, MORNING, at, in_use
from tests.helpers.formulas import density
from tests.helpers.kept import a_content


def refusal_of(error: pytest.ExceptionInfo[FormularyError]) -> str:
    """Return the key of what was refused."""
    return error.value.message.key


def test_a_new_formula_begins_as_the_first_draft_of_its_author(desk: Desk) -> None:
    version = write_version(desk, a_content())
    assert (version.number, version.state) == (1, State.DRAFT)
    assert version.author_id == ADA.id
    assert version.written_at is not None
    assert version.written_at == MORNING
    formula = desk.store.get(Formula, version.formula_id)
    assert formula is not None
    assert (formula.code, formula.title) == ("ZC", "Zinc cream")


def test_writing_is_on_the_history_under_its_act(desk: Desk) -> None:
    write_version(desk, a_content(), reason="asked for by a ward")
    entry = desk.store.history()[-1]
    assert (entry.verb, entry.act.person, entry.act.reason) == (
        "write_version",
        "Ada Berg",
        "asked for by a ward",
    )


def test_a_draft_is_written_over(desk: Desk) -> None:
    first = write_version(desk, a_content())
    again = write_version(desk, a_content("Zinc cream 5 %"), formula_id=first.formula_id)
    assert (again.id, again.number) == (first.id, 1)
    assert [each.content.title for each in desk.store.versions(first.formula_id)] == [
        "Zinc cream 5 %"
    ]
    assert [each.title for each in desk.store.formulas_named("ZC")] == ["Zinc cream 5 %"]


def test_who_writes_over_a_draft_is_its_author(desk: Desk) -> None:
    first = write_version(desk, a_content())
    again = write_version(at(desk, BEN), a_content("New"), formula_id=first.formula_id)
    assert again.author_id == BEN.id


def test_after_a_version_in_use_comes_the_next_one_with_a_reason(desk: Desk) -> None:
    used = in_use(desk)
    changed = replace(used.content, purpose="dry skin")
    with pytest.raises(Refusal) as caught:
        write_version(desk, changed, formula_id=used.formula_id)
    assert refusal_of(caught) == "verbs.reason_needed"
    next_one = write_version(desk, changed, formula_id=used.formula_id, reason="clearer")
    assert (next_one.number, next_one.reason, next_one.state) == (2, "clearer", State.DRAFT)
    assert desk.store.get(Version, used.id) == used


def test_a_version_in_review_is_not_changed(desk: Desk) -> None:
    first = write_version(desk, a_content())
    send_to_review(desk, first.id)
    with pytest.raises(Forbidden) as caught:
        write_version(desk, a_content("Other"), formula_id=first.formula_id)
    assert refusal_of(caught) == "verbs.in_review"


def test_a_code_belongs_to_one_formula(desk: Desk) -> None:
    write_version(desk, a_content())
    with pytest.raises(Refusal) as caught:
        write_version(desk, a_content("Another", "zc"))
    assert refusal_of(caught) == "verbs.code_taken"
    assert len(desk.store.find_formulas("")) == 1


def test_a_title_may_be_another_formulas_code(desk: Desk) -> None:
    write_version(desk, a_content())
    assert write_version(desk, a_content("ZC", "ZC-2")).number == 1


def test_a_refused_write_leaves_nothing(desk: Desk) -> None:
    before = len(desk.store.history())
    write_version(desk, a_content())
    with pytest.raises(Refusal):
        write_version(desk, a_content("Another"))
    assert len(desk.store.history()) == before + 1


def test_lines_are_completed_from_the_house(desk: Desk) -> None:
    save_ingredient(desk, Ingredient("i-1", "Zinc oxide", density=density("5.6")))
    line = write_version(desk, a_content()).content.lines[0]
    assert (line.ingredient_id, line.density) == ("i-1", density("5.6"))


def a_draft(formula_id: str = "f-1") -> Draft:
    """Return what an open editor holds."""
    return Draft(formula_id, ADA.id, "", '{"title": "Zin', MORNING)


def test_an_open_draft_is_kept_and_comes_back(desk: Desk) -> None:
    kept = keep_draft(desk, a_draft())
    assert list(desk.store.every(Draft)) == [kept]
    later = keep_draft(desk, replace(kept, fields='{"title": "Zinc'))
    assert [each.fields for each in desk.store.every(Draft)] == [later.fields]


def test_confirming_closes_the_open_draft(desk: Desk) -> None:
    keep_draft(desk, a_draft())
    write_version(desk, a_content(), formula_id="f-1")
    assert list(desk.store.every(Draft)) == []


def test_another_formulas_draft_stays_open(desk: Desk) -> None:
    keep_draft(desk, a_draft("f-2"))
    write_version(desk, a_content(), formula_id="f-1")
    assert [each.id for each in desk.store.every(Draft)] == ["f-2"]


def test_an_open_draft_can_be_thrown_away(desk: Desk) -> None:
    keep_draft(desk, a_draft())
    drop_draft(desk, "f-1")
    assert list(desk.store.every(Draft)) == []
