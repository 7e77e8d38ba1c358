"""Names that leave something open, that promise what isn't there, that are taken for others."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.formula.content import Form
from formulary.quantity.amount import Concentration
from formulary.review.case import Facts
from formulary.stock.lot import Source
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    a_cream,
    an_ingredient,
    fields,
    loudness,
)
from tests.helpers.formulas import a_line, active


def test_a_salt_or_hydrate_is_named() -> None:
    bare, salt = active("Lidocaine", "2 g"), active("Lidocaine hydrochloride", "2 g")
    assert loudness(a_cream(bare, FAT), "salt_or_hydrate") == [REASON]
    assert loudness(a_cream(salt, FAT), "salt_or_hydrate") == []
    graded = active("Lidocaine", "2 g", grade="base")
    assert loudness(a_cream(graded, FAT), "salt_or_hydrate") == []
    assert loudness(a_cream(a_line("Citric acid", "1 g"), FAT), "salt_or_hydrate") == [NOTE]


def test_a_record_may_name_the_form() -> None:
    known = an_ingredient("Sodium citrate", synonyms=("Trisodium citrate dihydrate",))
    content = a_cream(active("Sodium citrate", "1 g"), FAT)
    assert loudness(content, "salt_or_hydrate") == [REASON]
    assert loudness(content, "salt_or_hydrate", Facts(ingredients=(known,))) == []


def test_another_kind_of_source_than_before_needs_a_reason() -> None:
    # Clonidine, 2025: bulk powder was taken instead of tablets.
    powder = an_ingredient("Clonidine hydrochloride")
    tablets = an_ingredient("Clonidine tablets", source=Source.UNITS)
    before = a_cream(active(tablets.name, "1 g"), FAT)
    now = a_cream(active(powder.name, "1 g"), FAT)
    facts = Facts(ingredients=(powder, tablets), before=before)
    assert loudness(now, "source_changed", facts) == [REASON]
    assert fields(now, "source_changed", facts) == ["ingredient.0.name"]
    assert loudness(before, "source_changed", facts) == []
    assert loudness(now, "source_changed", replace(facts, before=None)) == []


def test_another_strength_of_concentrate_counts_as_another_source() -> None:
    weak, strong = (
        an_ingredient(
            f"Peppermint concentrate {each}",
            source=Source.CONCENTRATE,
            strength=Concentration(Fraction(each), "% w/v"),
        )
        for each in (1, 20)
    )
    facts = Facts(ingredients=(weak, strong), before=a_cream(active(weak.name, "1 g"), FAT))
    assert loudness(a_cream(active(strong.name, "1 g"), FAT), "source_changed", facts) == [REASON]


def test_a_title_says_the_form_and_the_substance_that_are_there() -> None:
    zinc = an_ingredient("Zinc oxide")
    facts = Facts(ingredients=(zinc, an_ingredient("Urea"), an_ingredient("Bismuth subgallate")))
    right = replace(a_cream(active("Zinc oxide", "5 g"), FAT), title="Zinc oxide cream")
    assert loudness(right, "misleading_name", facts) == []
    ointment = replace(right, title="Zinc oxide ointment")
    assert fields(ointment, "misleading_name", facts) == ["form"]
    other = replace(right, title="Bismuth subgallate cream")
    assert fields(other, "misleading_name", facts) == ["title"]
    assert loudness(replace(ointment, form=Form.OINTMENT), "misleading_name", facts) == []


def test_look_alikes_are_noted_by_the_table_and_by_the_shelf() -> None:
    alone = Facts(ingredients=(an_ingredient("Urea"),))
    content = a_cream(active("Hydrocortisone", "1 g"), FAT)
    assert loudness(content, "look_alike", alone) == [NOTE]
    ethanol = a_cream(a_line("Ethanol 70 %", "1 g"), FAT)
    pair = (an_ingredient("Ethanol 70 %"), an_ingredient("Ethanol 96 %"))
    assert loudness(ethanol, "look_alike", Facts(ingredients=pair)) == [NOTE]
    assert loudness(a_cream(active("Urea", "1 g"), FAT), "look_alike", alone) == []


def test_a_title_near_another_is_noted() -> None:
    content = replace(a_cream(active("Urea", "1 g"), FAT), title="Urea cream 10 %")
    assert loudness(content, "look_alike", Facts(titles=("Urea cream 15 %",))) == [NOTE]
    assert loudness(content, "look_alike", Facts(titles=("Zinc paste",))) == []
