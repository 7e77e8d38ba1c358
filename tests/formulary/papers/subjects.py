"""Preparations for papers: one that is only planned, and one with every kind of trouble."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any

from formulary.bench.events import (
    BenchCleared,
    Category,
    ContainersFilled,
    DeviationDecided,
    DeviationOpened,
    LabelsPrinted,
    LabelsReconciled,
    LineDecided,
    LineTransferred,
    PhasesJoined,
    PlanChecked,
    Planned,
    QualityTested,
    Released,
    SentForRelease,
    StepDone,
    VesselTared,
    Way,
    YieldTaken,
)
from formulary.bench.reading import Taking
from formulary.bench.state import begin
from formulary.exchange.sample_house import sample_house
from formulary.formula.completing import completed
from formulary.formula.content import (
    Content,
    Period,
    QualityTest,
    ShelfLife,
    Span,
    Storage,
)
from formulary.labels.drawing import pdf_bytes
from formulary.labels.page import Page
from formulary.papers.printed import Printed
from formulary.papers.subject import Subject
from formulary.preparation import Preparation
from formulary.quantity.amount import Amount
from formulary.scaling.plan import scale
from formulary.scaling.target import Target
from formulary.signing import Meaning
from formulary.verbs.build_house import HouseBook
from tests.helpers.at_bench import BORIS, NINE, Bench, a_bench, a_cream, at
from tests.helpers.formulas import a_house, amount, scaled

LOT = "K26-00042"
PRINTED = Printed(NINE, "Anna", 4711, "0123456789abcdef" * 4)


def cream(**more: Any) -> Content:  # noqa: ANN401  of many types
    """Return the cream of two phases with a test, storage and shelf life."""
    given: dict[str, Any] = {
        "tests": (QualityTest("pH", "4 to 6"),),
        "storage": Storage(highest=25),
        "shelf_life": ShelfLife(Period(30, Span.DAYS)),
    }
    return a_cream(**(given | more))


def blank(content: Content | None = None, lot: str = "", **more: Any) -> Subject:  # noqa: ANN401
    """Return a formula scaled for 100 g, with a lot if one is given."""
    formula = content or cream()
    house = a_house(clearance=("Nothing else on the bench",))
    plan = scaled(formula, "100 g", house=house)
    state = begin(formula, plan, containers=2, house=house, clearance=house.clearance, **more)
    preparation = a_preparation(lot) if lot else None
    return Subject(house, formula, 2, state, PRINTED, preparation)


def a_preparation(lot: str = LOT) -> Preparation:
    """Return a preparation of two jars for a patient who is known by an id alone."""
    return Preparation(
        id="m-1",
        lot=lot,
        version_id="v-2",
        formula_id="f-1",
        code="T-1",
        title="Test formula",
        version_number=2,
        target="2 x 50 g",
        plan="{}",
        containers=2,
        fill=Amount(Fraction(50), "g"),
        made_on=date(2026, 3, 2),
        use_by=date(2026, 3, 31),
        started_at=NINE,
        started_by="Anna",
        patient_id="x-77",
    )


def of_bench(bench: Bench, content: Content) -> Subject:
    """Return what was done at a bench so far, on paper."""
    return Subject(
        a_house(),
        content,
        2,
        bench.state,
        PRINTED,
        a_preparation(),
        tuple(bench.followed),
        names={"anna": "Anna", "boris": "Boris"},
    )


def filled(content: Content | None = None) -> Subject:
    """Return a released preparation: overweighed, put right, a deviation, released alone."""
    formula = content or cream()
    bench = a_bench(formula, clearance=("Nothing else on the bench",))
    _weigh(bench)
    _follow_the_method(bench)
    _finish(bench)
    return of_bench(bench, formula)


def _weigh(bench: Bench) -> None:
    bench.does(Planned("100 g"))
    bench.does(PlanChecked(), BORIS, Meaning.CHECKED)
    bench.does(BenchCleared(bench.state.job.clearance))
    bench.does(VesselTared("Jar", amount("250 g")))
    gross = {"tare": amount("1 g"), "gross": amount("22.6 g"), "raw": "ST,+21.60 g"}
    bench.weighs(0, "21.6 g", manual=True, **gross)
    bench.does(LineDecided(0, Way.WASTE, "Own boat"), BORIS, Meaning.DECIDED)
    bench.weighs(0, "20 g", taking=Taking.LEFT)
    bench.does(LineTransferred(0, "Jar"))


def _follow_the_method(bench: Bench) -> None:
    bench.does(StepDone(0))
    bench.weighs(1, "70 g")
    bench.does(StepDone(1))
    bench.does(PhasesJoined(2, (at("A", "68.5"), at("B", "66"))))
    bench.does(StepDone(2))
    bench.does(StepDone(3))
    bench.weighs(2, "10 g")
    bench.does(StepDone(4))
    bench.does(PhasesJoined(5, (at("A+B", "38"), at("C", "22"))))
    bench.does(StepDone(5))


def _finish(bench: Bench) -> None:
    bench.does(YieldTaken(amount("98 g"), inside=True))
    bench.does(QualityTested("pH", "5.5", passed=True))
    bench.does(ContainersFilled((amount("48 g"), amount("49 g"))))
    bench.does(LabelsPrinted((1, 2)))
    bench.does(LabelsReconciled(2, 0, 0))
    bench.does(DeviationOpened(Category.OTHER, "Power cut for 2 min", "None"))
    number = bench.state.open_deviations[0].number
    bench.does(DeviationDecided(number, "No effect on the product"), BORIS, Meaning.DECIDED)
    bench.does(SentForRelease())
    bench.does(Released(), BORIS, Meaning.RELEASED, alone="Saturday, nobody else here")


@cache
def _book() -> HouseBook:
    return sample_house()


def formulas() -> tuple[Content, ...]:
    """Return every version of the sample pharmacy's formulas."""
    return tuple(version.content for version in _book().versions)


def of_sample(content: Content) -> Subject:
    """Return a sample formula scaled to the smallest batch it was proven for."""
    book = _book()
    size = content.batch.smallest or amount("100 g")
    known = completed(content, book.ingredients)
    plan = scale(known, Target(1, size), house=book.house)
    clearance = book.house.clearance
    state = begin(content, plan, containers=1, house=book.house, clearance=clearance)
    return Subject(book.house, content, 1, state, PRINTED, a_preparation("GS26-00042"))


def pdf_of(pages: tuple[Page, ...]) -> bytes:
    """Return the pages as they are written."""
    return pdf_bytes(pages, title="test")
