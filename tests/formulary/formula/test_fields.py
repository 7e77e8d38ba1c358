"""A formula's plain fields: every trouble is collected with its place."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.formula.content import Ask, Asked, Form, Period, Role, Route, Span
from formulary.formula.fields import ContentReading, content_from_fields, read_fields
from formulary.formula.fields_of import fields_of
from formulary.formula.kinds import ToEndPoint
from formulary.formula.moulding import Mould
from tests.helpers.formulas import amount, density


def fields(**changed: Any) -> dict[str, Any]:  # noqa: ANN401  fields are of many types
    """Return the fields of a small formula, changed as said."""
    small: dict[str, Any] = {
        "format": 1,
        "title": "Zinc cream",
        "code": "CR-1",
        "form": "cream",
        "route": "skin",
        "ingredient": [
            {"name": "Zinc oxide", "quantity": "5 % w/w", "role": "active"},
            {"name": "Base", "quantity": "to 100 g"},
        ],
    }
    return {name: value for name, value in (small | changed).items() if value is not None}


def line(**changed: Any) -> dict[str, Any]:  # noqa: ANN401  fields are of many types
    """Return the fields of a formula whose first ingredient is changed as said."""
    first = {"name": "Zinc oxide", "quantity": "5 % w/w"} | changed
    kept = {name: value for name, value in first.items() if value is not None}
    return fields(ingredient=[kept, {"name": "Base", "quantity": "to 100 g"}])


def troubles(reading: ContentReading) -> dict[str, str]:
    """Return each trouble's place and sentence key; every one has a sentence."""
    assert all(Catalogue().text(each.message) for each in reading.troubles)
    return {each.field or "": each.message.key for each in reading.troubles}


def test_a_small_formula_reads() -> None:
    content = content_from_fields(fields())
    assert (content.title, content.code) == ("Zinc cream", "CR-1")
    assert (content.form, content.route) == (Form.CREAM, Route.SKIN)
    assert [each.role for each in content.lines] == [Role.ACTIVE, Role.OTHER]


def test_a_whole_formula_reads() -> None:
    content = content_from_fields(
        fields(
            latin="Cremor zinci",
            synonyms=["Zinc paste", " "],
            total="100 g",
            units=20,
            unit_name="powder",
            dose="5 g",
            density="0.95 g/mL",
            density_source="House record 3",
            density_at="20 °C",
            phase=[{"code": "A", "name": "water"}],
            step=[{"text": "Heat.", "phase": "A", "temperature": "70 °C", "time": "5 min"}],
            test=[{"name": "Look", "limits": "white"}],
            container={"text": "Jar", "protect_from_light": True},
            storage={"lowest": 0, "highest": 25, "do_not_freeze": True},
            shelf_life={"unopened": "35 days", "opened": "2 weeks", "reason": "watery"},
            label={"name": "Zinc", "warnings": ["external_use"], "extra": ["Ask us."]},
            batch={"smallest": "50 g", "largest": "1 kg"},
            purpose="For tests.",
        )
    )
    assert content.density is not None
    assert (content.density.source, content.density.at) == ("House record 3", "20 °C")
    assert content.synonyms == ("Zinc paste",)
    assert content.dose == amount("5 g")
    assert content.storage is not None
    assert content.storage.lowest == 0
    assert content.shelf_life is not None
    assert content.shelf_life.opened == Period(2, Span.WEEKS)
    assert content.tests[0].when == "final"
    assert content.batch.largest == amount("1 kg")


def test_what_a_line_needs_to_be_weighed() -> None:
    read = content_from_fields(
        line(
            density="0.9 g/mL",
            density_source="House record 3",
            drop="0.02 g",
            potency="5000",
            tolerance="2 %",
            grade="micronised",
            note="mind the dust",
        )
    ).lines[0]
    assert read.density is not None
    assert read.density.g_per_mL == density("0.9").g_per_mL
    assert read.drop == amount("0.02 g")
    assert (read.potency, read.tolerance) == (Fraction(5000), Fraction(2))


def test_what_an_end_point_usually_needs() -> None:
    read = content_from_fields(line(quantity="q.s. until pH 5.5", about="0.5 g")).lines[0]
    assert read.quantity == ToEndPoint("pH 5.5", amount("0.5 g"))


def test_figures_with_the_houses_comma() -> None:
    read = content_from_fields(line(quantity="1,250 g", drop="0,02 g", tolerance="2,5 %"), ",")
    assert read.lines[0].drop == amount("0.02 g")


@pytest.mark.parametrize(
    ("given", "place", "key"),
    [
        (fields(title=None), "title", "missing_field"),
        (fields(title="  "), "title", "missing_field"),
        (fields(code=None), "code", "missing_field"),
        (fields(form="soup"), "form", "not_one_of"),
        (fields(form=None), "form", "missing_field"),
        (fields(route="elbow"), "route", "not_one_of"),
        (fields(colour="white"), "colour", "unknown_field"),
        (fields(title=5), "title", "wrong_type"),
        (fields(format=2), "format", "format"),
        (fields(format="1"), "format", "wrong_type"),
        (fields(synonyms="Zinc"), "synonyms", "wrong_type"),
        (fields(synonyms=[1]), "synonyms", "wrong_type"),
        (fields(units=0), "units", "not_a_count"),
        (fields(units=True), "units", "wrong_type"),
        (fields(units=1.5), "units", "wrong_type"),
        (fields(total="0 g"), "total", "not_a_size"),
        (fields(total="20 drops"), "total", "not_a_size"),
        (fields(dose="5 units"), "dose", "not_a_size"),
        (fields(ingredient=None), "ingredient", "no_ingredients"),
        (fields(ingredient=[]), "ingredient", "no_ingredients"),
        (fields(ingredient={"name": "A"}), "ingredient", "wrong_type"),
        (fields(ingredient=["A"]), "ingredient", "wrong_type"),
        (line(name=None), "ingredient.0.name", "missing_field"),
        (line(quantity=None), "ingredient.0.quantity", "missing_field"),
        (line(role="hero"), "ingredient.0.role", "not_one_of"),
        (line(phase="Z"), "ingredient.0.phase", "unknown_phase"),
        (line(colour="white"), "ingredient.0.colour", "unknown_field"),
        (line(potency=1000), "ingredient.0.potency", "wrong_type"),
        (fields(storage={"highest": 250}), "storage.highest", "whole_degrees"),
        (fields(storage={"highest": "25"}), "storage.highest", "wrong_type"),
        (fields(storage="cool"), "storage", "wrong_type"),
        (fields(storage={"keep_dry": "yes"}), "storage.keep_dry", "wrong_type"),
        (fields(shelf_life={"unopened": "long"}), "shelf_life.unopened", "period"),
        (fields(shelf_life={"unopened": "0 days"}), "shelf_life.unopened", "period"),
        (fields(shelf_life={"opened": "2 weeks"}), "shelf_life.unopened", "missing_field"),
        (fields(batch={"smallest": "3 drops"}), "batch.smallest", "not_a_size"),
        (fields(step=[{"phase": ""}]), "step.0.text", "missing_field"),
        (fields(step=[{"text": "Mix.", "phase": "A"}]), "step.0.phase", "unknown_phase"),
        (fields(test=[{"name": "Look"}]), "test.0.limits", "missing_field"),
        (fields(phase=[{"name": "water"}]), "phase.0.code", "missing_field"),
    ],
)
def test_a_trouble_names_its_place(given: dict[str, Any], place: str, key: str) -> None:
    assert troubles(read_fields(given))[place] == f"formula.file.{key}"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("quantity", "5 u"),
        ("quantity", "5"),
        ("quantity", "1,250 g"),
        ("density", "0.9"),
        ("density", "0 g/mL"),
        ("drop", "0.02"),
        ("potency", "0"),
        ("potency", "many"),
        ("tolerance", "0 %"),
    ],
)
def test_a_figure_that_cannot_be_read_names_its_place(name: str, value: str) -> None:
    assert list(troubles(read_fields(line(**{name: value})))) == [f"ingredient.0.{name}"]


def test_no_trouble_hides_another() -> None:
    read = read_fields(
        fields(
            title="",
            form="soup",
            mood="good",
            ingredient=[{"name": "", "quantity": "5 u"}, {"quantity": "to 0 g", "hue": "red"}],
            storage={"highest": 999},
        )
    )
    assert set(troubles(read)) == {
        "title",
        "form",
        "mood",
        "ingredient.0.name",
        "ingredient.0.quantity",
        "ingredient.1.name",
        "ingredient.1.quantity",
        "ingredient.1.hue",
        "storage.highest",
    }


def test_the_rest_is_still_read() -> None:
    read = read_fields(fields(form="soup"))
    assert read.content.title == "Zinc cream"
    assert len(read.content.lines) == 2


def test_the_first_trouble_is_raised_where_one_answer_is_wanted() -> None:
    with pytest.raises(BadText) as caught:
        content_from_fields(fields(title=""))
    assert caught.value.field == "title"


def test_a_mould_and_what_displaces_its_base() -> None:
    given = fields(
        units=10,
        mould={"capacity": "2 g", "base": "Hard fat", "spare": 2},
        ingredient=[
            {"name": "A", "quantity": "1 g per unit", "displacement": "2"},
            {
                "name": "B",
                "quantity": "1 g per unit",
                "displacement": "0.72",
                "displacement_convention": "factor",
                "displacement_source": "House record 7",
            },
            {"name": "Hard fat", "quantity": "q.s. to fill"},
        ],
    )
    content = content_from_fields(given)
    assert content.mould == Mould(amount("2 g"), "Hard fat", 2)
    one, other, base = (line.displacement for line in content.lines)
    assert one is not None
    assert other is not None
    assert (one.factor, other.factor) == (Fraction(1, 2), Fraction(18, 25))
    assert other.source == "House record 7"
    assert base is None


@pytest.mark.parametrize(
    ("given", "place", "key"),
    [
        ({"mould": {"spare": 2}}, "mould.capacity", "missing_field"),
        ({"mould": {"capacity": "2 mL"}}, "mould.capacity", "not_a_size"),
        ({"mould": {"capacity": "2 g", "spare": -1}}, "mould.spare", "not_a_spare"),
        ({"capsule": {"size": "0"}}, "capsule.volume", "missing_field"),
        ({"capsule": {"volume": "1 mL", "colour": "red"}}, "capsule.colour", "unknown_field"),
        (
            {"mould": {"capacity": "2 g"}, "capsule": {"volume": "1 mL"}},
            "capsule",
            "mould_and_capsule",
        ),
    ],
)
def test_a_mould_or_capsule_that_cannot_be_filled(
    given: dict[str, Any], place: str, key: str
) -> None:
    assert troubles(read_fields(fields(**given))) == {place: f"formula.file.{key}"}


@pytest.mark.parametrize("typed", ["0", "-2", "two"])
def test_a_displacement_is_a_number_above_nothing(typed: str) -> None:
    assert set(troubles(read_fields(line(displacement=typed)))) == {"ingredient.0.displacement"}


def test_a_step_says_what_the_bench_holds_it_to() -> None:
    step = {
        "text": "Stir in",
        "highest": "40",
        "minutes": "7.5",
        "adds": ["Zinc oxide"],
        "ask": [{"what": "pH", "lowest": "5", "highest": "7"}],
    }
    read = content_from_fields(fields(step=[step], join_difference="3"))
    assert read.join_difference == Fraction(3)
    assert read.steps[0].highest == Fraction(40)
    assert read.steps[0].minutes == Fraction(15, 2)
    assert read.steps[0].adds == ("Zinc oxide",)
    assert read.steps[0].asks == (Ask(Asked.PH, "", Fraction(5), Fraction(7)),)


@pytest.mark.parametrize(
    ("given", "place", "key"),
    [
        ({"lowest": "70", "highest": "65"}, "highest", "window_upside_down"),
        ({"joins": ["Z"]}, "joins", "unknown_phase"),
        ({"adds": ["Zink"]}, "adds", "unknown_ingredient"),
        ({"ask": [{"what": "smell"}]}, "ask.0.what", "not_one_of"),
        (
            {"ask": [{"what": "pH", "lowest": "7", "highest": "5"}]},
            "ask.0.highest",
            "window_upside_down",
        ),
    ],
)
def test_a_step_that_the_bench_cannot_follow(given: dict[str, Any], place: str, key: str) -> None:
    step = {"text": "Stir", **given}
    assert troubles(read_fields(fields(step=[step]))) == {f"step.0.{place}": f"formula.file.{key}"}


def test_why_it_is_made_though_a_product_exists_stands_in_the_formula() -> None:
    why = "No marketed cream without lanolin; the patient is allergic"
    content = content_from_fields(fields(marketed=why))
    assert content.marketed == why
    assert fields_of(content)["marketed"] == why


def test_a_line_can_ask_for_a_second_look() -> None:
    content = content_from_fields(
        fields(ingredient=[{"name": "Urea", "quantity": "10 g", "double_check": True}])
    )
    assert content.lines[0].double_check
    assert fields_of(content)["ingredient"][0]["double_check"] is True
