"""The balance register: no weighing without today's check, and drift found at the end."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from formulary.bench.balance_checks import (
    BalanceCheck,
    BalanceEntry,
    CheckWeight,
    WeighedAt,
    WeightRead,
    When,
    check_said,
    checked,
    drift_findings,
    in_doubt,
    require_fit,
    why_not,
)
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from tests.helpers.formulas import amount

TODAY = date(2026, 3, 10)
WEIGHT = CheckWeight("W-100", amount("100 g"), due=date(2027, 1, 1))
ENTRY = BalanceEntry(
    "Bench 1", "SN 1", amount("0.01 g"), amount("20 mg"), date(2026, 3, 10), (WEIGHT,)
)


def a_check(shown: str, hour: int = 8, on: date = TODAY) -> BalanceCheck:
    return checked(
        ENTRY,
        (WeightRead(WEIGHT, amount(shown)),),
        at=datetime(on.year, on.month, on.day, hour, tzinfo=UTC),
        on=on,
        person_id="tech",
        when=When.START if hour < 12 else When.END,
    )


def weighed(hour: int, what: str = "", balance: str = "Bench 1") -> WeighedAt:
    return WeighedAt(balance, datetime(2026, 3, 10, hour, tzinfo=UTC), what or f"line at {hour}")


@pytest.mark.parametrize("shown", ["100.02 g", "99.98 g", "100 g"])
def test_a_checked_and_calibrated_balance_is_fit_on_its_last_day(shown: str) -> None:
    require_fit(ENTRY, [a_check(shown)], TODAY)


@pytest.mark.parametrize(
    ("entry", "checks", "why"),
    [
        (ENTRY, [], "unchecked"),
        (ENTRY, [a_check("100 g", on=date(2026, 3, 9))], "unchecked"),
        (replace(ENTRY, name="Bench 2"), [a_check("100 g")], "unchecked"),
        (ENTRY, [a_check("100.03 g")], "failed"),
        (ENTRY, [a_check("100 g", 8), a_check("99.9 g", 9)], "failed"),
        (
            replace(ENTRY, calibration_due=date(2026, 3, 9)),
            [a_check("100 g")],
            "calibration_overdue",
        ),
        (replace(ENTRY, calibration_due=None), [a_check("100 g")], "not_calibrated"),
    ],
)
def test_an_unfit_balance_is_refused_in_a_sentence(
    entry: BalanceEntry, checks: list[BalanceCheck], why: str
) -> None:
    said = why_not(entry, checks, TODAY)
    assert said is not None
    assert said.key == f"bench.balance.{why}"
    assert Catalogue().text(said).endswith(".")
    with pytest.raises(Refusal):
        require_fit(entry, checks, TODAY)


def test_a_balance_put_right_is_fit_again() -> None:
    require_fit(ENTRY, [a_check("99.9 g", 8), a_check("100 g", 9)], TODAY)


def test_a_check_needs_a_weight_whose_certificate_holds() -> None:
    with pytest.raises(Refusal):
        checked(ENTRY, (), at=datetime(2026, 3, 10, tzinfo=UTC), on=TODAY, person_id="tech")
    old = WeightRead(replace(WEIGHT, due=date(2026, 3, 9)), amount("100 g"))
    with pytest.raises(Refusal):
        checked(ENTRY, (old,), at=datetime(2026, 3, 10, tzinfo=UTC), on=TODAY, person_id="tech")


def test_the_check_says_what_it_read() -> None:
    assert "99.9" in Catalogue().text(check_said(a_check("99.9 g")))


def test_the_check_says_what_each_of_its_weights_read() -> None:
    small = WeightRead(CheckWeight("W-2", amount("20 g")), amount("20.01 g"))
    one = a_check("100 g")
    said = Catalogue().text(check_said(replace(one, readings=(*one.readings, small))))
    assert "100 g for 100 g" in said.replace("\u00a0", " ")
    assert "20.01 g for 20 g" in said.replace("\u00a0", " ")


def test_drift_at_the_end_throws_all_since_the_last_good_check_into_doubt() -> None:
    checks = [a_check("100 g", 8), a_check("100 g", 12), a_check("100.1 g", 17)]
    weighings = [weighed(9), weighed(13), weighed(16), weighed(14, balance="Bench 2")]
    assert in_doubt("Bench 1", checks, weighings) == (weighed(13), weighed(16))
    found = drift_findings("Bench 1", checks, weighings)
    assert [each.field for each in found] == ["line at 13", "line at 16"]
    assert "line at 13" in Catalogue().text(found[0].said)


def test_a_later_good_check_does_not_clear_what_was_weighed_before_the_failed_one() -> None:
    checks = [a_check("100 g", 8), a_check("100.1 g", 12), a_check("100 g", 13)]
    assert in_doubt("Bench 1", checks, [weighed(9), weighed(14)]) == (weighed(9),)
