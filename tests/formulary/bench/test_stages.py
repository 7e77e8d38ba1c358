"""Stages follow each other; none that is required is skipped."""

from __future__ import annotations

from itertools import pairwise

import pytest

from formulary.bench.stages import (
    BEFORE_RELEASE,
    ENDS,
    MOVES,
    Stage,
    named,
    require_move,
    require_step_back,
)
from formulary.catalogue import Catalogue
from formulary.errors import Refusal


def test_each_stage_before_release_leads_to_the_next() -> None:
    for stage, following in pairwise(BEFORE_RELEASE):
        require_move(stage, following)


@pytest.mark.parametrize("stage", BEFORE_RELEASE)
def test_no_stage_leads_past_the_one_that_follows(stage: Stage) -> None:
    following = BEFORE_RELEASE[BEFORE_RELEASE.index(stage) + 1 :][:1]
    assert tuple(to for to in BEFORE_RELEASE if to in MOVES[stage]) == following


@pytest.mark.parametrize("stage", BEFORE_RELEASE)
def test_everything_before_release_can_be_cancelled(stage: Stage) -> None:
    require_move(stage, Stage.CANCELLED)


@pytest.mark.parametrize("stage", [Stage.RELEASED, *sorted(ENDS)])
def test_what_was_released_or_came_to_an_end_isnt_cancelled(stage: Stage) -> None:
    with pytest.raises(Refusal):
        require_move(stage, Stage.CANCELLED)


def test_only_what_awaits_release_is_released() -> None:
    assert [each for each in Stage if Stage.RELEASED in MOVES[each]] == [Stage.AWAITING_RELEASE]


def test_only_what_is_released_is_handed_over() -> None:
    assert [each for each in Stage if Stage.HANDED_OVER in MOVES[each]] == [Stage.RELEASED]


def test_nothing_is_rejected_before_there_is_something() -> None:
    with pytest.raises(Refusal):
        require_move(Stage.BENCH_CLEARED, Stage.REJECTED)


def test_a_step_back_goes_to_an_earlier_stage_and_not_from_the_shelf() -> None:
    require_step_back(Stage.PACKED, Stage.IN_WORK)
    for stage, to in [
        (Stage.PACKED, Stage.PACKED),
        (Stage.IN_WORK, Stage.PACKED),
        (Stage.RELEASED, Stage.LABELLED),
        (Stage.PACKED, Stage.CANCELLED),
    ]:
        with pytest.raises(Refusal):
            require_step_back(stage, to)


@pytest.mark.parametrize("stage", Stage)
def test_a_stage_is_named_for_a_person(stage: Stage) -> None:
    assert Catalogue().text(named(stage)) == stage.value
