"""Of a formula sheet: what goes in, how it is made, and how it is tested."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from formulary.bench.words import named
from formulary.formula.content import Ask, Content, Line, MethodStep
from formulary.formula.filled_into import displacement_said, filled_into_said
from formulary.formula.kind_text import said as quantity_said
from formulary.formula.kinds import ToEndPoint
from formulary.messages import message
from formulary.papers.blocks import (
    FULL_MM,
    LARGE,
    Align,
    Block,
    Cell,
    Strip,
    Text,
    bold,
    heading,
    line,
    row,
    small,
)
from formulary.papers.facts import finding_said
from formulary.papers.words import Words
from formulary.scaling.balance_sheet import balance_sheet

_NAME_MM, _AMOUNT_MM, _APART_MM, _ROLE_MM = 92.0, 44.0, 4.0, 40.0
_NUMBER_MM = 10.0
_TEST_MM = (60.0, 90.0, 30.0)


def composition(content: Content, words: Words) -> Iterator[Block]:
    """Yield each ingredient with its quantity, role and what else is said of it, and the sum."""
    head = (heading(words("sheet.composition")),)
    for each in content.lines:
        yield Block((_ingredient(each, words),), head)
    sheet = balance_sheet(content)
    total = sheet.total or sheet.sum
    if total is not None:
        said = bold(words("sheet.total", total=total))
        yield Block((line(said, above_mm=1.5),), head)
    for finding in sheet.findings:
        yield Block((line(bold(finding_said(finding, words))),), head)
    for said_of_it in filled_into_said(content):
        yield Block((line(small(words.text(said_of_it))),), head)


def _ingredient(each: Line, words: Words) -> Strip:
    role = words.text(message(f"formula.role.{each.role.name.lower()}"))
    phase = words("weighing.phase", phase=each.phase) if each.phase else ""
    amount = words.text(quantity_said(each.quantity))
    return Strip(
        (
            Cell(_NAME_MM, (bold(each.ingredient), *map(small, _said_of(each, words)))),
            Cell(_AMOUNT_MM, (Text(amount, align=Align.RIGHT),)),
            Cell(_APART_MM),
            Cell(_ROLE_MM, (small(", ".join(filter(None, (role, phase)))),)),
        ),
        above_mm=1.2,
    )


def _said_of(each: Line, words: Words) -> Iterator[str]:
    """Yield what is said of a line beside its quantity, each with its source."""
    yield from filter(None, (each.grade, each.note))
    if each.density is not None:
        density = each.density
        at = words("sheet.at", degrees=density.at) if density.at else ""
        source = density.source or words("sheet.not_stated")
        yield words("sheet.density", number=density.g_per_mL, at=at, source=source)
    if each.drop is not None:
        yield words("sheet.drop", drop=each.drop)
    if each.potency is not None:
        yield words("sheet.potency", units=each.potency)
    if each.tolerance is not None:
        yield words("sheet.tolerance", percent=each.tolerance)
    if isinstance(each.quantity, ToEndPoint) and each.quantity.about is not None:
        yield words("sheet.about_so_much", amount=each.quantity.about)
    yield from map(words.text, displacement_said(each.displacement))
    if each.double_check:
        yield words("weighing.needs_check")


def method(content: Content, words: Words) -> Iterator[Block]:
    """Yield every step under the heading of its phase, with all that it asks and holds to."""
    names = {each.code: each.name for each in content.phases}
    top = heading(words("method.title"))
    numbered = list(enumerate(content.steps, start=1))
    for code, steps in groupby(numbered, key=lambda each: each[1].phase):
        lane = (line(bold(_lane(code, names, words), LARGE), above_mm=2.0),) if names else ()
        for number, step in steps:
            yield Block((_step(number, step, words),), (top, *lane))


def _lane(code: str, names: dict[str, str], words: Words) -> str:
    if not code:
        return words("method.all_phases")
    key = "lane" if names.get(code) else "lane_unnamed"
    return words(f"method.{key}", code=code, name=names.get(code, ""))


def _step(number: int, step: MethodStep, words: Words) -> Strip:
    said = (Text(step.text), *map(small, _asked_of(step, words)))
    mark = Cell(_NUMBER_MM, (bold(words("weighing.number", n=number)),))
    return Strip((mark, Cell(FULL_MM - _NUMBER_MM, said)), above_mm=1.2)


def _asked_of(step: MethodStep, words: Words) -> Iterator[str]:
    written = (step.temperature, step.time, step.speed, step.equipment)
    if any(written):
        yield "; ".join(filter(None, written))
    if step.look_for:
        yield words("method.look_for", look_for=step.look_for)
    if step.lowest is not None or step.highest is not None:
        yield words("sheet.window", window=_window(step.lowest, step.highest, words))
    if step.minutes is not None:
        yield words("method.minutes", minutes=step.minutes)
    if step.joins:
        yield words("sheet.joins", phases=step.joins)
    if step.adds:
        yield words("method.goes_in", lines=step.adds)
    yield from (words("sheet.ask", what=_ask(each, words)) for each in step.asks)


def _ask(ask: Ask, words: Words) -> str:
    limits = ""
    if ask.lowest is not None or ask.highest is not None:
        limits = _window(ask.lowest, ask.highest, words)
    return ", ".join(filter(None, (words.text(named(ask.what)), ask.text, limits)))


def _window(lowest: Fraction | None, highest: Fraction | None, words: Words) -> str:
    if lowest is None:
        return words("sheet.at_most", highest=highest or 0)
    if highest is None:
        return words("sheet.at_least", lowest=lowest)
    return words("sheet.between", lowest=lowest, highest=highest)


def tests(content: Content, words: Words) -> Iterator[Block]:
    """Yield each in-process and final test with its limits."""
    titles = tuple(small(words(f"sheet.test.{each}")) for each in ("name", "limits", "when"))
    head = (heading(words("tests.title")), row(_TEST_MM, titles))
    for each in content.tests:
        yield Block((row(_TEST_MM, (bold(each.name), Text(each.limits), small(each.when))),), head)
