"""Entries from paper bear the original's time and person beside those of whoever enters them."""

from __future__ import annotations

from datetime import timedelta

import pytest

from formulary.bench.events import (
    BenchCleared,
    LineWeighed,
    PlanChecked,
    Planned,
    Reserved,
    StepDone,
    Transcribed,
)
from formulary.bench.original import Original
from formulary.bench.words import where
from formulary.catalogue import Catalogue
from formulary.errors import Forbidden, Refusal
from formulary.signing import Meaning
from tests.helpers.at_bench import ANNA, BORIS, CLARA, NINE, Bench, Who, a_bench, reading


def by(who: Who, minutes: int) -> Original:
    """Return what the paper says, so many minutes after the lot was set aside."""
    return Original(NINE + timedelta(minutes=minutes), who[0], who[1])


@pytest.fixture
def entered() -> Bench:
    """Return a blank that is being entered by Clara, a day later."""
    bench = a_bench()
    bench.does(Reserved("Power cuts"), CLARA)
    bench.now += timedelta(days=1)
    bench.does(Transcribed("26-1"), CLARA)
    bench.does(Planned("100 g"), CLARA)
    bench.does(PlanChecked(), BORIS, Meaning.CHECKED, original=by(BORIS, 5))
    bench.does(BenchCleared(), CLARA, original=by(ANNA, 6))
    return bench


def test_who_did_it_on_paper_made_it_and_who_enters_it_did_not(entered: Bench) -> None:
    entered.does(LineWeighed(0, reading("20 g")), CLARA, original=by(ANNA, 10))
    entered.does(StepDone(0), CLARA, original=by(ANNA, 20))
    assert entered.state.makers == ("anna",)
    assert entered.state.lines[0].weighed_by == ("anna",)
    (step,) = entered.state.steps
    assert (step.done_at, step.done_by) == (NINE + timedelta(minutes=20), "anna")
    assert entered.followed[-1].person == "Clara"
    assert entered.state.from_paper == 4
    said = where(entered.state)
    assert said is not None
    assert "Anna" in Catalogue().text(said)


def test_an_entry_without_the_papers_time_and_person_is_refused(entered: Bench) -> None:
    with pytest.raises(Refusal, match=r"paper\.unsaid"):
        entered.does(LineWeighed(0, reading("20 g")), CLARA)


@pytest.mark.parametrize(("minutes", "key"), [(-1, "too_early"), (3 * 1440, "to_come")])
def test_the_papers_time_lies_between_setting_aside_and_now(
    entered: Bench, minutes: int, key: str
) -> None:
    with pytest.raises(Refusal, match=key):
        entered.does(LineWeighed(0, reading("20 g")), CLARA, original=by(ANNA, minutes))


def test_what_another_signed_on_paper_nobody_else_signs(entered: Bench) -> None:
    bench = a_bench()
    bench.does(Reserved("Power cuts"), CLARA)
    bench.does(Transcribed("26-1"), CLARA)
    bench.does(Planned("100 g"), CLARA)
    with pytest.raises(Forbidden, match="foreign_signature"):
        bench.does(PlanChecked(), BORIS, Meaning.CHECKED, original=by(ANNA, 0))
    assert entered.state.transcribed == ("26-1",)


def test_ordinary_work_has_no_paper_behind_it() -> None:
    bench = a_bench().cleared()
    with pytest.raises(Refusal, match="not_marked"):
        bench.does(LineWeighed(0, reading("20 g")), original=by(ANNA, 0))
