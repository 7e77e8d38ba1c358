"""What the label of a formula would lack by the house's rules for labels."""

from __future__ import annotations

from dataclasses import replace

from formulary.formula.content import LabelText, Route, Target
from formulary.review.case import Facts
from formulary.wording.label_profile import label_profile
from tests.formulary.review.cases import FAT, REASON, a_cream, a_solution, fields, loudness
from tests.helpers.formulas import active

FRANCE = Facts(profile=label_profile("fr"))


def test_a_group_of_patients_is_asked_for_where_the_profile_does() -> None:
    content = a_cream(active("Urea", "5 g"), FAT, label=LabelText(strength="5 % w/w"))
    assert fields(content, "label_elements", FRANCE) == ["label.target"]
    assert loudness(content, "label_elements", FRANCE) == [REASON]
    told = replace(content, label=replace(content.label, target=Target.CHILDREN))
    assert loudness(told, "label_elements", FRANCE) == []
    assert loudness(content, "label_elements", Facts(profile=label_profile("de"))) == []


def test_a_strength_is_asked_for_unless_the_label_can_tell_it_itself() -> None:
    facts = Facts(profile=label_profile("es"))
    cream = a_cream(active("Urea", "5 g"), FAT)
    assert fields(cream, "label_elements", facts) == ["label.strength"]
    assert loudness(a_solution(active("Urea", "5 g")), "label_elements", facts) == []


def test_without_rules_for_labels_or_for_what_is_no_medicine_nothing_is_asked() -> None:
    content = a_cream(active("Urea", "5 g"), FAT)
    assert loudness(content, "label_elements") == []
    reagent = replace(content, route=Route.NOT_A_MEDICINE)
    assert loudness(reagent, "label_elements", FRANCE) == []
