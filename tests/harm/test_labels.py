"""What stands on the label: a strength that isn't in the jar, a changed one, per mL misread."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.formula.content import Content, Form, LabelText, Role, Route
from formulary.labels.content import LabelContent
from formulary.labels.page import Field
from formulary.labels.wording import statements
from formulary.orders.order import OrderState, moved_to
from formulary.quantity.amount import Amount, Concentration
from formulary.verbs.issue_labels import label_contents
from formulary.verbs.last_supply import strength_changes
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import review_version
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.take_order import take_order
from formulary.verbs.write_version import write_version
from formulary.wording.directions import Dosing, Use
from tests.harm.conftest import Stopped
from tests.helpers.desks import ADA, BEN, PIN, at, in_use
from tests.helpers.formulas import a_formula, a_line, active
from tests.helpers.ordered import an_order, asked
from tests.helpers.stocked_bench import four_lines, kept_well


def a_syrup(strength: str, code: str) -> Content:
    syrup = a_line("Syrup", "to 100 mL", Role.VEHICLE)
    made = kept_well(a_formula(active("Thiamine", strength), syrup), code=code, title=f"T {code}")
    return replace(made, form=Form.SYRUP, route=Route.ORAL)


def bottle(desk: Desk, **more: object) -> LabelContent:
    """Return what a bottle of 100 mL says, with 2 mg of thiamine in 1 mL."""
    version = in_use(desk, a_syrup("2 mg/mL", "S1"))
    made = start_preparation(desk, version.id, Order("100 mL"))
    return replace(label_contents(desk, made)[0], **more)  # type: ignore[arg-type]  # by name


def test_10_10_mislabelled_2013_a_strength_that_nothing_comes_to_is_a_stop(
    desk: Desk, stopped: Stopped
) -> None:
    # About 60 % of officially tested preparations were mislabelled.
    wrong = replace(four_lines(), label=LabelText(strength="0.6 % w/w"))
    one = replace(wrong, lines=(replace(wrong.lines[0], role=Role.ACTIVE), *wrong.lines[1:]))
    version = write_version(at(desk, ADA), one)
    send_to_review(at(desk, ADA), version.id)
    found = [e for e in review_version(desk, version).findings if e.rule == "declared_strength"]
    assert [each.severity for each in found] == [Severity.STOP]
    said = stopped(lambda: put_in_use(at(desk, BEN), version.id, PIN))
    assert said.key == "review.stopped"


@pytest.mark.parametrize(("field", "said"), [("lot", ""), ("name", " ")])
def test_10_14_dispensing_1999_a_label_without_what_it_must_say_cant_exist(
    desk: Desk, field: str, said: str
) -> None:
    # 80 % of dispensing errors were label information.
    with pytest.raises(Refusal):
        bottle(desk, **{field: said})


def test_10_14b_a_patient_gets_no_label_without_directions(desk: Desk) -> None:
    with pytest.raises(Refusal) as refused:
        bottle(desk, patient="Quentin Zimt", directions="")
    assert refused.value.message.key == "label.patient_without_directions"


def test_10_15_michigan_another_strength_than_the_last_supply_is_told(desk: Desk) -> None:
    # Over half of the drugs came in three or more strengths, up to thirtyfold apart.
    weak, strong = (in_use(desk, a_syrup(f"{n} mg/mL", f"S{n}")) for n in (1, 30))
    earlier = take_order(desk, asked(weak.id, target="100 mL"))
    with desk.writing("change_order") as writing:
        working = writing.put(moved_to(earlier, OrderState.IN_WORK))
        writing.put(moved_to(working, OrderState.HANDED_OVER))
    (told,) = strength_changes(desk.store, an_order(desk, strong, target="100 mL"))
    assert told.key == "wording.strength_changed"


def test_10_16_fentanyl_and_ketamine_the_label_says_one_millilitre_and_the_whole(
    desk: Desk,
) -> None:
    # Strength per mL was printed larger than the total: 2500 were taken for 50 micrograms.
    said = statements(bottle(desk))[Field.STRENGTH].replace("\N{NO-BREAK SPACE}", " ")
    assert "2 mg in 1 mL" in said
    assert "200 mg in 100 mL" in said


def test_10_16b_semaglutide_a_dose_is_said_in_milligrams_and_millilitres(desk: Desk) -> None:
    # Units, mL and mg were mixed up: five to twenty times the dose.
    dosing = Dosing(Use.TAKE, Amount(Fraction(5), "mL"), place="by_mouth", number=3)
    strength = Concentration(Fraction(2), "mg/mL")
    content = bottle(desk, dosing=dosing, dose_strength=strength)
    said = statements(content)[Field.DIRECTIONS].replace("\N{NO-BREAK SPACE}", " ")
    assert "5 mL" in said
    assert "10 mg" in said
