"""Water that restores a vessel, only where water alone can have left it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.bench.evaporating import (
    Evaporates,
    evaporates,
    full_gross,
    water_of,
    water_said,
    weighed_since,
)
from formulary.bench.events import Interrupted, LineTransferred, PhasesJoined, VesselWeighed
from formulary.bench.pouring import poured_together
from formulary.bench.state import Joined, State, Vessel, begin
from formulary.bench.weighing import transfer
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Phase
from formulary.review.substances import known_names
from formulary.scaling.plan import Plan
from tests.formulary.bench.test_weighing import after, read
from tests.helpers.at_bench import a_step
from tests.helpers.desks import MORNING
from tests.helpers.formulas import a_formula, a_line, amount, scaled

FAT, AQUA = "Beaker 1", "Beaker 2"
WAX, WATER, LATE = range(3)


def at_work(*, joined: bool, gross: str, late: str = "Urea") -> tuple[State, Plan]:
    """Return two phases in their beakers; the water phase has been poured into the fat."""
    content = a_formula(
        a_line("Wax", "40 g", phase="A"),
        a_line("Purified water", "60 g", phase="B"),
        a_line(late, "4 g", phase="B"),
        phases=(Phase("A", "Fat"), Phase("B", "Water")),
        steps=(a_step("Melt", "A"), a_step("Heat", "B"), a_step("Join")),
    )
    plan = scaled(content, "104 g")
    state = begin(content, plan, containers=1)
    wax, water, other = state.lines
    lines = (
        transfer(after(wax, read("40 g")), FAT),
        transfer(after(water, read("60 g")), AQUA),
        transfer(after(other, read("4 g")), AQUA),
    )
    vessels = (
        Vessel(FAT, amount("150 g"), (amount(gross),), phase="A"),
        Vessel(AQUA, amount("80 g"), phase="B"),
    )
    joins = (Joined(2, MORNING, ()),) if joined else ()
    return replace(state, lines=lines, vessels=vessels, joined=joins), plan


def vapours(*names: str) -> tuple[Evaporates, ...]:
    return tuple(evaporates(known_names((each,))) for each in names)


def said(state: State, plan: Plan, *names: str) -> str:
    words = Catalogue().text(water_said(state, plan, FAT, vapours(*names)))
    return words.replace("\N{NO-BREAK SPACE}", " ")


def test_names_say_what_leaves_as_vapour() -> None:
    found = vapours("Purified water", "Aqueous cream", "Ethanol 96 %", "Zinc oxide")
    gives = Evaporates
    assert found == (gives.WATER, gives.WATER, gives.OTHER, gives.NOTHING)


def test_after_phases_are_joined_a_vessel_holds_both() -> None:
    state, _ = at_work(joined=False, gross="190 g")
    assert poured_together(state, FAT) == ()
    state, plan = at_work(joined=True, gross="250 g")
    assert poured_together(state, FAT) == (AQUA,)
    # 150 g of beaker, 40 g of wax, 60 g of water and 4 g of urea are 254 g.
    assert "shows 254 g" in Catalogue().text(full_gross(state, plan, FAT)).replace("\xa0", " ")


def test_the_water_that_is_missing_is_said_with_what_the_balance_then_shows() -> None:
    state, plan = at_work(joined=True, gross="250 g")
    names = ("Wax", "Purified water", "Urea")
    assert water_of(state, plan, FAT, vapours(*names))[1].result == amount("4 g")
    assert "add 4 g of water" in said(state, plan, *names)
    assert "then shows 254 g" in said(state, plan, *names)
    whole, plan = at_work(joined=True, gross="254 g")
    assert "nothing has evaporated" in said(whole, plan, *names)


def test_where_something_else_is_volatile_no_water_is_proposed() -> None:
    state, plan = at_work(joined=True, gross="250 g", late="Ethanol 96 %")
    names = ("Wax", "Purified water", "Ethanol 96 %")
    with pytest.raises(Refusal):
        water_of(state, plan, FAT, vapours(*names))
    assert "other than water can have evaporated" in said(state, plan, *names)


def test_a_gross_from_before_more_went_in_says_nothing_of_it_now() -> None:
    weighed = VesselWeighed(FAT, amount("190 g"))
    assert not weighed_since([], FAT)
    assert weighed_since([weighed], FAT)
    assert not weighed_since([weighed], AQUA)
    assert not weighed_since([weighed, LineTransferred(LATE, FAT)], FAT)
    assert not weighed_since([weighed, PhasesJoined(2, ())], FAT)
    assert weighed_since([weighed, PhasesJoined(2, ()), weighed, Interrupted()], FAT)


def test_what_is_volatile_in_another_vessel_is_no_doubt_here() -> None:
    state, plan = at_work(joined=False, gross="80 g", late="Ethanol 96 %")
    lines = tuple(
        replace(each, vessel=FAT) if each.position == WATER else each for each in state.lines
    )
    weighed = Vessel(FAT, amount("150 g"), (amount("248 g"),), phase="A")
    apart = replace(state, lines=lines, vessels=(weighed, state.vessels[1]))
    _, found = water_of(apart, plan, FAT, vapours("Wax", "Purified water", "Ethanol 96 %"))
    assert found.result == amount("2 g")
