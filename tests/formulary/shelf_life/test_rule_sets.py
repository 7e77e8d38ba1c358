"""Published sets are data with their citation; what they say is what their sources print."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from formulary.errors import NotFound
from formulary.finding import Severity
from formulary.formula.content import Container, Content, Form, Route, Storage
from formulary.formula.stability import Factors, Packing, Preservation, Preserved, WaterClass
from formulary.shelf_life.asked import Kind
from formulary.shelf_life.published import published, published_set
from formulary.shelf_life.rules import RuleSet
from formulary.use_by import Counting
from tests.formulary.shelf_life.cases import NOTHING, WORKS, date_of, found_in, kept, text

DRY, WET = WaterClass.NON_AQUEOUS, WaterClass.AQUEOUS
ETHANOL = Preservation(Preserved.ETHANOL, "70 % by volume")


@pytest.mark.parametrize("rules", published(), ids=lambda rules: rules.code)
def test_a_set_names_its_citation_its_counting_and_the_source_of_each_limit(
    rules: RuleSet,
) -> None:
    assert rules.title
    assert rules.citation
    assert rules.counting_source
    assert rules.ceiling_source
    assert rules.limits
    assert all(limit.name and limit.source for limit in rules.limits)


def test_no_other_set_is_known() -> None:
    with pytest.raises(NotFound):
        published_set("mine")


# USP <795>, official 1 November 2023: 14 days cold without a preservative, 35 days with one, 90
# days for a non-aqueous liquid to be swallowed, 180 days for all else that is non-aqueous.
@pytest.mark.parametrize(
    ("content", "use_by"),
    [
        (kept(Form.CREAM, WET, NOTHING, highest=8), date(2026, 3, 23)),
        (kept(Form.CREAM, WET, WORKS, highest=25), date(2026, 4, 13)),
        (kept(Form.SOLUTION, WET, ETHANOL, highest=25), date(2026, 4, 13)),
        (kept(Form.SUSPENSION, DRY, NOTHING, route=Route.ORAL, highest=25), date(2026, 6, 7)),
        (kept(Form.SUSPENSION, DRY, NOTHING, route=Route.SKIN, highest=25), date(2026, 9, 5)),
        (kept(Form.CAPSULES, DRY, NOTHING, route=Route.ORAL, highest=25), date(2026, 9, 5)),
        (kept(Form.OINTMENT, DRY, NOTHING, highest=8), date(2026, 9, 5)),
    ],
)
def test_the_limits_of_2023(content: Content, use_by: date) -> None:
    assert date_of(content).use_by == use_by


# USP <795> before November 2023: 6 months, 14 days cold to be swallowed, 30 days for the skin and
# mucosa.
@pytest.mark.parametrize(
    ("content", "use_by"),
    [
        (kept(Form.OINTMENT, DRY, highest=25), date(2023, 9, 9)),
        (kept(Form.SYRUP, WET, WORKS, route=Route.ORAL, highest=8), date(2023, 3, 23)),
        (kept(Form.CREAM, WET, NOTHING, highest=25), date(2023, 4, 8)),
        (kept(Form.MOUTHWASH, WET, NOTHING, route=Route.MOUTH, highest=25), date(2023, 4, 8)),
    ],
)
def test_the_older_three_limits(content: Content, use_by: date) -> None:
    lasts = date_of(content, made_on=date(2023, 3, 10), rules="usp795-2014")
    assert lasts.use_by == use_by
    assert lasts.stop is None


def in_a(packing: Packing, preservation: Preservation, highest: int = 25) -> Content:
    """Return a watery cream in a container."""
    container = Container("Container", packing=packing)
    return kept(Form.CREAM, WET, preservation, highest=highest, container=container)


# German guide values, snapshot of 2014, the day of making not counted.
@pytest.mark.parametrize(
    ("content", "use_by"),
    [
        (in_a(Packing.JAR, WORKS), date(2026, 4, 7)),
        (in_a(Packing.DISPENSER, WORKS), date(2026, 9, 10)),
        (in_a(Packing.TUBE, WORKS), date(2027, 3, 10)),
        (in_a(Packing.TUBE, NOTHING), date(2026, 3, 17)),
        (in_a(Packing.DISPENSER, NOTHING, highest=8), date(2026, 3, 24)),
        (kept(Form.SOLUTION, WET, WORKS, highest=25), date(2026, 9, 10)),
        (kept(Form.SOLUTION, WET, NOTHING, highest=25), date(2026, 3, 17)),
        (kept(Form.SOLUTION, WET, NOTHING, highest=8), date(2026, 3, 24)),
        (kept(Form.SOLUTION, DRY, NOTHING, highest=25), date(2026, 9, 10)),
        (kept(Form.SPIRIT, WET, ETHANOL, highest=25), date(2028, 3, 10)),
        (kept(Form.SOLUTION, WET, ETHANOL, route=Route.ORAL, highest=25), date(2026, 9, 10)),
        (kept(Form.OINTMENT, DRY, NOTHING, highest=25), date(2026, 4, 10)),
    ],
)
def test_the_german_guide_values(content: Content, use_by: date) -> None:
    assert date_of(content, rules="de-2014").use_by == use_by


def test_the_container_decides_or_the_working_says_that_it_doesnt() -> None:
    for rules, depends in (("de-2014", True), ("usp795-2023", False)):
        lasts = [date_of(in_a(each, WORKS), rules=rules) for each in (Packing.JAR, Packing.TUBE)]
        assert (lasts[0].use_by != lasts[1].use_by) is depends
        steps = " ".join(text(each) for each in lasts[0].working.steps)
        assert ("No limit of this rule set depends on the kind of container." in steps) != depends


def test_what_is_unstable_by_itself_lasts_four_weeks_at_most() -> None:
    """German guide values: at most 4 weeks; the day of making isn't counted."""
    stable = kept(Form.OINTMENT, DRY, NOTHING, highest=25)
    unstable = replace(stable, factors=Factors(unstable=True))
    assert date_of(unstable, rules="de-2014").use_by == date(2026, 4, 7)
    assert date_of(stable, rules="de-2014").use_by > date(2026, 4, 7)
    only_told = replace(stable, factors=Factors(heat="melted at 70 °C"))
    assert date_of(only_told, rules="de-2014").use_by == date_of(stable, rules="de-2014").use_by


def test_the_belgian_two_months_hold_for_everything() -> None:
    for content in (kept(Form.CREAM, WET, NOTHING), kept(Form.CAPSULES, DRY, highest=25)):
        assert date_of(content, rules="be-2-months").use_by == date(2026, 5, 9)


def test_sets_are_never_mixed() -> None:
    content = in_a(Packing.TUBE, WORKS)
    for rules in published():
        candidates = date_of(content, rules=rules.code).candidates
        own = {limit.source for limit in rules.limits}
        ruled = [each.source for each in candidates if each.kind is Kind.RULE]
        assert all(dict(each.parameters)["source"] in own for each in ruled if each)


@pytest.mark.parametrize(
    ("rules", "made_on", "key"),
    [
        ("usp795-2023", date(2023, 10, 31), "set_too_new"),
        ("usp795-2014", date(2023, 11, 1), "set_over"),
    ],
)
def test_a_set_stops_where_it_doesnt_hold_on_the_day_of_making(
    rules: str, made_on: date, key: str
) -> None:
    lasts = date_of(kept(), rules=rules, made_on=made_on)
    assert key in found_in(lasts)
    assert lasts.stop is not None
    assert "1 Nov 2023" in text(lasts.stop.said) or "31 Oct 2023" in text(lasts.stop.said)


def test_one_day_parts_two_editions() -> None:
    before, after = date(2023, 10, 31), date(2023, 11, 1)
    assert published_set("usp795-2014").is_valid_on(before)
    assert published_set("usp795-2023").is_valid_on(after)
    assert not published_set("usp795-2014").is_valid_on(after)


def test_a_set_that_says_how_days_are_counted_is_counted_so() -> None:
    assert published_set("de-2014").counting is Counting.DAY_0
    lasts = date_of(in_a(Packing.TUBE, NOTHING), rules="de-2014", counting=Counting.DAY_1)
    assert lasts.use_by == date(2026, 3, 17)


def test_where_a_set_doesnt_say_the_earlier_date_is_taken_unless_the_house_chose() -> None:
    content = kept(Form.CREAM, WET, WORKS, highest=25)
    assert date_of(content).use_by == date(2026, 4, 13)
    assert date_of(content, counting=Counting.DAY_0).use_by == date(2026, 4, 14)


def test_a_limit_that_holds_only_cold_doesnt_hold_at_room_temperature() -> None:
    lasts = date_of(kept(Form.CREAM, WET, NOTHING, highest=25))
    assert found_in(lasts) == ["kept_too_warm"]
    assert lasts.stop is not None
    assert lasts.stop.severity is Severity.STOP
    assert lasts.stop.field == "storage.highest"
    assert "8 °C at most" in text(lasts.stop.said)


def test_a_form_for_which_the_set_has_no_limit_has_no_date() -> None:
    lasts = date_of(in_a(Packing.JAR, NOTHING), rules="de-2014")
    assert found_in(lasts) == ["no_limit"]
    assert lasts.stop is not None


def test_storage_of_a_limit_is_said_in_numbers() -> None:
    lasts = date_of(kept(Form.CREAM, WET, NOTHING, highest=8, storage=Storage(2, 8)))
    assert "not above 8 °C" in text(lasts.bound_by.said)
