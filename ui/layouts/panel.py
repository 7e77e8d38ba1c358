"""The section *Label layouts*: which stock, the label at scale, its elements, and what is wrong."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QAction, QImage, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.finding import Severity
from formulary.house_layout import HouseLayout
from formulary.labels.design import Design, Thing
from formulary.labels.design_edits import moved_to, on_stock, sized_to
from formulary.labels.design_text import read_design, write_design
from formulary.labels.page import MM_PER_INCH
from formulary.labels.stock import LabelStock, label_stock
from formulary.messages import message
from formulary.verbs.house_layouts import (
    Example,
    begun,
    end_layout,
    examples,
    layouts,
    put_layout_in_use,
    save_layout,
)
from ui import signs, theme
from ui.context import Context, Topic
from ui.forms.signed_text import SignedText
from ui.labels.canvas import image_of
from ui.layouts.canvas import DesignCanvas
from ui.layouts.course import Course
from ui.layouts.element_side import ElementSide, described
from ui.layouts.look import Look, look_at
from ui.layouts.measures import StockMeasures
from ui.layouts.shelf import Shelf
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.finding_list import FindingList
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "ui_layouts"
SIDE_WIDTH = 320
NARROW = 760


class LayoutsPanel(QWidget):
    """Lays labels out. What is open here is kept as a draft by a key, and signed into use."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._course = Course()
        self._shelf = Shelf(context, AREA)
        self._examples: tuple[Example, ...] = ()
        self._stops: int | None = None
        text = context.text
        self.stock = ChoiceBox(text(f"{AREA}.stock"))
        self.example = ChoiceBox(text(f"{AREA}.example"))
        self.state = label(role="quiet")
        self.canvas = DesignCanvas(text(f"{AREA}.canvas"))
        self.side = ElementSide(context)
        self.refused = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.findings = FindingList(context.said, leads=True)
        self.sound = label(role="quiet")
        self.measures = StockMeasures(context, AREA)
        self._make_actions()
        self._lay_out()
        self._connect()

    def begin(self) -> None:
        """Read the layouts and the house's labels; what is open stays open."""
        self._context.do(
            lambda desk: (layouts(desk.store), examples(desk)), self._arrived, lane="layouts.read"
        )

    def enter(self) -> None:
        """Go to the first field."""
        self.stock.setFocus()

    @property
    def design(self) -> Design | None:
        """The layout as it stands."""
        return self._course.now

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the elements below the label where there is no room beside."""
        super().resizeEvent(event)
        narrow = event.size().width() < theme.px(NARROW)
        ways = QBoxLayout.Direction
        self._work.setDirection(ways.TopToBottom if narrow else ways.LeftToRight)
        self.side.setMaximumWidth(16_777_215 if narrow else theme.px(SIDE_WIDTH))

    def _make_actions(self) -> None:
        self.undo = self._act("undo", "Ctrl+Z", lambda: self._turn(self._course.undo))
        self.redo = self._act("redo", "Ctrl+Y", lambda: self._turn(self._course.redo))
        self.keep = self._act("keep", "Ctrl+D", self._keep)
        self.use = self._act("use", "Ctrl+U", self._use)
        self.end = self._act("end", "", self._end)
        self.anew = self._act("anew", "", self._begin_anew)

    def _act(self, name: str, keys: str, slot: Callable[[], object]) -> QAction:
        return action(self, self._context.text(f"{AREA}.{name}"), keys, slot)

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        top = FlowLayout(gap=12)
        for part in (self.stock, self.example):
            part.setMinimumContentsLength(24)
            top.addWidget(part)
        box.addLayout(top)
        box.addWidget(self.state)
        acts = FlowLayout(gap=8)
        acts.addWidget(button(self.keep, accent=True))
        for each in (self.use, self.undo, self.redo, self.anew, self.end):
            acts.addWidget(button(each))
        box.addLayout(acts)
        self._work = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        spaced(self._work, inside=16)
        left = QVBoxLayout()
        spaced(left, inside=8)
        left.addWidget(self.canvas)
        for below in (self.refused, self.sound, self.findings):
            left.addWidget(below)
        left.addStretch(1)
        self._work.addLayout(left, 1)
        self._work.addWidget(self.side)
        box.addLayout(self._work)
        box.addWidget(hairline())
        box.addWidget(self.measures)

    def _connect(self) -> None:
        self.stock.currentIndexChanged.connect(self._open)
        self.example.currentIndexChanged.connect(self._look)
        self.canvas.chosen.connect(self._come)
        self.canvas.moved.connect(self._moved)
        self.canvas.sized.connect(self._sized)
        self.side.chosen.connect(self._come)
        self.side.changed.connect(self._take)
        self.findings.wanted.connect(self._go_to)
        self.measures.measured.connect(self._fit)

    def _arrived(self, found: tuple[tuple[HouseLayout, ...], tuple[Example, ...]]) -> None:
        kept, self._examples = found
        self._shelf.take(kept)
        self._shelf.read_held()
        self.stock.fill(self._shelf.choices())
        self.example.fill([(each.title, at) for at, each in enumerate(self._examples)])
        if self.design is None:
            self._open_first()
        else:
            self._show()

    def _open_first(self) -> None:
        """Open what wasn't kept before the window closed, else the roll of this workstation."""
        first = self._shelf.first_held or self._context.here.stock
        if first:
            self.stock.choose(first)
        self._open()

    def _open(self) -> None:
        """Open what isn't kept for the chosen stock, else its newest version, else a first one."""
        code = str(self.stock.currentData())
        newest, held = self._shelf.newest(code), self._shelf.held(code)
        if newest is None and held is None:
            self._begin(code)
            return
        if held is not None:
            self._course.begin(held)
        elif newest is not None:
            self._course.begin(read_design(newest.text, newest.stock))
        self._come(0)

    def _begin_anew(self) -> None:
        """Lay the open stock out anew; what was before is one Undo away."""
        if self.design is not None:
            stock = self.design.stock
            self._context.do(lambda desk: begun(desk, stock), self._begun, lane="layouts.begin")

    def _begin(self, code: str) -> None:
        """Begin with a first layout for a stock that comes with the program."""
        self._context.do(
            lambda desk: begun(desk, label_stock(code)), self._begun, lane="layouts.begin"
        )

    def _begun(self, design: Design) -> None:
        if self.design is not None and self.design.stock == design.stock:
            self._course.take(design)
        else:
            self._course.begin(design)
        self._come(0)

    def _come(self, number: int) -> None:
        """Come to an element, on the label and in the list."""
        self.canvas.number = number
        self._show(look=False)
        if self.canvas.number == number and self.design is not None:
            self._look()

    def _take(self, design: Design, *, goes_on: bool = False) -> None:
        self._course.take(design, goes_on=goes_on)
        self._show()

    def _moved(self, number: int, left: float, top: float, goes_on: bool) -> None:  # noqa: FBT001
        if self.design is not None:
            self._take(moved_to(self.design, number, left, top), goes_on=goes_on)

    def _sized(self, number: int, width: float, height: float, goes_on: bool) -> None:  # noqa: FBT001
        if self.design is not None:
            self._take(sized_to(self.design, number, width, height), goes_on=goes_on)

    def _turn(self, turn: Callable[[], None]) -> None:
        turn()
        self._show()
        self._name_stock()

    def _name_stock(self) -> None:
        """Let the list of stocks name the one that is open, once its measures made it another."""
        if self.stock.currentData() != self._code():
            self.stock.fill(self._shelf.choices())
            self.stock.choose(self._code())

    def _go_to(self, field: str) -> None:
        """Go to the element that a finding is about."""
        boxes = self.design.boxes if self.design is not None else ()
        for number, box in enumerate(boxes):
            if box.thing.value == field:
                self._come(number)
                self.canvas.setFocus()

    def _show(self, *, look: bool = True) -> None:
        design = self.design
        if design is None:
            return
        number = min(self.canvas.number, len(design.boxes) - 1)
        self.canvas.show_design(design, number)
        self.side.show_design(design, number)
        if number >= 0:
            self.canvas.setAccessibleDescription(described(self._context, design.boxes[number]))
        self.measures.show_stock(design.stock)
        self._show_state()
        if look:
            self._look()

    def _show_state(self) -> None:
        design = self.design
        if design is None:
            return
        self._shelf.hold(design, changed=self._course.can_undo)
        newest, kept = self._shelf.newest(design.stock.code), self._shelf.has(design)
        said = self._shelf.said(newest) if newest is not None else ""
        unkept = self._context.text(f"{AREA}.unkept")
        self.state.setText(said if kept else f"{said} {unkept}".strip())
        self.undo.setEnabled(self._course.can_undo)
        self.redo.setEnabled(self._course.can_redo)
        self._show_use(newest, kept=kept)
        self.end.setEnabled(self._shelf.in_use(design.stock.code))

    def _show_use(self, newest: HouseLayout | None, *, kept: bool) -> None:
        """Say whether the draft can be put in use, or why it can't be.

        The key is never given up: where nothing took Ctrl+U, a field would be emptied by it.
        """
        reason = self._reason(newest, kept=kept)
        self.use.setToolTip("" if reason == "sound" else self._said_of_use(reason))
        self.sound.setText(self._said_of_use(reason))

    def _reason(self, newest: HouseLayout | None, *, kept: bool) -> str:
        """Return the name of what there is to say of putting the layout in use."""
        if self._stops is None:
            return "looking"
        if self._stops:
            return "stopped"
        if not kept or newest is None:
            return "keep_first"
        if newest.is_draft:
            return "sound"
        return "used" if newest.in_use else "was_used"

    def _said_of_use(self, reason: str) -> str:
        return self._context.text(f"{AREA}.of_use.{reason}", n=self._stops or 0)

    def _code(self) -> str:
        return self.design.stock.code if self.design is not None else ""

    def _look(self) -> None:
        """Draw the example by the layout and look for what is wrong, on the worker."""
        design, tried = self.design, self._examples
        if design is None:
            return
        self._stops = None
        self._show_state()
        at = self.example.currentIndex()
        dots = self.canvas.dots_per_mm * MM_PER_INCH * self.devicePixelRatioF()
        self._context.do(
            lambda desk: look_at(desk, design, tried, at, dots), self._looked, lane="layouts.look"
        )

    def _looked(self, look: Look) -> None:
        if look.design != self.design:
            return
        image = image_of(look.raster) if look.raster is not None else QImage()
        stops = [e.field for e in look.findings if e.severity is Severity.STOP]
        called = self._context.said
        lost = {each: called(Thing(each).called) for each in look.lost}
        self.canvas.show_look(image, stops, lost)
        self.findings.show_findings(look.findings)
        self.refused.say([self._context.said(look.refused)] if look.refused is not None else [])
        self._stops = len(stops)
        self._show_state()

    def _fit(self, stock: LabelStock) -> None:
        """Fit the elements to a stock of other measures."""
        if self.design is None:
            return
        before = self.design.stock
        self._take(on_stock(self.design, stock))
        self._name_stock()
        if (stock.width_mm, stock.height_mm) != (before.width_mm, before.height_mm):
            self._context.say.tell(f"{AREA}.fitted", stock=stock.code)

    def _keep(self) -> None:
        # What is typed and can't be taken would be missing from what is kept.
        self.side.take_typed()
        if not self.measures.take() or self.design is None:
            return
        newest = self._shelf.newest(self._code())
        if newest is not None and self._shelf.has(self.design):
            self._context.say.tell(f"{AREA}.kept_already", stock=newest.stock, number=newest.number)
            return
        text = write_design(self.design)
        self._context.do(lambda desk: save_layout(desk, text), self._after_keeping)

    def _after_keeping(self, kept: HouseLayout) -> None:
        self._context.say.tell(f"{AREA}.kept", stock=kept.stock, number=kept.number)
        self._read_again(kept.stock)

    def _use(self) -> None:
        newest = self._shelf.newest(self._code())
        kept = self.design is not None and self._shelf.has(self.design)
        reason = self._reason(newest, kept=kept)
        if newest is None or reason != "sound":
            self._context.say.refuse(message(f"{AREA}.of_use.{reason}", n=self._stops or 0))
            return
        self._sign(
            "put_layout_in_use", newest, lambda desk, pin: put_layout_in_use(desk, newest.id, pin)
        )

    def _end(self) -> None:
        newest, code = self._shelf.newest(self._code()), self._code()
        if newest is not None:
            self._sign("end_layout", newest, lambda desk, pin: end_layout(desk, code, pin))

    def _sign(
        self, verb: str, layout: HouseLayout, act: Callable[[Desk, str], HouseLayout]
    ) -> None:
        text = self._context.text
        meaning = text(f"{AREA}.signs.{verb}", stock=layout.stock, number=layout.number)
        self._context.sign(
            verb, meaning, act, lambda done: self._signed(verb, done), changes=(Topic.HOUSE,)
        )

    def _signed(self, verb: str, layout: HouseLayout) -> None:
        self._context.say.tell(f"{AREA}.done.{verb}", stock=layout.stock, number=layout.number)
        self._read_again(layout.stock)

    def _read_again(self, stock: str) -> None:
        """Read the layouts anew and stay at that stock."""

        def arrived(found: tuple[HouseLayout, ...]) -> None:
            self._shelf.take(found)
            self.stock.fill(self._shelf.choices())
            self.stock.choose(stock)
            self._show()

        self._context.do(lambda desk: layouts(desk.store), arrived, lane="layouts.read")
