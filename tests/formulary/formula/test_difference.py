"""Two versions side by side: each change once, in words, with what it was and what it is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from hypothesis import given

from formulary.catalogue import Catalogue
from formulary.exchange.formula_text import read_formula_file
from formulary.formula.content import Ask, Asked, Content, MethodStep, Phase, QualityTest
from formulary.formula.difference import Change, difference
from formulary.formula.fields_of import fields_of
from formulary.messages import Message
from formulary.resources import sample_path
from tests.helpers.examples import costly
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.strategies import contents

FOLDER = sample_path() / "formulas"
ENGLISH = Catalogue("en", ".")


def said(what: str | Message) -> str:
    """Return a side in words, with plain spaces."""
    text = ENGLISH.text(what) if isinstance(what, Message) else what
    return text.replace("\N{NO-BREAK SPACE}", " ")


def table(changes: tuple[Change, ...]) -> dict[str, tuple[str, str]]:
    """Return the changes in words."""
    return {said(each.place): (said(each.before), said(each.after)) for each in changes}


def sample(name: str) -> Content:
    """Return a version of the sample pharmacy's."""
    return read_formula_file(FOLDER / f"{name}.toml")


def test_the_two_urea_creams_of_the_sample_differ_as_their_reason_says() -> None:
    changes = table(difference(sample("CR-003.1"), sample("CR-003.2")))
    assert changes["Density"] == ("1 g/mL", "1.01 g/mL")
    assert changes["Purified water: quantity"] == ("10 % w/w", "5 % w/w")
    assert changes["Ingredient added: Lactic acid 90 %"] == ("", "1 % w/w, buffer, A")
    assert changes["Phase added: A"] == ("", "Solution")
    assert changes["Step 2 added"] == ("", "Stir in the lactic acid and the phenoxyethanol.")
    assert changes["Step 3: speed"] == ("", "200 per minute")
    assert changes["pH: limits"] == ("5 to 7.5", "4 to 6")
    assert changes["Test added: Crystals under the lens"][1].startswith("None")
    assert changes["Storage: not above, °C"] == ("8", "25")
    assert changes["Storage: do not freeze"] == ("yes", "")
    assert changes["Shelf life: unopened"] == ("14 days", "35 days")
    assert "Step 3 added" not in changes
    assert "Urea: quantity" not in changes


def test_the_same_version_differs_in_nothing() -> None:
    assert difference(sample("CR-003.1"), sample("CR-003.1")) == ()


def test_every_place_in_the_sample_has_words() -> None:
    every = [read_formula_file(path) for path in sorted(FOLDER.glob("*.toml"))]
    places = {said(each.place) for pair in pairwise(every) for each in difference(*pair)}
    assert len(places) > 100


@costly(40)
@given(contents(), contents())
def test_no_difference_is_missed_and_none_invented(one: Content, two: Content) -> None:
    same = fields_of(one) == fields_of(two)
    assert bool(table(difference(one, two))) is not same
    assert difference(one, one) == ()


CREAM = a_formula(active("Urea", "10 g"), a_line("Wax", "20 g"), a_line("Water", "to 100 g"))


def test_a_change_of_order_is_said_as_one() -> None:
    turned = replace(CREAM, lines=(CREAM.lines[1], CREAM.lines[0], CREAM.lines[2]))
    assert table(difference(CREAM, turned)) == {
        "Order of the ingredients": ("Urea; Wax; Water", "Wax; Urea; Water")
    }


def test_what_came_and_went_shows_on_one_side_only() -> None:
    fewer = replace(CREAM, lines=CREAM.lines[::2], phases=(Phase("A", "Fat"),))
    assert table(difference(CREAM, fewer)) == {
        "Ingredient removed: Wax": ("20 g, other", ""),
        "Phase added: A": ("", "Fat"),
    }


def test_a_step_reworded_is_one_change_and_a_new_one_another() -> None:
    steps = MethodStep("Melt the wax at 70 °C."), MethodStep("Stir until cold.")
    was = replace(CREAM, steps=steps)
    ask = Ask(Asked.TEMPERATURE, highest=Fraction(75))
    melt = MethodStep("Melt the wax slowly at 70 °C.", asks=(ask,))
    now = replace(CREAM, steps=(melt, MethodStep("Weigh the jar."), steps[1]))
    assert table(difference(was, now)) == {
        "Step 1: what is done": ("Melt the wax at 70 °C.", "Melt the wax slowly at 70 °C."),
        "Step 1: what it asks for": ("", "temperature, 75"),
        "Step 2 added": ("", "Weigh the jar."),
    }


def test_numbers_are_written_with_the_houses_decimal_sign() -> None:
    more = replace(CREAM, lines=(active("Urea", "10.5 g"), *CREAM.lines[1:]))
    (change,) = difference(CREAM, more, ",")
    assert (change.before, change.after) == ("10 g", "10,5 g")


def test_a_test_that_goes_is_said_with_its_limits() -> None:
    tested = replace(CREAM, tests=(QualityTest("pH", "4 to 6"),))
    assert table(difference(tested, CREAM)) == {"Test removed: pH": ("4 to 6, final", "")}


def test_one_ingredient_in_two_phases_is_two_rows() -> None:
    twice = replace(CREAM, lines=(a_line("Water", "5 g", phase="A"), *CREAM.lines))
    more = replace(CREAM, lines=(a_line("Water", "6 g", phase="A"), *CREAM.lines))
    assert table(difference(twice, more)) == {"Water: quantity": ("5 g", "6 g")}
    assert "Ingredient removed: Water (2)" in table(difference(twice, CREAM))
