"""The left side: what is labelled, for whom, on which stock and printer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from formulary.bench.stages import Stage
from formulary.house import Printer
from formulary.labels.overflow import Overflow
from formulary.labels.stock import LabelStock, label_stocks
from formulary.preparation import Preparation
from formulary.verbs.take_order import said_in_house
from formulary.wording.directions import Dosing
from ui import theme
from ui.context import Context
from ui.forms.days import distance
from ui.forms.directions_builder import DirectionsBuilder, same_words
from ui.forms.facts import NAMES_WIDTH, Facts
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.languages import language_choices
from ui.forms.leaf import leaf
from ui.forms.understanding import label_text
from ui.labels.stock_size import stock_words
from ui.labels.subject import Address, Subject
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.words import action, button, hairline, label, spaced

WIDTH = 440
_WAITING = (Stage.PACKED, Stage.LABELLED, Stage.AWAITING_RELEASE)
ADDRESS_FIELDS = (
    FormField("directions", Kind.TEXT, label_text),
    FormField("patient"),
    FormField("prescriber"),
)


class OrderPanel(QWidget):
    """Shows the subject and takes what may still be said; ``changed`` when a label changes."""

    changed = Signal()
    entered = Signal()
    calibration_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._printers: tuple[Printer, ...] = ()
        self._stock_taken = False
        self.title = label(role="heading")
        self.facts = Facts()
        self.working = label(role="note")
        self.address = Form(context, "ui_labels", ADDRESS_FIELDS, names_width=NAMES_WIDTH)
        self.builder = DirectionsBuilder(context)
        self._subject: Subject | None = None
        self._dosing: Dosing | None = None
        self._built = ""
        self.build = action(
            self, context.text("ui_directions.build"), "Ctrl+D", self.begin_building
        )
        self.fixed = label(context.text("ui_labels.fixed"), "note")
        self.reason = QLineEdit()
        self.reason.setAccessibleName(context.text("ui_labels.reason"))
        self.reason.setPlaceholderText(context.text("ui_labels.reason_example"))
        self._why = label(context.text("ui_labels.reason"), "quiet")
        self._why.setBuddy(self.reason)
        self.printer = ChoiceBox(context.text("ui_labels.printer"))
        self.stock = ChoiceBox(context.text("ui_labels.stock"))
        self.language = ChoiceBox(context.text("ui_labels.language"))
        self.overflow = ChoiceBox(context.text("ui_labels.overflow"))
        self.start = QLineEdit("1")
        self.start.setAccessibleName(context.text("ui_labels.start"))
        self._start_words = label(context.text("ui_labels.start"), "quiet")
        self._start_words.setBuddy(self.start)
        self.run = label(role="note")
        self.awaiting = action(self, context.text("ui_labels.awaiting"), "", lambda: None)
        self.awaiting.setCheckable(True)
        self.calibrate = action(
            self, context.text("ui_labels.calibrate"), "", self.calibration_wanted.emit
        )
        self.no_printer = label(context.text("ui_labels.no_printer"), "note")
        self.show_working = action(self, context.text("ui_labels.working"), "=", self._toggle)
        self.show_working.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        self._working_button = button(self.show_working)
        self._lay_out()
        self._connect()
        self._stocks = label_stocks()
        self.show_stocks(self._stocks)
        self.overflow.fill([(context.said(each.said), each.value) for each in Overflow])
        self._show_places()

    def show_stocks(self, stocks: Sequence[LabelStock]) -> None:
        """Offer these stocks: those that come along and those that the house laid out."""
        self._stocks = tuple(stocks)
        self.stock.fill([(stock_words(self._context, each), each.code) for each in self._stocks])
        self._choose_usual()

    def said(self) -> Address:
        """Return directions and people as they stand on screen."""
        values = self.address.values()
        built = same_words(values["directions"], self._built)
        return Address(
            values["directions"],
            values["patient"],
            values["prescriber"],
            self.chosen_language(),
            self._dosing if built else None,
        )

    def begin_building(self) -> None:
        """Build the directions from their parts."""
        subject = self._subject
        if subject is not None and subject.addressable:
            self.builder.begin(
                self.said().dosing, subject.route, subject.strength, self.chosen_language()
            )

    def _take_built(self, dosing: Dosing) -> None:
        strength = self._subject.strength if self._subject is not None else None
        self._dosing = dosing
        self._built = said_in_house(self._context.house, dosing, strength)
        directions = self.address.inputs["directions"]
        directions.set_text(self._built)
        directions.setFocus()
        self.changed.emit()

    def _leave_builder(self) -> None:
        self.builder.hide()
        self.address.inputs["directions"].setFocus()

    def chosen_stock(self) -> LabelStock:
        """Return the stock to print on."""
        code = str(self.stock.currentData())
        return next(each for each in self._stocks if each.code == code)

    def chosen_overflow(self) -> Overflow:
        """Return where goes what has no room."""
        return Overflow(str(self.overflow.currentData() or ""))

    def first_place(self) -> int:
        """Return the first free place of a sheet; what is no number is no place of any."""
        typed = self.start.text().strip()
        if self.chosen_stock().sheet is None:
            return 1
        return int(typed) if typed.isascii() and typed.isdecimal() else 0

    def choose_overflow(self, way: str) -> None:
        """Take another way for what has no room."""
        self.overflow.choose(way)
        self.changed.emit()

    def show_run(self, lots: Sequence[str]) -> None:
        """Say which preparations are printed before this one."""
        self.run.setText(self._context.text("ui_labels.run", lots=tuple(lots)) if lots else "")
        self.run.setVisible(bool(lots))

    def chosen_printer(self) -> Printer | None:
        """Return the printer to print on, None where there is none."""
        wanted = self.printer.currentData()
        return next((each for each in self._printers if each.name == wanted), None)

    def chosen_language(self) -> str:
        """Return the language of the label."""
        return str(self.language.currentData() or "")

    def take_house(self) -> None:
        """Offer the label languages, the house's own chosen."""
        self.language.fill(language_choices(self._context, "label"))
        self.language.choose(self._context.house.label_language)
        self._choose_usual()

    def _choose_usual(self) -> None:
        """Choose the roll of this workstation once it is known, and only then."""
        here, printers = self._context.here, self._context.house.printers
        usual = here.stock or (printers[0].stock if printers else "")
        known = usual in {each.code for each in self._stocks}
        if known and not self._stock_taken:
            self.stock.choose(usual)
            self._show_places()
            self._stock_taken = True

    def show_printers(self, printers: Sequence[Printer]) -> None:
        """Offer these printers, that of this workstation chosen with the roll in it."""
        if tuple(printers) != self._printers:
            here = self._context.here
            self._printers = tuple(printers)
            self.printer.fill([(each.name, each.name) for each in printers])
            self.printer.choose(here.printer)
            self._follow_printer()
            if here.stock:
                self.stock.choose(here.stock)
        self.printer.setEnabled(bool(printers))
        self.no_printer.setVisible(not printers)

    def show_whole(self, whole: bool) -> None:  # noqa: FBT001 - a setter
        """Take all the height there is to show, or scroll inside."""
        self.setMinimumHeight(self._inner.sizeHint().height() if whole else 0)

    def choose_stock(self, code: str) -> None:
        """Take another stock."""
        self.stock.choose(code)
        self._stock_chosen()

    def show_subject(self, subject: Subject, said: Address, today: date) -> None:
        """Show what is labelled, with what was said of it on screen."""
        text = self._context.text
        number = subject.version_number
        self.title.setText(text("ui_labels.title", title=subject.title, number=number))
        made = subject.preparation
        if self._subject is None or self._subject.lot != subject.lot:
            self.builder.hide()
        self._subject = subject
        self._dosing, self._built = said.dosing, said.directions
        self.language.choose(said.language)
        self.build.setEnabled(subject.addressable)
        waits = made is not None and made.stage in _WAITING
        self.awaiting.setVisible(waits)
        self.awaiting.setChecked(False)
        self.facts.show_facts(self._facts(subject, made, today))
        self.working.setText("\n".join(subject.working))
        self.working.hide()
        self._working_button.setVisible(bool(subject.working))
        self.address.show_values(
            {
                "directions": said.directions,
                "patient": said.patient,
                "prescriber": said.prescriber,
            }
        )
        self.address.set_editable(subject.addressable)
        ordered = subject.preparation is not None and bool(subject.preparation.order_id)
        key = "fixed_by_order" if ordered else "fixed"
        self.fixed.setText(self._context.text(f"ui_labels.{key}"))
        self.fixed.setVisible(not subject.addressable)
        self._show_reason()
        self.reason.clear()

    def _show_reason(self) -> None:
        """Ask why labels are printed again; the one for the tray is none of them."""
        again = self._subject is not None and self._subject.printed
        for each in (self._why, self.reason):
            each.setVisible(again and not self.awaiting.isChecked())

    def lacks_reason(self) -> bool:
        """Tell whether labels are printed again and nobody says why; that of a tray needs none."""
        again = self._subject is not None and self._subject.printed
        return again and not self.awaiting.isChecked() and not self.reason.text().strip()

    def _facts(
        self, subject: Subject, made: Preparation | None, today: date
    ) -> list[tuple[str, str]]:
        text, written = self._context.text, self._context.catalogue.written
        if made is None:
            trial = text("ui_labels.trial")
            target = subject.trial.order.target if subject.trial else ""
            return [(text("ui_labels.fact.lot"), trial), (text("ui_labels.fact.target"), target)]
        away = self._context.said(distance(today, made.use_by))
        printed = sum(each.copies for each in subject.prints if not each.proof)
        return [
            (text("ui_labels.fact.lot"), made.lot),
            (text("ui_labels.fact.target"), made.target),
            (text("ui_labels.fact.made_on"), written(made.made_on)),
            (text("ui_labels.fact.use_by"), f"{written(made.use_by)}, {away}"),
            (text("ui_labels.fact.bound_by"), subject.bound_by),
            (
                text("ui_labels.fact.printed"),
                text("ui_labels.printed_so_far", n=printed) if printed else "",
            ),
        ]

    def _lay_out(self) -> None:
        inner = QWidget()
        box = QVBoxLayout(inner)
        spaced(box, inside=8, around=16)
        box.addWidget(self.title)
        box.addWidget(self.facts)
        box.addWidget(self._working_button, 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.working)
        box.addWidget(hairline())
        # All else is fixed where labels are printed again: what is asked for comes first.
        box.addWidget(self._why)
        box.addWidget(self.reason)
        box.addWidget(self.fixed)
        box.addWidget(self.address)
        box.addWidget(button(self.build), 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.builder)
        box.addWidget(hairline())
        box.addLayout(self._choices())
        for each in (self.awaiting, self.calibrate):
            box.addWidget(button(each), 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.run)
        box.addStretch(1)
        self._inner = inner
        outer = QVBoxLayout(self)
        spaced(outer, inside=0)
        outer.addWidget(leaf(inner))

    def _choices(self) -> QGridLayout:
        grid = QGridLayout()
        spaced(grid, inside=8)
        grid.setColumnMinimumWidth(0, theme.px(NAMES_WIDTH))
        grid.setColumnStretch(1, 1)
        for row, choice in enumerate((self.printer, self.stock, self.overflow, self.language)):
            grid.addWidget(self._named(choice), 2 * row, 0)
            grid.addWidget(choice, 2 * row, 1)
        grid.addWidget(self.no_printer, 1, 1)
        grid.addWidget(self._start_words, 3, 0)
        grid.addWidget(self.start, 3, 1)
        return grid

    def _named(self, choice: ChoiceBox) -> QLabel:
        name = label(choice.accessibleName(), "quiet")
        name.setBuddy(choice)
        return name

    def _connect(self) -> None:
        self.address.edited.connect(self.changed)
        self.builder.built.connect(self._take_built)
        self.builder.left.connect(self._leave_builder)
        self.printer.currentIndexChanged.connect(self._printer_chosen)
        self.stock.currentIndexChanged.connect(self._stock_chosen)
        self.overflow.currentIndexChanged.connect(self.changed)
        self.awaiting.toggled.connect(self._show_reason)
        self.awaiting.toggled.connect(self.changed)
        self.start.textEdited.connect(self.changed)
        self.language.currentIndexChanged.connect(self.changed)
        for name in ("patient", "prescriber"):
            self.address.entered(name).connect(self.entered)

    def _follow_printer(self) -> None:
        printer = self.chosen_printer()
        if printer is not None:
            self.stock.choose(printer.stock)
            self._show_places()

    def _stock_chosen(self) -> None:
        self._show_places()
        self.changed.emit()

    def _show_places(self) -> None:
        """Ask for the first free place on sheets only."""
        for each in (self._start_words, self.start):
            each.setVisible(self.chosen_stock().sheet is not None)

    def _printer_chosen(self) -> None:
        self._follow_printer()
        self.changed.emit()

    def _toggle(self) -> None:
        self.working.setVisible(self.working.isHidden())


def panel_width() -> int:
    """Return the width of the left side in pixels."""
    return theme.px(WIDTH)
