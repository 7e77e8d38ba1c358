"""Ways out of a wrong weighing: what is open depends on boat, vessel, phases and strengths."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.bench.events import LineDecided, Way
from formulary.bench.make_good import MadeGood, Vessel, at_the_bench
from formulary.bench.out_of_tolerance import (
    WayOut,
    needs_decision,
    require_open,
    situation_of,
    ways_out,
)
from formulary.bench.true_strength import StrengthLimits
from formulary.bench.weighing import LineState, transfer
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from tests.formulary.bench.test_true_strength import READS, lines, plan
from tests.formulary.bench.test_weighing import after, read
from tests.helpers.formulas import amount

WIDE = StrengthLimits(Fraction(80), Fraction(120))
NARROW = StrengthLimits(Fraction(99), Fraction(101))


def at_bench(figure: str, vessel: str = "") -> list[LineState]:
    urea, base = lines(plan())
    weighed = after(urea, read(figure))
    return [transfer(weighed, vessel) if vessel else weighed, base]


def good(states: list[LineState], holds: str = "500 g") -> MadeGood:
    return at_the_bench(
        states, total=amount("100 g"), ordered=amount("90 g"), vessel=Vessel("B", amount(holds))
    )


def offered(
    states: list[LineState],
    *,
    joined: bool = False,
    limits: StrengthLimits = WIDE,
    holds: str = "500 g",
) -> tuple[WayOut, ...]:
    made = good(states, holds)
    situation = situation_of(plan(), states, 0, READS, joined=joined, limits=limits)
    return ways_out(states[0], situation, made)


def ways(found: tuple[WayOut, ...]) -> list[Way]:
    return [each.way for each in found]


def test_too_much_in_its_own_boat_can_be_taken_out() -> None:
    assert ways(offered(at_bench("5.5 g"))) == [
        Way.WASTE,
        Way.MAKE_GOOD,
        Way.ACCEPT,
        Way.DISCARD,
    ]


def test_from_a_common_vessel_nothing_is_taken_out() -> None:
    found = ways(offered(at_bench("5.5 g", "Beaker 1")))
    assert found == [Way.MAKE_GOOD, Way.ACCEPT, Way.DISCARD]


def test_too_little_is_added_to() -> None:
    assert ways(offered(at_bench("4.8 g"))) == [Way.ADD, Way.ACCEPT, Way.DISCARD]


def test_accepting_is_only_open_inside_the_limits_of_the_strength() -> None:
    assert Way.ACCEPT not in ways(offered(at_bench("5.5 g"), limits=NARROW))
    assert Way.ACCEPT not in ways(offered(at_bench("4.8 g"), limits=NARROW))


def test_making_good_is_only_open_where_vessel_and_lots_suffice() -> None:
    assert Way.MAKE_GOOD not in ways(offered(at_bench("5.5 g"), holds="105 g"))


@pytest.mark.parametrize("figure", ["5.5 g", "4.8 g"])
def test_once_phases_are_joined_it_is_accepted_or_rejected(figure: str) -> None:
    assert ways(offered(at_bench(figure), joined=True)) == [Way.ACCEPT, Way.DISCARD]
    assert ways(offered(at_bench(figure), joined=True, limits=NARROW)) == [Way.DISCARD]


def test_a_line_inside_its_band_asks_for_nothing() -> None:
    assert offered(at_bench("5.02 g")) == ()
    assert not needs_decision(at_bench("5.02 g")[0], joined=True)


def test_too_little_only_stops_the_record_once_phases_are_joined() -> None:
    assert needs_decision(at_bench("5.5 g")[0])
    assert not needs_decision(at_bench("4.8 g")[0])
    assert needs_decision(at_bench("4.8 g")[0], joined=True)


def test_every_way_shows_its_working() -> None:
    for figure in ("5.5 g", "4.8 g"):
        for way in (*offered(at_bench(figure)), *offered(at_bench(figure), joined=True)):
            assert way.working
            assert all(Catalogue().text(each) for each in way.working)


def test_of_a_boat_with_two_containers_all_has_to_go() -> None:
    urea, base = lines(plan())
    states = [after(urea, read("3 g"), read("2.5 g", container="C2")), base]
    assert offered(states)[0].working[-1].key == "bench.ways.remove_all"


GOOD = LineDecided(0, Way.MAKE_GOOD, "enough base", Fraction("1.1"))


@pytest.mark.parametrize("decision", [GOOD, LineDecided(0, Way.WASTE, "spilt")])
def test_what_is_offered_can_be_decided(decision: LineDecided) -> None:
    require_open(decision, offered(at_bench("5.5 g")))


@pytest.mark.parametrize(
    "wrong",
    [
        replace(GOOD, way=Way.ADD),
        replace(GOOD, factor=Fraction("1.2")),
        replace(GOOD, factor=None),
    ],
)
def test_what_isnt_open_or_was_shown_otherwise_is_refused(wrong: LineDecided) -> None:
    with pytest.raises(Refusal) as refused:
        require_open(wrong, offered(at_bench("5.5 g")))
    assert Catalogue().text(refused.value.message).endswith(".")
