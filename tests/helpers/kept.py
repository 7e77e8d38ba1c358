"""Records with defaults, as a small invented pharmacy would keep them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction

from formulary.acts import Act
from formulary.formula.content import Content, Form, Line, Period, Role, Route, ShelfLife, Span
from formulary.formula.content import Storage as Kept
from formulary.formula.kinds import Fixed, Share, ToTotal
from formulary.formula.stability import Water, WaterClass
from formulary.formula.version import Formula, State, Version
from formulary.kept_calculation import KeptCalculation
from formulary.preparation import LabelPrint, Preparation
from formulary.quantity.amount import Amount, Concentration
from formulary.store import Store

WINTER = timezone(timedelta(hours=1))
NOW = datetime(2026, 2, 3, 9, 30, tzinfo=WINTER)
ACT = Act("p-1", "Ada Berg", "pharmacist", "bench 1", NOW)


def a_content(title: str = "Zinc cream", code: str = "ZC", *ingredients: str) -> Content:
    """Return what a cream of 100 g says, with the named ingredients at 2 g each."""
    more = tuple(Line(name, Fixed(Amount(Fraction(2), "g"))) for name in ingredients)
    return Content(
        title=title,
        code=code,
        form=Form.CREAM,
        route=Route.SKIN,
        lines=(
            Line("Zinc oxide", Share(Concentration(Fraction(5), "% w/w")), Role.ACTIVE),
            *more,
            Line("Cream base", ToTotal(Amount(Fraction(100), "g")), Role.BASE),
        ),
        storage=Kept(highest=25),
        shelf_life=ShelfLife(Period(6, Span.MONTHS)),
    )


def for_a_fortnight(content: Content) -> Content:
    """Return a content that lasts as long as every rule set lets it, whatever is in it."""
    fortnight = ShelfLife(Period(14, Span.DAYS))
    return replace(content, shelf_life=fortnight, storage=Kept(lowest=2, highest=8))


def dry(content: Content) -> Content:
    """Return a content that says it holds no water, so that rules let it last."""
    return replace(content, water=Water(WaterClass.NON_AQUEOUS, source="invented for the test"))


def a_version(
    content: Content | None = None,
    formula_id: str = "f-1",
    number: int = 1,
    state: State = State.DRAFT,
) -> Version:
    """Return a version of a formula, written now."""
    return Version(
        id=f"{formula_id}-v{number}",
        formula_id=formula_id,
        number=number,
        content=a_content() if content is None else content,
        state=state,
        author_id="p-1",
        written_at=NOW,
    )


def a_kept_calculation(record_id: str = "k-1", subject_id: str = "f-1") -> KeptCalculation:
    """Return a dilution kept with ``f-1``."""
    return KeptCalculation(
        id=record_id,
        subject_id=subject_id,
        calculation="dilution",
        title="Dilution of a stock",
        figure="Stock to take 10 mL",
        given=(("target", "100 mL"),),
        decimal_sign=".",
        answer='{"working":["10 mL"]}',
        language="en",
        note="",
        kept_at=NOW,
        kept_by="Ada Berg",
    )


def a_preparation(record_id: str = "m-1", lot: str = "K26-00001") -> Preparation:
    """Return a started preparation of ``f-1``."""
    return Preparation(
        id=record_id,
        lot=lot,
        version_id="f-1-v1",
        formula_id="f-1",
        code="ZC",
        title="Zinc cream",
        version_number=1,
        target="2 x 50 g",
        plan="{}",
        containers=2,
        fill=Amount(Fraction(50), "g"),
        made_on=date(2026, 2, 3),
        use_by=date(2026, 8, 2),
        started_at=NOW,
        started_by="Ada Berg",
    )


def a_print(record_id: str = "l-1", copies: int = 2) -> LabelPrint:
    """Return a print of the labels of ``m-1``."""
    return LabelPrint(
        id=record_id,
        preparation_id="m-1",
        lot="K26-00001",
        stock="70x35",
        language="en",
        copies=copies,
        content="{}",
        printed_at=NOW,
        printed_by="Ada Berg",
    )


def keep_formula(
    store: Store, content: Content, formula_id: str = "f-1", state: State = State.DRAFT
) -> Version:
    """Put a formula with its first version into the store."""
    with store.writing(ACT, "write") as transaction:
        transaction.put(Formula(formula_id, content.code, content.title))
        return transaction.put(a_version(content, formula_id, state=state))
