"""The register of a controlled substance: each change with the balance after it and who signed."""

from __future__ import annotations

from dataclasses import replace

from formulary.desk import Desk
from formulary.labels.page import GlyphRun
from formulary.papers.controlled_paper import ControlledSubject, controlled_pages
from formulary.papers.printed import printed_now
from formulary.quantity.amount import Amount
from formulary.stock.moves import Cause
from formulary.verbs.change_stock import count_stock, waste_stock
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.look_up_stock import container_numbered
from formulary.verbs.read_controlled import ControlledRegister, read_controlled
from formulary.verbs.two_people import Signing
from tests.helpers.desks import BEN, PIN
from tests.helpers.stocked import ZINC, grams, ready

BOTH = Signing(PIN, BEN.id, PIN)


def worked(desk: Desk) -> ControlledRegister:
    """Receive 500 g and 250 g, then waste 1 g, fill 100 g over, and count 2 g too few."""
    _, (first, second) = ready(desk, sizes=(500, 250))
    with desk.writing("save_ingredient") as writing:
        writing.put(replace(ZINC, controlled=True, revision=1))
    waste_stock(desk, first.id, grams(1), "spilled", BOTH)
    decant_stock(desk, first.id, grams(100), "Safe", BOTH)
    count_stock(desk, second.id, grams(248), "month's end", BOTH)
    (register,) = read_controlled(desk)
    return register


def test_the_balance_runs_over_all_containers_and_for_each(desk: Desk) -> None:
    register = worked(desk)
    told = [(each.cause, each.into, each.out, each.balance) for each in register.entries]
    assert told == [
        (Cause.RECEIVED, grams(500), None, grams(500)),
        (Cause.RECEIVED, grams(250), None, grams(750)),
        (Cause.WASTED, None, grams(1), grams(749)),
        (Cause.TRANSFERRED, None, grams(100), grams(649)),
        (Cause.TRANSFERRED, grams(100), None, grams(749)),
        (Cause.COUNTED, None, grams(2), grams(747)),
    ]
    assert [each.of_container for each in register.entries][2:] == [
        grams(499),
        grams(399),
        grams(100),
        grams(248),
    ]
    assert register.balance == grams(747)


def test_each_line_names_both_people_and_marks_what_differed(desk: Desk) -> None:
    entries = worked(desk).entries
    assert {each.people for each in entries[2:]} == {("Ada Berg", "Ben Cole")}
    assert [each.differs for each in entries] == [False] * 5 + [True]


def test_what_isn_t_controlled_has_no_register(desk: Desk) -> None:
    ready(desk)
    assert read_controlled(desk) == ()


def test_it_is_printed_with_balance_and_both_people(desk: Desk) -> None:
    pages = controlled_pages(ControlledSubject(desk.house, worked(desk), printed_now(desk)))
    said = " ".join(
        each.text for page in pages for each in page.items if isinstance(each, GlyphRun)
    ).replace("\N{NO-BREAK SPACE}", " ")
    assert "747 g" in said
    assert "Ada Berg" in said
    assert "Ben Cole" in said
    assert "not what the book" in said


def test_a_zero_count_is_on_record_without_a_change(desk: Desk) -> None:
    worked(desk)
    (register,) = read_controlled(desk)
    number = register.entries[-1].container
    count_stock(desk, container_numbered(desk.store, number).id, grams(248), "again", BOTH)
    (again,) = read_controlled(desk)
    last = again.entries[-1]
    assert (last.into, last.out, last.differs) == (None, None, False)
    assert last.balance == Amount(register.entries[-1].balance.number, "g")
