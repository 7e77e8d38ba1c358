"""A whole prescription is read line by line: what each means, and what is in doubt."""

from __future__ import annotations

import pytest

from formulary.catalogue import keys_under
from formulary.formula.content import Form, Role, Route
from formulary.prescription.lines import Sort, pieces
from formulary.prescription.reading import read, roles_of, without_people
from tests.formulary.prescription.cases import (
    OINTMENT,
    SHELF,
    ingredients,
    keys,
    of,
    quantities,
    text,
)
from tests.helpers.formulas import a_formula, a_line, active


def test_a_classic_ointment_is_read_whole() -> None:
    found = of(OINTMENT)
    assert [line.sort.value for line in found.lines] == [
        "heading",
        "ingredient",
        "ingredient",
        "instruction",
        "directions",
    ]
    assert (found.form, found.route, found.units) == (Form.OINTMENT, Route.SKIN, None)
    assert found.directions == "Twice a day on the heels."
    assert found.doubts == ()
    acid, base = ingredients(found)
    assert (acid.ingredient, acid.quantity, acid.role) == ("Salicylic acid", "2 g", Role.ACTIVE)
    assert (base.ingredient, base.quantity, base.role) == (
        "White soft paraffin",
        "to 100 g",
        Role.BASE,
    )
    assert "taken off" in text(base.meaning[0])


def test_a_prescription_on_one_line_is_parted() -> None:
    found = of("Rp. Ac. salicyl. 2,0; Vasel. alb. ad 100,0 M.f. ungt. S. On the heels")
    assert [line.sort for line in found.lines] == [
        Sort.HEADING,
        Sort.INGREDIENT,
        Sort.INGREDIENT,
        Sort.INSTRUCTION,
        Sort.DIRECTIONS,
    ]
    assert {line.number for line in found.lines} == {1}
    assert found.directions == "On the heels"


def test_d_s_is_one_sign_before_the_directions() -> None:
    for said in ("D. S. Apply thinly.", "M. D. S. Apply thinly."):
        assert [each.text for each in pieces(said)] == [said]
    parts = [each.text for each in pieces("M. f. ungt. D. S. Apply thinly.")]
    assert parts == ["M. f. ungt.", "D. S. Apply thinly."]


def test_aa_gives_its_quantity_to_every_line_above_that_has_none() -> None:
    found = of("Ureae 5,0", "Zinci oxidi", "Talci aa 10,0", "Vaselini albi ad 100,0", "M.f. past.")
    assert quantities(found) == ["5 g", "aa 10 g", "aa 10 g", "to 100 g"]
    assert "Zinci oxidi, Talci" in text(ingredients(found)[1].meaning[0])


def test_aa_ad_shares_what_is_left_among_its_lines() -> None:
    found = of("Zinci oxidi aa", "Talci", "Glyceroli", "Aquae purificatae aa ad 100,0", "M.f. lot.")
    assert quantities(found) == ["aa ad 100 g"] * 4
    assert "shared equally" in text(ingredients(found)[0].meaning[0])


def test_aa_on_a_line_of_its_own_is_for_those_above() -> None:
    found = of("Zinci oxidi", "Talci", "aa ad 50,0")
    assert quantities(found) == ["aa ad 50 g", "aa ad 50 g"]
    assert found.lines[2].sort is Sort.QUANTITY
    assert found.lines[2].doubts == ()


def test_a_strength_in_a_name_is_not_its_quantity() -> None:
    found = of("Glyceroli", "Ethanoli 70 %", "Aquae purificatae aa ad 90,0", "M.f. sol.")
    assert quantities(found) == ["aa ad 90 g"] * 3
    assert ingredients(found)[1].ingredient == "Ethanol 70 %"


def test_aa_with_one_line_only_is_in_doubt() -> None:
    (line,) = ingredients(of("Talci aa 10,0"))
    assert keys(line.doubts) == ["unit_question", "each_alone"]


def test_a_line_without_any_quantity_is_in_doubt() -> None:
    zinc, _ = ingredients(of("Zinci oxidi", "Vaselini albi ad 100,0"))
    assert (zinc.quantity, keys(zinc.doubts)) == ("", ["no_quantity"])


def test_such_doses_make_each_quantity_that_of_one_unit() -> None:
    found = of("Paracetamoli 0,25", "Adipis solidi ad 2,0", "M.f. supp. d.t.d. no. XX")
    assert (found.form, found.route, found.units) == (Form.SUPPOSITORIES, Route.RECTAL, 20)
    assert quantities(found) == ["0,25 g per unit", "to 40 g"]
    assert "total_of_units" in keys(ingredients(found)[1].doubts)


def test_divided_quantities_stay_those_of_the_whole() -> None:
    found = of("Paracetamoli 5,0", "Lactosi 2,0", "M.f. pulv. div. in p. aeq. No. X")
    assert (found.form, found.units) == (Form.POWDERS, 10)
    assert quantities(found) == ["5 g", "2 g"]
    assert "doses_or_divided" not in keys(found.doubts)


def test_a_number_that_says_neither_each_nor_divide_is_in_doubt() -> None:
    found = of("Hydrocortisoni 0,1", "M.f. caps.", "No. X", "S. One a day")
    assert found.units == 10
    assert quantities(found) == ["0,1 g"]
    assert keys(found.doubts) == ["doses_or_divided"]


@pytest.mark.parametrize(("doses", "quantity"), [(True, "0,1 g per unit"), (False, "0,1 g")])
def test_what_the_prescriber_answered_settles_it(*, doses: bool, quantity: str) -> None:
    written = "Hydrocortisoni 0,1\nM.f. caps. No. X\nS. One a day"
    found = read(written, SHELF, ",", doses=doses)
    assert quantities(found) == [quantity]
    assert found.doubts == ()


@pytest.mark.parametrize(
    ("lines", "doubt"),
    [
        (["M.f. ungt. crem."], "forms"),
        (["Ureae 5,0"], "no_form"),
        (["M.f. collyr."], "sterile"),
        (["M.f. caps. d.t.d. No. X", "No. XX"], "counts"),
        (["M.f. caps. d.t.d. div. in p. aeq. No. X"], "doses_and_divided"),
        (["M.f. caps. d.t.d."], "no_count"),
        (["M.f. ungt."], "no_ingredients"),
        (["Rp.", "Ureae 5,0", "Rp.", "Talci 5,0"], "several"),
        (["Ureae 5,0", "S."], "no_directions"),
    ],
)
def test_what_the_whole_leaves_open_is_a_doubt(lines: list[str], doubt: str) -> None:
    assert doubt in keys(of(*lines).doubts)


def test_unknown_words_are_shown() -> None:
    found = of("Ureae 5,0", "M.f. ungt. frobnicatum", "???", "lorem ipsum")
    assert [keys(line.doubts) for line in found.lines[1:]] == [["words"]] * 3
    assert "frobnicatum" in text(found.lines[1].doubts[0])


def test_an_unknown_ingredient_is_kept_with_its_quantity() -> None:
    (line,) = ingredients(of("Betamethasoni 0,1"))
    assert (line.ingredient, line.quantity) == ("", "0,1 g")
    assert keys(line.doubts) == ["not_known", "unit_question"]


def test_an_ingredient_that_isnt_clear_offers_its_alternatives() -> None:
    (line,) = ingredients(of("Vaselini 10 g"))
    assert line.ingredient == ""
    assert [each.name for each in line.alternatives] == [
        "White soft paraffin",
        "Yellow soft paraffin",
    ]
    assert keys(line.doubts) == ["which"]


@pytest.mark.parametrize(
    ("written", "doubts"),
    [
        ("Acidi salicylici", []),
        ("Ac. salicyl.", ["abbreviated"]),
        ("Lactosi", ["shorter"]),
        ("Acidi lactici", ["shorter"]),
        ("MTX", ["not_known", "error_prone"]),
    ],
)
def test_a_name_raises_the_doubts_it_deserves(written: str, doubts: list[str]) -> None:
    (line,) = ingredients(of(f"{written} 2 g"))
    assert keys(line.doubts) == doubts


def test_directions_go_on_over_the_lines_that_follow() -> None:
    found = of("Ureae 5,0", "M.f. crem.", "S. Thinly", "on both hands", "for 2 weeks")
    assert found.directions == "Thinly on both hands for 2 weeks"


def test_latin_and_misread_writing_in_directions_are_doubts() -> None:
    found = of("S. b.i.d. 5 cc OD")
    assert keys(found.lines[0].doubts) == ["latin", "error_prone", "error_prone"]
    assert "b.i.d." in text(found.lines[0].doubts[0])


def test_what_the_prescriber_wrote_short_is_explained_once_and_stays() -> None:
    found = of("S. b.i.d., after a week b.i.d. again")
    (doubt,) = found.lines[0].doubts
    assert "twice a day" in text(doubt)
    assert "stays here as written" in text(doubt)
    assert found.directions.count("b.i.d.") == 2


def test_the_names_of_people_are_not_kept_with_the_order() -> None:
    found = of("Dr. Berg", "12.3.2026", "Pro Anna Klein", "Ureae 5,0", "M.f. crem.")
    assert [line.sort for line in found.lines[:3]] == [Sort.PRESCRIBER, Sort.DATE, Sort.PATIENT]
    assert without_people(found) == "12.3.2026\nUreae 5,0\nM.f. crem."


def test_a_line_that_a_person_found_a_name_in_isnt_kept_either() -> None:
    found = of("Anna Klein, 1.2.1990", "Rp.", "Ureae 5,0")
    assert without_people(found, also=(0,)) == "Rp.\nUreae 5,0"


def test_what_stands_before_the_beginning_is_no_ingredient() -> None:
    found = of("Skin clinic, Dr Berg", "Rp.", "Ureae 5,0")
    assert [line.sort for line in found.lines] == [Sort.UNKNOWN, Sort.HEADING, Sort.INGREDIENT]


def test_every_sort_has_its_word() -> None:
    assert set(keys_under("prescription.sort")) == {f"prescription.sort.{each}" for each in Sort}


def test_a_per_cent_is_by_mass_only_where_the_form_says_so() -> None:
    assert quantities(of("Ureae 10 %", "M.f. crem.")) == ["10 % w/w"]
    assert quantities(of("Ureae 10 %", "M.f. sol.")) == [""]


def test_an_ingredient_is_proposed_as_what_the_house_uses_it_for() -> None:
    base = a_line("Wool fat", "5 g", Role.BASE, ingredient_id="wool fat")
    roles = roles_of([a_formula(base), a_formula(active("Urea", "5 g", ingredient_id="urea"))])
    found = read("Adipis lanae 5,0\nUreae 5,0\nTalci 5,0", SHELF, ",", roles)
    assert [line.role for line in found.lines] == [Role.BASE, Role.ACTIVE, Role.ACTIVE]


def test_an_ingredient_used_either_way_counts_as_active() -> None:
    either = (
        a_formula(a_line("Urea", "5 g", Role.HUMECTANT, ingredient_id="urea")),
        a_formula(active("Urea", "5 g", ingredient_id="urea")),
    )
    assert roles_of(either) == {"urea": Role.ACTIVE}


def test_nothing_at_all_is_read_as_nothing() -> None:
    found = of("")
    assert found.lines == ()
    assert keys(found.doubts) == ["no_form", "no_ingredients", "no_directions"]


def test_a_line_of_signs_under_the_directions_is_shown() -> None:
    assert keys(of("S. Thinly", ":").lines[1].doubts) == ["words"]
