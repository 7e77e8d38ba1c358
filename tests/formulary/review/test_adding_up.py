"""Sums, densities, kinds of per cent, what can't be weighed, the basis of an assay."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from formulary.formula.content import BatchLimits
from formulary.ingredient import Matter
from formulary.review.case import Facts
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Analysis, AssayBasis, Source, SupplyLot
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    STOP,
    a_cream,
    a_solution,
    an_ingredient,
    fields,
    loudness,
)
from tests.helpers.formulas import a_balance, a_line, active, amount, density

ZINC = an_ingredient("Zinc oxide")


def test_a_sum_that_doesnt_close_is_a_stop_and_one_that_does_is_silent() -> None:
    short = a_cream(active("Zinc oxide", "10 g"), a_line("Lard", "80 g"), total=amount("100 g"))
    assert loudness(short, "sums") == [STOP]
    assert fields(short, "sums") == ["ingredient.0.quantity"]
    assert loudness(a_cream(active("Zinc oxide", "10 g"), FAT), "sums") == []


def test_a_volume_in_a_mass_needs_a_density() -> None:
    oil = a_line("Lavender oil", "1 mL")
    assert loudness(a_cream(oil, FAT), "density") == [STOP]
    assert fields(a_cream(oil, FAT), "density") == ["ingredient.0.density"]
    assert loudness(a_cream(a_line("Lavender oil", "1 g"), FAT), "density") == []


def test_a_solid_in_per_cent_by_volume_cant_be_right() -> None:
    facts = Facts(ingredients=(ZINC, an_ingredient("Ethanol 96 %", Matter.LIQUID)))
    assert loudness(a_solution(active("Zinc oxide", "5 % v/v")), "percent_kinds", facts) == [STOP]
    assert loudness(a_solution(active("Ethanol 96 %", "5 % v/v")), "percent_kinds", facts) == []


def test_a_kind_of_per_cent_that_doesnt_suit_the_whole_needs_a_reason() -> None:
    cream = a_cream(active("Urea", "5 % w/v"), FAT, density=density("0.9"))
    assert loudness(cream, "percent_kinds") == [REASON]
    solution = a_solution(active("Urea", "5 % w/w"), density=density("1.02"))
    assert loudness(solution, "percent_kinds") == [REASON]
    assert loudness(a_cream(active("Urea", "5 % w/w"), FAT), "percent_kinds") == []


def test_what_no_balance_weighs_in_any_batch_needs_a_reason_and_in_the_smallest_is_noted() -> None:
    facts = Facts(balances=(a_balance("fine", "200 g", "1 mg", "50 mg"),))
    tiny = a_cream(active("Tretinoin", "0.025 % w/w"), FAT)
    assert loudness(tiny, "unweighable", facts) == [REASON]
    large = a_cream(
        active("Tretinoin", "0.025 % w/w"),
        FAT,
        batch=BatchLimits(amount("50 g"), amount("1 kg")),
    )
    assert loudness(large, "unweighable", facts) == [NOTE]
    assert loudness(a_cream(active("Urea", "5 % w/w"), FAT), "unweighable", facts) == []


def test_an_assay_on_a_basis_needs_its_loss() -> None:
    def with_lot(analysis: Analysis) -> Facts:
        lot = SupplyLot(
            "l-1",
            ZINC.id,
            "Z1",
            Source.SUBSTANCE,
            date(2026, 1, 5),
            Expiry(date(2028, 1, 31)),
            analysis=analysis,
        )
        return Facts(ingredients=(ZINC,), lots={ZINC.id: (lot,)})

    zinc = a_cream(active("Zinc oxide", "10 % w/w"), FAT)
    dried = Analysis(Fraction(99), AssayBasis.DRIED)
    assert loudness(zinc, "assay_basis", with_lot(dried)) == [NOTE]
    whole = Analysis(Fraction(99), AssayBasis.DRIED, loss_on_drying=Fraction(1))
    assert loudness(zinc, "assay_basis", with_lot(whole)) == []
    assert loudness(zinc, "assay_basis", with_lot(Analysis())) == [NOTE]
