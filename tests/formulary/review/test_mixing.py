"""Pairs of the published tables, windows of pH, what water dissolves."""

from __future__ import annotations

import pytest

from formulary.calculating.tables import table
from formulary.formula.content import Form
from formulary.review.mixing import PAIR_RULES
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    WATER,
    a_cream,
    a_solution,
    found,
    loudness,
    with_ph,
)
from tests.helpers.formulas import a_line, active


def test_zinc_oxide_with_salicylic_acid_needs_a_reason() -> None:
    # German formulary forum: zinc salicylate forms.
    both = a_cream(active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"), FAT)
    assert loudness(both, "incompatible") == [REASON]
    assert found(both, "incompatible")[0].field == "ingredient.1.name"
    titanium = a_cream(active("Salicylic acid", "2 g"), active("Titanium dioxide", "10 g"), FAT)
    assert loudness(titanium, "incompatible") == []


def test_a_fatty_base_is_not_advised_where_it_is_the_base_already() -> None:
    pair = (active("Salicylic acid", "2 g"), active("Zinc oxide", "10 g"))
    paraffin = a_line("White soft paraffin", "to 100 g")
    advice = [
        dict(found(a_cream(*pair, base), "incompatible")[0].said.parameters)["advice"]
        for base in (paraffin, WATER)
    ]
    assert "hydrophobic base" not in str(advice[0])
    assert "hydrophobic base" in str(advice[1])


def test_what_liquefies_matters_in_a_powder_and_is_noted_in_an_ointment() -> None:
    # Teaching notes on incompatibilities: menthol with camphor.
    pair = (active("Menthol, racemic", "1 g"), active("Camphor, racemic", "1 g"))
    talc = a_line("Talc", "to 100 g")
    assert loudness(a_cream(*pair, talc, form=Form.POWDER), "eutectic") == [REASON]
    assert loudness(a_cream(*pair, FAT, form=Form.OINTMENT), "eutectic") == [NOTE]
    assert loudness(a_cream(pair[0], talc, form=Form.POWDER), "eutectic") == []


def test_phenols_dont_go_with_macrogols() -> None:
    base = a_line("Macrogol ointment", "to 100 g")
    assert loudness(a_cream(active("Resorcinol", "2 g"), base), "phenol_macrogol") == [REASON]
    assert loudness(a_cream(active("Resorcinol", "2 g"), FAT), "phenol_macrogol") == []
    assert loudness(a_cream(active("Urea", "2 g"), base), "phenol_macrogol") == []
    phenol = a_cream(active("Phenol", "1 g"), base)
    assert loudness(phenol, "phenol_macrogol") == [REASON]
    assert loudness(phenol, "preservative_inactivated") == []


def test_an_acid_with_a_carbonate_needs_a_reason_in_water_and_is_noted_dry() -> None:
    pair = (active("Citric acid monohydrate", "1 g"), active("Sodium hydrogen carbonate", "2 g"))
    assert loudness(a_cream(*pair, WATER), "acid_carbonate") == [REASON]
    assert loudness(a_cream(*pair, FAT), "acid_carbonate") == [NOTE]
    assert loudness(a_cream(pair[1], WATER), "acid_carbonate") == []


def test_anionic_doesnt_go_with_cationic() -> None:
    # Austrian pharmacy press: ion pairs, loss of effect, broken emulsion.
    gel = a_line("Carbomer", "1 g")
    silver = active("Silver nitrate", "1 g")
    assert loudness(a_cream(silver, gel, WATER), "ionic") == [REASON]
    assert loudness(a_cream(active("Urea", "1 g"), gel, WATER), "ionic") == []
    nonionic = a_line("Cetomacrogol emulsifying wax", "9 g")
    assert loudness(a_cream(silver, nonionic, WATER), "ionic") == []


def test_a_pair_is_told_once_however_many_rows_speak_of_it() -> None:
    pair = (active("Miconazole nitrate", "2 g"), a_line("Sodium cetostearyl sulfate", "1 g"))
    assert len(found(a_cream(*pair, WATER), "ionic")) == 1


def test_every_row_of_the_table_of_pairs_is_read_by_a_rule() -> None:
    assert {row["rule"] for row in table("incompatibilities")} <= set(PAIR_RULES)


@pytest.mark.parametrize(
    ("limits", "said"), [("4 to 6", []), ("5 to 7", [NOTE]), ("7 to 8", [REASON])]
)
def test_an_active_is_held_to_the_ph_at_which_it_keeps(limits: str, said: list[str]) -> None:
    # German formulary forum: clobetasol propionate, best at pH 4 to 6.
    cream = a_cream(active("Clobetasol propionate", "0.05 g"), WATER, **with_ph(limits))
    assert loudness(cream, "ph_window") == said


def test_more_than_water_dissolves_needs_a_reason_in_a_solution() -> None:
    # Salicylic acid: about 0.2 g in 100 mL of water, handbook value from memory.
    assert loudness(a_solution(active("Salicylic acid", "1 g")), "solubility") == [REASON]
    assert loudness(a_solution(active("Salicylic acid", "0.19 g")), "solubility") == [NOTE]
    assert loudness(a_solution(active("Salicylic acid", "0.1 g")), "solubility") == []
    with_ethanol = a_solution(active("Salicylic acid", "1 g"), a_line("Ethanol 96 %", "50 g"))
    assert loudness(with_ethanol, "solubility") == []


def test_iodide_dissolves_iodine() -> None:
    iodine, iodide = active("Iodine", "1 g"), active("Potassium iodide", "2 g")
    assert loudness(a_solution(iodine), "solubility") == [REASON]
    assert loudness(a_solution(iodine, iodide), "solubility") == []
