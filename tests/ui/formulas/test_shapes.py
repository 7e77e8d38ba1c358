"""What the editor's inputs give is of the shape that the formula file asks for."""

from __future__ import annotations

import pytest

from ui.context import Context
from ui.forms.fields import YES, FormField, Kind
from ui.formulas.editor.tables import Section, parts
from ui.formulas.editor.values import text_of, value_of


def fields() -> list[FormField]:
    """Return every field of the editor."""
    made = parts(Context(), lambda: None, lambda: ())
    single = [field for part in made if isinstance(part, Section) for field in part.fields]
    return [*single, *(e for part in made if not isinstance(part, Section) for e in part.details)]


@pytest.mark.usefixtures("qapp")
def test_a_tick_is_a_flag_and_checks_are_a_list() -> None:
    for field in fields():
        if field.kind is Kind.FLAG:
            assert value_of(field.name, YES) is True, field.name
            assert value_of(field.name, "") is False, field.name
            assert text_of(field.name, True) == YES
        if field.kind is Kind.CHECKS:
            assert value_of(field.name, "one\ntwo") == ["one", "two"], field.name


@pytest.mark.usefixtures("qapp")
def test_the_factors_of_a_risk_are_whole_numbers() -> None:
    names = [field.name for field in fields() if field.name.startswith("risk.")]
    assert len(names) == 6
    assert [value_of(name, "3") for name in names] == [3, 3, 3, 3, 3, "3"]
