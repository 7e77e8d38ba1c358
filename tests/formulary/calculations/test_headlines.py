"""The first results are what is weighed, and each says whether it is of all or of one."""

from __future__ import annotations

from formulary.calculating.saying import result_name
from formulary.catalogue import Catalogue
from tests.formulary.calculations.asking import ask


def names(calculation: str, area: str, **typed: str) -> list[str]:
    outcome = ask(calculation, **typed)
    said = [result_name(area, each, Catalogue()) for each in outcome.results]
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in said]


def test_suppositories_lead_with_what_is_weighed() -> None:
    typed = {"ordered": "12", "spare": "2", "mould": "2 g", "doses": "200 mg"}
    found = names("suppositories", "suppositories", **typed, displacement_values="2")
    assert found[:3] == [
        "Active to weigh for all (1)",
        "Base to weigh for all",
        "Mass to melt and pour",
    ]


def test_the_capsule_batch_stands_before_one_capsule() -> None:
    typed = {"capsules": "10", "spare": "1", "doses": "5 mg", "fill": "100 mg"}
    found = names("capsule-filling", "capsules", **typed)
    assert found[:2] == ["Active to weigh for all (1)", "Filler to weigh for all"]
    of_one = [each.startswith("In one capsule") for each in found]
    assert of_one == sorted(of_one)
    assert any(of_one)


def test_alligation_says_which_source_each_amount_is_of() -> None:
    typed = {"sources": "10 % w/w; 20 % w/w", "target_strength": "12 % w/w", "total": "100 g"}
    found = names("alligation", "alligation", **typed)
    assert found[:2] == ["Amount: of 10 % w/w (1)", "Amount: of 20 % w/w (2)"]
