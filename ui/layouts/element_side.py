"""The elements of a layout in a list, in reading order, and the measures of the one come to."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QListWidget, QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.labels.design import NO_TEXT, Align, Box, Design, Thing
from formulary.labels.design_edits import (
    aligned,
    placed,
    reordered,
    typed,
    with_box,
    without,
)
from formulary.labels.page import Place
from formulary.messages import message
from ui import theme
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.layouts.figures import a_number, read, shown
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

AREA = "ui_layouts"
LIST_HEIGHT = 168
NAMES_WIDTH = 120
_MEASURES = ("left", "top", "width", "height", "size")


class ElementSide(QWidget):
    """Shows the elements of a design and changes them; ``changed`` tells the design made of it."""

    changed = Signal(object)
    chosen = Signal(int)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._design: Design | None = None
        self._said: dict[str, str] = {}
        self.list = set_role(QListWidget(), "field")
        self.list.setAccessibleName(context.text(f"{AREA}.elements"))
        self.list.setFixedHeight(theme.px(LIST_HEIGHT))
        self.form = Form(context, AREA, self._fields(), names_width=NAMES_WIDTH)
        self.things = ChoiceBox(context.text(f"{AREA}.thing_to_add"))
        self.add = self._act("add", "", self._add)
        self.remove = self._act("remove", "Ctrl+Backspace", lambda: self._do(without))
        self.earlier = self._act("earlier", "Ctrl+Up", lambda: self._order(-1))
        self.later = self._act("later", "Ctrl+Down", lambda: self._order(1))
        self._lay_out()
        self.list.currentRowChanged.connect(self._come)
        for name in _MEASURES:
            self.form.entered(name).connect(self._typed)
            self.form.finished(name).connect(self.take_typed)
        self.form.inputs["align"].edited.connect(self._typed)

    def take_typed(self) -> None:
        """Take what was typed into a field and not entered; an empty one waits."""
        values = self.form.values()
        if values != self._said and all(values[name].strip() for name in _MEASURES):
            self._typed()

    def show_design(self, design: Design, number: int) -> None:
        """Show the elements of a design, one of them come to."""
        self._design = design
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([self._context.said(each.thing.called) for each in design.boxes])
        self.list.setCurrentRow(number)
        self.list.blockSignals(False)
        left = [each for each in Thing if each not in design.things]
        self.things.fill([(self._context.said(each.called), each.value) for each in left])
        self.add.setEnabled(bool(left))
        self._show_measures()

    def _act(self, name: str, keys: str, slot: Callable[[], None]) -> QAction:
        return action(self, self._context.text(f"{AREA}.{name}"), keys, slot)

    def _fields(self) -> tuple[FormField, ...]:
        lines = (FormField(name, understand=a_number(self._context)) for name in _MEASURES)
        return (*lines, FormField("align", Kind.CHOICE, choices=self._aligns))

    def _aligns(self) -> list[tuple[str, str]]:
        return [(self._context.text(f"layouts.align.{each}"), each.value) for each in Align]

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        box.addWidget(label(self._context.text(f"{AREA}.elements"), "heading"))
        box.addWidget(self.list)
        for row in ((self.earlier, self.later, self.remove), (self.things, self.add)):
            flow = FlowLayout()
            for each in row:
                flow.addWidget(each if isinstance(each, QWidget) else button(each))
            box.addLayout(flow)
        box.addWidget(self.form)
        box.addStretch(1)

    @property
    def _number(self) -> int:
        return self.list.currentRow()

    def _box(self) -> Box | None:
        boxes = self._design.boxes if self._design is not None else ()
        return boxes[self._number] if 0 <= self._number < len(boxes) else None

    def _come(self, number: int) -> None:
        self._show_measures()
        self.chosen.emit(number)

    def _show_measures(self) -> None:
        box = self._box()
        for each in (self.remove, self.earlier, self.later):
            each.setEnabled(box is not None)
        self.form.set_editable(box is not None)
        if box is None:
            self.form.show_values({})
            return
        measures = {name: getattr(box, name) for name in _MEASURES if name != "size"}
        said = shown(self._context, measures | {"size": box.size_pt})
        self.form.show_values(said | {"align": box.align.value})
        self._said = self.form.values()
        for name in ("size", "align"):
            self.form.inputs[name].setEnabled(box.thing not in NO_TEXT)

    def _typed(self) -> None:
        """Take the measures as they were typed."""
        design, number = self._design, self._number
        if design is None or self._box() is None or self.form.first_trouble():
            return
        values = self.form.values()
        try:
            sides = read(self._context, {name: values[name] for name in _MEASURES})
        except FormularyError as trouble:
            self._context.say.refuse(trouble)
            return
        left, top = sides["left"], sides["top"]
        place = Place(left, top, left + sides["width"], top + sides["height"])
        design = placed(design, number, place)
        design = typed(design, number, sides["size"])
        self.changed.emit(aligned(design, number, Align(values["align"])))

    def _do(self, edit: Callable[[Design, int], Design]) -> None:
        if self._design is not None and self._box() is not None:
            self.changed.emit(edit(self._design, self._number))

    def _order(self, by: int) -> None:
        design, number = self._design, self._number
        if design is None or not 0 <= number + by < len(design.boxes):
            return
        self._do(lambda whole, at: reordered(whole, at, by))
        self.list.setCurrentRow(number + by)

    def _add(self) -> None:
        if self._design is None or self.things.currentData() is None:
            return
        thing = Thing(str(self.things.currentData()))
        self.changed.emit(with_box(self._design, thing))
        self.list.setCurrentRow(self.list.count() - 1)
        self._context.say.tell(f"{AREA}.added", thing=thing.called)


def described(context: Context, box: Box) -> str:
    """Return where an element stands and how large it is, for who hears it."""
    measures = {name: getattr(box, name) for name in ("left", "top", "width", "height")}
    said = shown(context, measures)
    return context.said(message(f"{AREA}.stands", thing=box.thing.called, **said))
