"""What a formula says of water and preservative decides; what it leaves open counts against it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.finding import Severity
from formulary.formula.content import Form
from formulary.formula.stability import Preservation, Preserved, Water, WaterClass
from tests.formulary.shelf_life.cases import NOTHING, WORKS, date_of, found_in, kept, text

COLD_LIMIT = date(2026, 3, 23)


@pytest.mark.parametrize("state", [Preserved.PH, Preserved.DILUTED, Preserved.INACTIVATED])
def test_a_preservative_that_doesnt_work_here_is_none(state: Preserved) -> None:
    lasts = date_of(kept(preservation=Preservation(state, "pH 7")))
    assert lasts.use_by == COLD_LIMIT
    assert not Preservation(state).works


# Articles on USP <795> and water activity: from 0.60 on a preparation counts as aqueous.
@pytest.mark.parametrize(
    ("activity", "use_by"),
    [("0.6", date(2026, 4, 13)), ("0.599", date(2026, 9, 5)), ("0.97", date(2026, 4, 13))],
)
def test_a_measured_water_activity_decides_the_class(activity: str, use_by: date) -> None:
    water = Water(activity=Fraction(activity), source="meter, lot 3")
    content = replace(kept(preservation=WORKS, highest=25), water=water)
    assert date_of(content).use_by == use_by


def test_what_is_stated_as_aqueous_isnt_measured_away() -> None:
    water = Water(WaterClass.AQUEOUS, Fraction("0.3"), "meter")
    assert date_of(replace(kept(), water=water)).use_by == COLD_LIMIT


def test_what_is_left_open_lets_the_shortest_limit_count_and_is_asked_for() -> None:
    lasts = date_of(kept(water=None, preservation=None, highest=25))
    assert lasts.use_by == COLD_LIMIT
    assert found_in(lasts) == ["facts_missing", "past_the_rule"]
    (missing, _) = lasts.findings
    assert missing.severity is Severity.NOTE
    assert missing.field == "water"
    assert "whether it is aqueous" in text(missing.said)


def test_only_facts_that_would_tell_are_asked_for() -> None:
    lasts = date_of(kept(Form.OINTMENT, WaterClass.NON_AQUEOUS, None, highest=25))
    assert "facts_missing" not in found_in(lasts)


def test_a_storage_without_a_temperature_is_asked_for() -> None:
    lasts = date_of(kept(preservation=NOTHING, highest=None))
    assert "facts_missing" in found_in(lasts)
    assert lasts.use_by == COLD_LIMIT
