"""Keep a calculation with the formula or the preparation it was done for."""

from __future__ import annotations

from collections.abc import Mapping

from formulary.calculating.answer_json import answered
from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculating.saying import result_name, value_said
from formulary.canonical import json_text
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.formula.version import Formula
from formulary.ids import new_id
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.store import Reading
from formulary.verbs.look_up import formula_named


def subject_named(store: Reading, text: str) -> Formula | Preparation:
    """Return the preparation with that lot, else the formula of that code, title or words.

    Raises :class:`formulary.errors.NotFound` for none, :class:`formulary.errors.Refusal` for
    several.
    """
    made = store.preparation(text.strip())
    return made if made is not None else formula_named(store, text)


def keep_calculation(
    desk: Desk, name: str, given: Mapping[str, str], subject: str, note: str = ""
) -> KeptCalculation:
    """Do a calculation once more and keep it with a lot or a formula.

    ``given`` is typed with the house's decimal sign. Raises what the calculation refuses, and what
    :func:`subject_named` does.
    """
    house = desk.house
    catalogue = Catalogue(house.language, house.decimal_sign)
    calculation = calculation_named(name)
    outcome = calculate(calculation, given, house.decimal_sign)
    belongs_to = subject_named(desk.store, subject)
    kept = KeptCalculation(
        id=new_id(),
        subject_id=belongs_to.id,
        calculation=name,
        title=catalogue.text(calculation.text("title")),
        figure=_figure(calculation, outcome, catalogue),
        given=tuple((key, text) for key, text in given.items() if text.strip()),
        decimal_sign=house.decimal_sign,
        answer=json_text(answered(calculation, outcome, catalogue)),
        language=house.language,
        note=note.strip(),
        kept_at=desk.act().at,
        kept_by=desk.person.name,
    )
    with desk.writing("keep_calculation") as writing:
        return writing.put(kept)


def _figure(calculation: Calculation, outcome: Outcome, catalogue: Catalogue) -> str:
    main = outcome.results[0]
    return catalogue.text(
        message(
            "verbs.kept_figure",
            name=result_name(calculation.area, main, catalogue),
            value=value_said(main.value, catalogue),
        )
    )


def keeper_of(store: Reading, kept: KeptCalculation) -> str:
    """Return the lot or the formula's code that a calculation is kept with, "" for neither."""
    made = store.get(Preparation, kept.subject_id)
    if made is not None:
        return made.lot
    formula = store.get(Formula, kept.subject_id)
    return formula.code if formula is not None else ""


def kept_with(store: Reading, subject_id: str) -> tuple[KeptCalculation, ...]:
    """Return the calculations kept with a formula or preparation, oldest first."""
    return tuple(store.having(KeptCalculation, subject_id=subject_id))
