"""A plan as rows to read: ingredient, figure, instrument, band, doubts and working."""

from __future__ import annotations

from dataclasses import dataclass

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.house import Balance, House, Measure
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.scaling.instruments import able
from formulary.scaling.plan import Plan, PlannedLine
from ui.widgets.figure import Figure, reading, taken_apart

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
        figure=_figure(line, house, catalogue),
        how=_how(line, house, catalogue),
        doubts=tuple(
            (each.severity, f"{text(_severity(each.severity))}: {text(each.said)}")
            for each in line.findings
        ),
        working=tuple(text(each) for each in line.working),
        instrument=line.instrument,
        able=able(line.to_measure or line.required, house) if line.required is not None else (),
    )


def _severity(severity: Severity) -> str:
    return f"ui.severity.{severity.name.lower()}"


def _figure(line: PlannedLine, house: House, catalogue: Catalogue) -> Figure:
    amount = line.to_measure or line.required
    if amount is None:
        return Figure(catalogue.text(f"{AREA}.as_needed"), "", "", "")
    if line.to_measure is None:
        return taken_apart(catalogue.written(amount))
    figure = reading(amount, readability(house, line.instrument), catalogue)
    if line.up_to:
        return Figure(catalogue.text(f"{AREA}.up_to"), figure.whole, figure.decimals, figure.unit)
    return figure


def _how(line: PlannedLine, house: House, catalogue: Catalogue) -> str:
    parts = [line.instrument]
    if line.band is not None:
        step = readability(house, line.instrument)
        low = reading(inward(line.band.low, step, up=True), step, catalogue).number()
        high = reading(inward(line.band.high, step, up=False), step, catalogue).text()
        parts.append(catalogue.text(message(f"{AREA}.band", low=low, high=high)))
    return " · ".join(filter(None, parts))


def inward(amount: Amount, step: Amount | None, *, up: bool) -> Amount:
    """Return the outermost reading of the instrument that is still inside the band."""
    if step is None:
        return amount
    unit = step.to(amount.unit).number
    steps = amount.number / unit
    whole = -(-steps.numerator // steps.denominator) if up else steps.numerator // steps.denominator
    return Amount(whole * unit, amount.unit)


def readability(house: House, name: str) -> Amount | None:
    """Return the readability of the instrument of that name."""
    instruments: tuple[Balance | Measure, ...] = (*house.balances, *house.measures)
    for each in instruments:
        if each.name == name:
            return each.readability
    return None
