"""A plan as rows to read: ingredient, figure, instrument, band, doubts and working."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.house import House
from formulary.messages import message
from formulary.quantity.writing import convenient
from formulary.scaling.instruments import able
from formulary.scaling.plan import Plan, PlannedLine
from formulary.tolerance import Band
from ui.forms.limits import limits_said, readability
from ui.widgets.figure import Figure, taken_apart

AREA = "ui_formulas.scale"


@dataclass(frozen=True, slots=True)
class BenchRow:
    """One ingredient's way to the bench, in words and figures."""

    ingredient: str
    figure: Figure
    how: str
    doubts: tuple[tuple[Severity, str], ...]
    working: tuple[str, ...]
    instrument: str
    able: tuple[str, ...]

    def spoken(self) -> str:
        """Return the whole row for a screen reader."""
        doubts = (sentence for _, sentence in self.doubts)
        return ". ".join(filter(None, (self.ingredient, self.figure.text(), self.how, *doubts)))


def bench_rows(plan: Plan, house: House, catalogue: Catalogue) -> tuple[BenchRow, ...]:
    """Return a row for each line of the plan."""
    return tuple(_row(line, house, catalogue) for line in plan.lines)


def _row(line: PlannedLine, house: House, catalogue: Catalogue) -> BenchRow:
    text = catalogue.text
    return BenchRow(
        ingredient=line.line.ingredient,
        figure=_figure(line, catalogue),
        how=_how(line, house, catalogue),
        doubts=tuple(
            (each.severity, f"{text(_severity(each.severity))}: {text(each.said)}")
            for each in line.findings
        ),
        working=tuple(text(each) for each in line.working),
        instrument=line.instrument,
        able=_able(line, house),
    )


def _able(line: PlannedLine, house: House) -> tuple[str, ...]:
    """Return the instruments to choose from; an aliquot's is part of its plan."""
    if line.required is None or line.sub_plan is not None:
        return ()
    return able(line.to_measure or line.required, house)


def _severity(severity: Severity) -> str:
    return f"ui.severity.{severity.name.lower()}"


def _figure(line: PlannedLine, catalogue: Catalogue) -> Figure:
    """Return what to weigh: a target, not a reading, so without the balance's closing zeros."""
    amount = line.to_measure or line.required
    if amount is None:
        return Figure(catalogue.text(f"{AREA}.as_needed"), "", "", "")
    if line.to_measure is None:
        return taken_apart(catalogue.written(amount))
    figure = taken_apart(catalogue.written(convenient(amount)))
    if line.up_to:
        return Figure(catalogue.text(f"{AREA}.up_to"), figure.whole, figure.decimals, figure.unit)
    return figure


def _how(line: PlannedLine, house: House, catalogue: Catalogue) -> str:
    parts = [line.instrument]
    if line.sub_plan is not None:
        way = message(f"scaling.sub_plan.way.{line.sub_plan.way.name.lower()}")
        parts.insert(0, catalogue.text(message(f"{AREA}.aliquot", way=way)))
    if line.band is not None:
        parts.append(_band(line, line.band, house, catalogue))
    return " · ".join(filter(None, parts))


def _band(line: PlannedLine, band: Band, house: House, catalogue: Catalogue) -> str:
    figure = line.to_measure or band.low
    return limits_said(band.low, band.high, figure, readability(house, line.instrument), catalogue)
