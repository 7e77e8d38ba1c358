"""The nearest house formulas, with every difference in words."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.formula.content import Content, Form, Route
from formulary.prescription.nearest import MOST, HouseFormula, Near, nearest
from tests.formulary.prescription.cases import keys, text
from tests.helpers.formulas import a_formula, a_line, active

OURS = a_formula(active("Urea", "10 g"), a_line("Wool fat", "to 100 g"))


def near(*house: Content, ours: Content = OURS) -> tuple[Near, ...]:
    """Return the nearest of these house formulas."""
    candidates = (HouseFormula(f"v-{place}", content) for place, content in enumerate(house))
    return nearest(ours, candidates)


def test_the_same_formula_is_the_nearest_whatever_its_size() -> None:
    same = a_formula(active("urea", "5 g"), a_line("Wool fat", "to 50 g"))
    (found,) = near(same)
    assert found.score == 1
    assert keys(found.differences) == ["same"]


def _agreed(reached: Fraction) -> Fraction:
    """Return how much a shared ingredient agrees whose strength reaches the other's so far."""
    return Fraction(2, 3) + reached / 3


def test_a_strength_that_differs_is_said_in_figures() -> None:
    (found,) = near(a_formula(active("Urea", "5 % w/w"), a_line("Wool fat", "to 100 g")))
    assert found.score == (3 * _agreed(Fraction(1, 2)) + _agreed(Fraction(90, 95))) / 4
    assert text(found.differences[0]) == (
        "Urea: 10\u00a0%\u00a0w/w here, 5\u00a0%\u00a0w/w in the house formula."
    )


def test_what_one_has_and_the_other_not_is_said() -> None:
    other = a_formula(active("Urea", "10 g"), a_line("Talc", "to 100 g"))
    (found,) = near(other)
    assert keys(found.differences) == ["missing", "extra"]


def test_another_form_or_route_is_said_and_ranks_lower() -> None:
    other = replace(OURS, form=Form.PASTE, route=Route.SCALP, code="T-2")
    first, second = near(other, OURS)
    assert (first.code, second.code) == ("T-1", "T-2")
    assert keys(second.differences) == ["form", "route"]
    assert second.score == Fraction(3, 4)


def test_actives_count_more_than_bases() -> None:
    same_active = a_formula(active("Urea", "10 g"), a_line("Talc", "to 100 g"))
    same_base = a_formula(active("Iodine", "10 g"), a_line("Wool fat", "to 100 g"))
    assert [each.version_id for each in near(same_base, same_active)] == ["v-1"]


def test_units_are_compared_by_what_one_holds() -> None:
    ours = a_formula(active("Urea", "0.25 g per unit"), a_line("Hard fat", "to 40 g"), units=20)
    theirs = a_formula(active("Urea", "2.5 g"), a_line("Hard fat", "to 20 g"), units=10)
    (found,) = near(theirs, ours=ours)
    assert found.score == 1


def test_a_formula_that_doesnt_add_up_is_still_compared_by_its_ingredients() -> None:
    open_ended = a_formula(active("Urea", "10 g"), a_line("Wool fat", "5 % w/w"))
    (found,) = near(open_ended)
    assert found.score == Fraction(2, 3)
    assert keys(found.differences) == ["unknown_strength", "unknown_strength"]


def test_nothing_is_near_what_shares_nothing() -> None:
    assert near(a_formula(active("Iodine", "10 g"), a_line("Talc", "to 100 g"))) == ()
    assert near(OURS, ours=a_formula()) == ()


def test_only_the_nearest_few_are_shown() -> None:
    assert len(near(*[OURS] * (MOST + 2))) == MOST


def test_an_ingredient_is_known_by_its_id() -> None:
    by_id = a_formula(
        active("Carbamide", "10 g", ingredient_id="i-1"), a_line("Wool fat", "to 100 g")
    )
    ours = a_formula(active("Urea", "10 g", ingredient_id="i-1"), a_line("Wool fat", "to 100 g"))
    assert near(by_id, ours=ours)[0].score == 1


def test_two_shared_ingredients_are_nearer_than_one() -> None:
    wanted = a_formula(
        active("Salicylic acid", "2 % w/w"),
        active("Zinc oxide", "10 % w/w"),
        a_line("Talc", "10 % w/w"),
        a_line("White soft paraffin", "to 100 g"),
    )
    paste = a_formula(
        active("Zinc oxide", "25 % w/w"),
        a_line("Wheat starch", "25 % w/w"),
        a_line("White soft paraffin", "to 100 g"),
    )
    cream = a_formula(
        active("Zinc oxide", "10 % w/w"), a_line("Nonionic hydrophilic cream", "to 100 g")
    )
    house = [HouseFormula("cream", cream), HouseFormula("paste", paste)]
    assert next(iter(nearest(wanted, house))).version_id == "paste"
