"""No date is ever later than its evidence, whatever the formula says and whoever signed it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from formulary.formula.content import Content, Form, Period, Route, ShelfLife, Span, Storage
from formulary.formula.stability import Packing, Preservation, Preserved, WaterClass
from formulary.shelf_life.asked import Asked, Kind
from formulary.shelf_life.dating import dated, outlasts
from formulary.shelf_life.materials import Ending, Sort
from formulary.shelf_life.published import published
from formulary.shelf_life.rules import RuleSet
from formulary.use_by import Counting, last_day
from tests.formulary.shelf_life.cases import FIVE_YEARS, STUDY, kept
from tests.helpers.strategies import evidences, periods, waters

DAYS = st.dates(date(2015, 1, 1), date(2040, 12, 31))
SETS = st.sampled_from(published())


@st.composite
def formulas(draw: st.DrawFn) -> Content:
    """Return a formula that says more or less of what a rule asks, with or without evidence."""
    content = kept(
        draw(st.sampled_from(Form)),
        draw(st.none() | st.sampled_from(WaterClass)),
        draw(st.none() | st.builds(Preservation, st.sampled_from(Preserved), st.just("pH 4"))),
        route=draw(st.sampled_from(Route)),
        highest=draw(st.none() | st.integers(4, 30)),
    )
    container = content.container
    assert container is not None
    return replace(
        content,
        container=replace(container, packing=draw(st.none() | st.sampled_from(Packing))),
        shelf_life=ShelfLife(draw(periods())),
        evidence=draw(st.none() | evidences() | st.just(STUDY)),
        water=draw(st.just(content.water) | waters()),
    )


def materials() -> st.SearchStrategy[tuple[Ending, ...]]:
    """Return what went in, each with its date."""
    one = st.builds(Ending, st.sampled_from(Sort), st.just("Oil"), st.just("L-1"), DAYS)
    return st.lists(one, max_size=4).map(tuple)


@st.composite
def questions(draw: st.DrawFn) -> Asked:
    """Return something to date."""
    return Asked(
        draw(formulas()),
        draw(DAYS),
        draw(SETS),
        signed=draw(st.booleans()),
        counting=draw(st.none() | st.sampled_from(Counting)),
        materials=draw(materials()),
    )


@given(questions())
def test_no_date_is_past_any_material_or_the_formulas_own_life(asked: Asked) -> None:
    use_by = dated(asked).use_by
    assert all(use_by <= each.last_day for each in asked.materials)
    assert asked.content.shelf_life is not None
    assert use_by <= asked.last_day(asked.content.shelf_life.unopened).result


@given(questions())
def test_no_date_that_is_trusted_is_past_every_limit_and_the_ceiling(asked: Asked) -> None:
    found = dated(asked)
    if found.stop is not None:
        return
    rules = asked.rules
    longest = max(asked.last_day(each.period).result for each in rules.limits)
    ceiling = asked.last_day(rules.ceiling).result if rules.ceiling else longest
    assert found.use_by <= max(longest, ceiling)
    lifted = any(each.kind is Kind.CEILING for each in found.candidates)
    assert not lifted or found.use_by <= ceiling


@given(questions())
def test_without_a_signature_no_evidence_makes_a_date_later(asked: Asked) -> None:
    unsigned = dated(replace(asked, signed=False))
    bare = dated(replace(asked, content=replace(asked.content, evidence=None), signed=False))
    assert unsigned.stop is not None or unsigned.use_by <= bare.use_by


@given(questions(), materials())
def test_more_in_it_never_makes_it_last_longer(asked: Asked, more: tuple[Ending, ...]) -> None:
    added = replace(asked, materials=(*asked.materials, *more))
    assert dated(added).use_by <= dated(asked).use_by


@given(questions(), st.integers(1, 300))
def test_a_later_date_of_a_material_or_of_making_never_makes_it_earlier(
    asked: Asked, days: int
) -> None:
    later = tuple(
        replace(each, last_day=each.last_day + timedelta(days=days)) for each in asked.materials
    )
    assert dated(replace(asked, materials=later)).use_by >= dated(asked).use_by
    moved = replace(asked, made_on=asked.made_on + timedelta(days=days))
    assert dated(moved).use_by >= dated(asked).use_by


@given(questions())
def test_telling_more_never_makes_it_last_shorter(asked: Asked) -> None:
    """Leaving water and preservation open is never rewarded with a later date."""
    silent = replace(asked.content, water=None, preservation=None, evidence=None)
    told = replace(asked.content, evidence=None)
    found = dated(replace(asked, content=told))
    if found.stop is None:
        assert dated(replace(asked, content=silent)).use_by <= found.use_by


@given(questions())
def test_what_bound_it_is_a_candidate_and_the_working_ends_in_it(asked: Asked) -> None:
    found = dated(asked)
    assert found.bound_by in found.candidates
    assert all(found.use_by <= each.last_day for each in found.candidates if each.counts)
    assert found.working.result == found.use_by
    assert dict(found.working.steps[-1].parameters)["end"] == found.use_by


@given(DAYS, periods())
def test_day_0_is_one_day_later_than_day_1_but_for_months_that_are_clipped(
    made: date, period: Period
) -> None:
    day_1 = last_day(made, period, Counting.DAY_1).result
    day_0 = last_day(made, period, Counting.DAY_0).result
    assert day_0 - day_1 in {timedelta(0), timedelta(days=1)}
    if period.span is not Span.MONTHS:
        assert day_0 - day_1 == timedelta(days=1)
    assert last_day(made, period).result == day_1


@given(DAYS, st.integers(1, 400))
def test_a_treatment_warns_exactly_when_its_last_day_is_past_the_date(
    made: date, treatment: int
) -> None:
    rules: RuleSet = published()[0]
    content = kept(Form.OINTMENT, WaterClass.NON_AQUEOUS, shelf_life=FIVE_YEARS)
    found = dated(Asked(replace(content, storage=Storage(15, 25)), made, rules))
    past = made + timedelta(days=treatment - 1) > found.use_by
    assert (outlasts(found, treatment) is not None) is past
