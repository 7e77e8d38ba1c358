from __future__ import annotations

from collections.abc import Callable

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.registry import every_calculation
from formulary.calculating.saying import in_house_sign
from formulary.catalogue import Catalogue
from ui.calculations.answer import Question, figures
from ui.calculations.page import CalculationsPage
from ui.calculations.paper import Paper

Settle = Callable[[], None]


def test_each_calculation_opens_with_its_example_and_gives_a_result(
    page: CalculationsPage, settle: Settle
) -> None:
    for each in every_calculation():
        page.take(each.name)
        assert page.index.current() == each.name
        page.sheet.example.trigger()
        settle()
        view = page.sheet.view
        assert view.results.texts(), each.name
        assert view.working.toPlainText().strip(), each.name
        assert not view.refusal.isVisible(), view.refusal.text()


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_each_example_holds_in_a_house_with_a_decimal_comma(each: Calculation) -> None:
    typed = {name: in_house_sign(text, ",") for name, text in each.examples}
    answer = Question(each, typed, ",").answered()
    assert answer.trouble is None
    pointed = Question(each, dict(each.examples), ".").answered().outcome
    assert answer.outcome is not None
    assert pointed is not None
    assert answer.outcome.results == pointed.results
    assert answer.outcome.steps == pointed.steps


@pytest.mark.parametrize("each", every_calculation(), ids=lambda each: each.name)
def test_each_answer_goes_on_paper_with_all_its_figures(each: Calculation) -> None:
    catalogue = Catalogue()
    answer = Question(each, dict(each.examples), ".").answered()
    paper = Paper(answer, catalogue).plain()
    values = [figure.value for figure in figures(answer, catalogue)]
    assert values
    assert all(value in paper for value in values)
