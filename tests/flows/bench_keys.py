"""A cream of four lines and two phases in the sample pharmacy, and what a person does with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.bench.balance_checks import WeightRead
from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.exchange.sample_house import sample_pins
from formulary.formula.content import (
    Container,
    Content,
    Form,
    LabelText,
    Line,
    MethodStep,
    Period,
    Phase,
    QualityTest,
    Role,
    Route,
    ShelfLife,
    Span,
    Storage,
)
from formulary.formula.kinds import Share, ToTotal
from formulary.ingredient import Ingredient
from formulary.people import Person
from formulary.quantity.amount import Amount, Concentration
from formulary.verbs.check_balance import check_balance
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import override_finding, review_version
from formulary.verbs.work_at_bench import AtBench, at_bench
from formulary.verbs.write_version import write_version
from tests.flows.conftest import Keyboard
from tests.ui.at_desk import plain
from tests.ui.conftest import PATIENCE_MS, settled
from ui.bench.page import BenchPage
from ui.bench.reading import Work, on_shelf
from ui.window import Window

T = TypeVar("T")
TITLE = "Bench cream of four lines"
PINS = {name: pin for name, _, pin in sample_pins()}
PHARMACIST, OTHER, TECHNICIAN = "Ilse Corrander", "Tobias Quell", "Maren Odenholt"


def _share(ingredient: str, percent: int, role: Role, phase: str) -> Line:
    return Line(ingredient, Share(Concentration(Fraction(percent), "% w/w")), role, phase)


CREAM = Content(
    title=TITLE,
    code="CR-900",
    form=Form.CREAM,
    route=Route.SKIN,
    lines=(
        _share("Cetomacrogol emulsifying wax", 10, Role.EMULSIFIER, "A"),
        _share("White soft paraffin", 20, Role.BASE, "A"),
        _share("Glycerol 85 %", 10, Role.HUMECTANT, "B"),
        Line("Purified water", ToTotal(Amount(Fraction(100), "g")), Role.VEHICLE, "B"),
    ),
    phases=(Phase("A", "Fat phase"), Phase("B", "Water phase")),
    steps=(
        MethodStep("Melt the fat phase.", "A", "65 to 70 °C"),
        MethodStep("Heat the water phase.", "B", "65 to 70 °C"),
        MethodStep("Add B to A and stir until cold.", "", "65 to 70 °C"),
    ),
    tests=(QualityTest("Appearance", "White, smooth"), QualityTest("pH", "5 to 7")),
    container=Container("Jar"),
    storage=Storage(highest=25),
    shelf_life=ShelfLife(Period(4, Span.WEEKS), None, "house rule", "house"),
    label=LabelText(directions="Apply thinly."),
)


@dataclass
class BenchKeys:
    """The bench worked by keys; what comes from a balance or a scanner isn't counted."""

    keyboard: Keyboard
    window: Window

    @property
    def page(self) -> BenchPage:
        """The page in view."""
        page = self.window.pages["bench"]
        assert isinstance(page, BenchPage)
        return page

    @property
    def heading(self) -> str:
        """What is to do."""
        return plain(self.page.view.heading.text())

    @property
    def lot(self) -> str:
        """The lot in view."""
        return self.page.course.doing.lot

    @property
    def work(self) -> AtBench:
        """Where it stands on disk."""
        return ask(self, lambda desk: at_bench(desk.store, self.lot))

    def stage(self) -> Stage:
        """Return how far it has come."""
        return self.work.state.stage

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        """Press one key, counted."""
        self.keyboard.press(key, modifier)

    def enter(self, text: str = "") -> None:
        """Type a text and Enter, counted."""
        self.keyboard.type(text)
        self.press(Qt.Key.Key_Return)

    def brings(self, text: str) -> None:
        """Let a scanner or a balance give a text and Enter: not counted."""
        QTest.keyClicks(self.keyboard.focused(), text)
        QTest.keyClick(self.keyboard.focused(), Qt.Key.Key_Return)
        settled(self.keyboard.qtbot, self.window)

    def sign(self, name: str) -> None:
        """Type somebody's PIN into the question for it."""
        asking = self.window.asking
        assert asking is not None
        self.keyboard.qtbot.waitUntil(lambda: asking.dialog is not None, timeout=PATIENCE_MS)
        assert asking.dialog is not None
        assert asking.dialog.person.currentText().startswith(name)
        self.enter(PINS[name])
        self.keyboard.qtbot.waitUntil(lambda: asking.dialog is None, timeout=PATIENCE_MS)
        settled(self.keyboard.qtbot, self.window)

    def container(self, line: int) -> str:
        """Return the container whose turn it is for a line."""
        return ask(
            self,
            lambda desk: (
                on_shelf(desk, Work(at_bench(desk.store, self.lot)), line)[0].container.number
            ),
        )

    def weigh(self, line: int, figure: str) -> None:
        """Scan the line's container and type what the balance shows."""
        self.brings(self.container(line))
        self.brings(figure)


def ask(keys: BenchKeys, question: Callable[[Desk], T]) -> T:
    """Ask the store on the worker, as pages do."""
    answers: list[T] = []
    keys.window.context.do(question, answers.append)
    keys.keyboard.qtbot.waitUntil(lambda: bool(answers), timeout=PATIENCE_MS)
    return answers[0]


def prepare(desk: Desk) -> None:
    """Put the cream in use and check the balances, as on any morning; seat nobody anew."""
    put_cream_in_use(desk)
    for balance in desk.house.balances:
        check_balance(desk, balance, [WeightRead(each, each.nominal) for each in balance.weights])


def put_cream_in_use(desk: Desk) -> None:
    """Let one pharmacist write the cream and the other put it in use."""
    people = {each.name: each for each in desk.store.every(Person)}
    author = replace(desk, person=people[OTHER])
    ids = {each.name: each.id for each in desk.store.every(Ingredient)}
    lines = tuple(replace(each, ingredient_id=ids[each.ingredient]) for each in CREAM.lines)
    version = write_version(author, replace(CREAM, lines=lines))
    send_to_review(author, version.id)
    pharmacist = replace(desk, person=people[PHARMACIST])
    for each in review_version(pharmacist, version).open:
        why = "invented for this test"
        override_finding(pharmacist, version.id, each, why, PINS[PHARMACIST])
    put_in_use(pharmacist, version.id, PINS[PHARMACIST])
