"""What a label lacks by each jurisdiction's rules, told before it is printed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import NotFound, Refusal
from formulary.formula.content import Content, LabelText, Target
from formulary.house import House
from formulary.labels.content import LabelContent, Occasion, label_content, with_people
from formulary.labels.layout import DoesNotFit, lay_out
from formulary.labels.missing import missing, require_complete
from formulary.labels.page import Field, GlyphRun, Page
from formulary.labels.plan import ESSENTIAL
from formulary.labels.stock import label_stock
from formulary.labels.wording import statements
from formulary.quantity.amount import Amount
from formulary.wording.label_profile import (
    PLACES,
    Element,
    label_profile,
    label_profiles,
)
from tests.helpers.kept import a_content

HOUSE = House("h", "Rowan Street Pharmacy", ("12 Rowan Street",), "01632 960 113")
OCCASION = Occasion(
    "26-00042",
    date(2026, 8, 18),
    date(2026, 11, 16),
    Amount(Fraction(60), "g"),
    directions="Thinly.",
    warnings=("external_use",),
)
STRONG = replace(a_content(), label=LabelText(strength="5 % w/w"))
CODES = ("neutral", "council-of-europe", "de", "es", "fr", "uk", "us")


def labelled(code: str, content: Content | None = None, house: House = HOUSE) -> LabelContent:
    under = replace(house, label_profile=code)
    return label_content(content or STRONG, under, OCCASION)


def elements(content: LabelContent) -> set[str]:
    return {each.field for each in missing(content, label_profile(content.profile))}


def test_the_countries_looked_at_come_along_and_none_is_the_default() -> None:
    assert tuple(each.code for each in label_profiles()) == CODES
    assert label_profile("").code == "neutral"
    with pytest.raises(NotFound):
        label_profile("atlantis")


def test_every_element_and_size_has_its_source() -> None:
    for profile in label_profiles():
        assert all(each.source.strip() for each in profile.requires)
        assert bool(profile.sizes_source) == bool(profile.essential_pt or profile.small_pt)
        assert profile.small is None or profile.small.source.strip()


def test_every_element_has_a_name_and_a_field_to_go_to() -> None:
    words = Catalogue()
    for element in Element:
        assert words.text(f"label.element.{element}")
        assert PLACES[element]


@pytest.mark.parametrize("code", CODES)
def test_a_whole_formula_of_a_whole_house_lacks_nothing(code: str) -> None:
    whole = replace(STRONG, label=replace(STRONG.label, target=Target.ADULTS))
    label = with_people(labelled(code, whole), "Anna Example", "Dr B. Sample")
    assert missing(label, label_profile(code)) == ()
    require_complete([label])


@pytest.mark.parametrize(
    ("code", "lacking", "field"),
    [
        ("us", {"telephone": ""}, "house.telephone"),
        ("de", {"address": ()}, "house.address"),
        ("es", {"storage": None}, "storage.highest"),
        ("fr", {"target": None}, "label.target"),
        ("uk", {"warnings": ("external_use",)}, "label.warnings"),
        ("us", {"strength": "", "held": ()}, "label.strength"),
        ("council-of-europe", {"warnings": ()}, "label.warnings"),
        ("neutral", {"house": ""}, "house.name"),
    ],
)
def test_what_is_missing_names_the_field_to_go_to(
    code: str, lacking: dict[str, object], field: str
) -> None:
    label = replace(labelled(code), **lacking)  # type: ignore[arg-type]  # one field of a case
    assert field in elements(label)


def test_a_prescriber_is_asked_for_only_where_there_is_a_patient() -> None:
    assert "order.prescriber" not in elements(labelled("us"))
    assert "order.prescriber" in elements(with_people(labelled("us"), "Anna Example"))


def test_all_that_is_missing_is_listed_at_once() -> None:
    bare = labelled("us", house=replace(HOUSE, address=(), telephone=""))
    with pytest.raises(Refusal) as refusal:
        require_complete([bare])
    said = Catalogue().text(refusal.value.message)
    assert "pharmacy's address (in Settings)" in said
    assert "pharmacy's telephone number (in Settings)" in said


def test_a_profile_adds_what_it_asks_for_and_nothing_else() -> None:
    plain, french = statements(labelled("neutral")), statements(labelled("fr"))
    assert Field.COMPOSITION not in plain
    assert "5\N{NO-BREAK SPACE}%" in french[Field.COMPOSITION]
    assert french[Field.FORM]
    assert statements(labelled("de"))[Field.COMPOSITION].startswith("Also contains")
    assert Field.FORM not in statements(labelled("de"))


def test_a_country_has_its_own_phrase_and_the_house_has_the_last_word() -> None:
    assert statements(labelled("us"))[Field.COMPOUNDED] == "This is a compounded preparation."
    own = replace(OCCASION, own=(("label.says.compounded", "Compounded for you."),))
    said = label_content(STRONG, replace(HOUSE, label_profile="us"), own)
    assert statements(said)[Field.COMPOUNDED] == "Compounded for you."


def test_children_are_thought_of_where_a_profile_says_so() -> None:
    assert "keep_out_of_reach_of_children" in labelled("uk").warnings
    assert "keep_out_of_reach_of_children" not in labelled("neutral").warnings


def runs(page: Page) -> list[GlyphRun]:
    return [each for each in page.items if isinstance(each, GlyphRun)]


def test_essentials_are_11_points_where_guidance_asks_for_it() -> None:
    # USP <17>: at least 11 pt sans serif.
    page = lay_out(labelled("us"), label_stock("100x70"))
    assert min(run.size_pt for run in runs(page) if run.field in ESSENTIAL) >= 11
    with pytest.raises(DoesNotFit):
        lay_out(labelled("us"), label_stock("62x29"))
    small = lay_out(labelled("neutral"), label_stock("62x29"))
    assert min(run.size_pt for run in runs(small) if run.field in ESSENTIAL) < 11


def test_the_rest_stands_in_the_order_that_the_profile_gives() -> None:
    page = lay_out(labelled("de"), label_stock("100x70"))
    places = {run.field: index for index, run in reversed(list(enumerate(runs(page))))}
    assert places[Field.NAME] < places[Field.ROUTE] < places[Field.USE_BY]
    assert places[Field.COMPOSITION] < places[Field.WARNINGS]
