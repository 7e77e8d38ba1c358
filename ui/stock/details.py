"""One lot: its record, what can be done to it, its containers and what went in and out of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.stock.shelf import Holding
from formulary.verbs.attach_certificate import attach_certificate, certificate_file
from ui import signs
from ui.context import Context, Topic
from ui.files import ask_to_open, ask_to_save, read_file, writing_to
from ui.forms.facts import Facts
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.stock.act_panel import ActPanel
from ui.stock.acts import (
    CONTAINER_ACTS,
    LOT_ACTS,
    RECALL,
    StockAct,
    Target,
    fits_container,
    fits_lot,
)
from ui.stock.container_list import ContainerList
from ui.stock.container_rows import obstacle_of
from ui.stock.label_panel import Labelled, LabelPanel
from ui.stock.lot_facts import facts_of
from ui.stock.move_list import MoveList
from ui.stock.reading import LotSeen
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock"


class LotDetails(QWidget):
    """Shows a lot; ``left`` when the person steps back, ``changed`` when it must be read anew.

    ``recalled`` tells that it was recalled, so that people are to be called.
    """

    left = Signal()
    changed = Signal()
    recalled = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: LotSeen | None = None
        self._wanted = ""
        self._asked_again = False
        text = context.text
        self.title = label(role="title")
        self.obstacle = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.facts = Facts()
        self.panel = ActPanel(context)
        self.labels = LabelPanel(context)
        self.containers = ContainerList(context)
        self.containers.currentItemChanged.connect(lambda *_: self._came_to())
        self.moves = MoveList(context)
        self.lot_acts = {act.name: self._action(self, act, self._begin_on_lot) for act in LOT_ACTS}
        self.container_acts = {
            act.name: self._action(self, act, self._begin_on_container) for act in CONTAINER_ACTS
        }
        self.attach = action(self, text(f"{AREA}.attach"), "Ctrl+Shift+C", self._attach)
        self.print = action(self, text(f"{AREA}.print_label"), "Ctrl+L", self._print_label)
        self.print_all = action(self, text(f"{AREA}.print_all"), "Ctrl+Shift+P", self._print_all)
        self.save = action(self, text(f"{AREA}.save_certificate"), "Ctrl+S", self._save)
        self.back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)
        self._lay_out()
        self.panel.done.connect(self._done)
        self.panel.overtaken.connect(self._overtaken)
        self.panel.dropped.connect(self.containers.setFocus)
        self.labels.closed.connect(self.containers.setFocus)

    @property
    def lot_number(self) -> str:
        """The number of the lot that is shown, nothing for none."""
        return "" if self._seen is None else self._seen.lot.number

    def show_lot(self, seen: LotSeen) -> None:
        """Show a lot, at the container that was come to before where it is the same lot."""
        again = self._seen is not None and self._seen.lot.id == seen.lot.id
        before = self.containers.current() if again else None
        self._seen = seen
        asking = self._asked_again and again and self.panel.asking
        self._asked_again = False
        if not asking:
            self.panel.ask_nothing()
        self.labels.hide()
        lot = seen.lot
        self.title.setText(
            self._context.text(f"{AREA}.title", ingredient=seen.ingredient, lot=lot.number)
        )
        self.facts.show_facts(facts_of(self._context, seen))
        self.moves.show_lines(seen.lines)
        for act in LOT_ACTS:
            self._offer(self.lot_acts[act.name], fits=fits_lot(act, lot))
        self._offer(self.attach, fits=lot.decision is None)
        self._offer(self.save, fits=lot.attachment is not None)
        wanted = self._wanted or (before.container.id if before else "")
        self.containers.show_holdings(seen.holdings, wanted)
        self._came_to()
        self._wanted = ""
        if asking:
            self._aim_anew(seen)
        else:
            self.containers.setFocus()

    def come_to(self, container_id: str) -> None:
        """Come to a container when its lot is shown next."""
        self._wanted = container_id

    def _action(self, owner: QWidget, act: StockAct, begin: Callable[[StockAct], None]) -> QAction:
        words = self._context.text(f"{AREA}.act.{act.name}")
        return action(owner, words, act.keys, lambda: begin(act))

    def _offer(self, made: QAction, *, fits: bool) -> None:
        made.setVisible(fits)
        made.setEnabled(fits)

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        of_lot, of_container = FlowLayout(), FlowLayout()
        accent = self.lot_acts["accept"]
        for made in (*self.lot_acts.values(), self.print_all, self.attach, self.save):
            of_lot.addWidget(button(made, accent=made is accent))
        of_lot.addWidget(button(self.back))
        for made in (*self.container_acts.values(), self.print):
            of_container.addWidget(button(made))
        self.of_container = of_container
        heading = label(self._context.text(f"{AREA}.containers"), "heading")
        moves = label(self._context.text(f"{AREA}.moves"), "heading")
        for part in (self.title, self.obstacle, self.facts):
            box.addWidget(part)
        box.addLayout(of_lot)
        box.addWidget(self.panel)
        box.addWidget(self.labels)
        box.addWidget(heading)
        box.addWidget(self.containers)
        box.addLayout(of_container)
        box.addWidget(moves)
        box.addWidget(self.moves)

    def _came_to(self) -> None:
        """Say why the container come to may not be used, and offer what can be done to it."""
        held = self.containers.current()
        said = obstacle_of(self._context, held) if held is not None else None
        self.obstacle.say([self._context.said(said)] if said is not None else [])
        for act in CONTAINER_ACTS:
            fits = held is not None and fits_container(act, held.container)
            self._offer(self.container_acts[act.name], fits=fits)
        self._offer(self.print, fits=held is not None and held.container.emptied_on is None)

    def _begin_on_lot(self, act: StockAct) -> None:
        if self._seen is not None:
            self.panel.begin(act, self._this_lot(self._seen))

    def _begin_on_container(self, act: StockAct) -> None:
        held = self.containers.current()
        if held is not None and self._seen is not None:
            self.panel.begin(act, self._this_container(self._seen, held))

    def _this_lot(self, seen: LotSeen) -> Target:
        lot = seen.lot
        here = (e.container for e in seen.holdings if e.container.emptied_on is None)
        unidentified = sum(each.identity is None for each in here)
        return Target(lot.id, lot.number, False, lot.revision, seen.level, unidentified)

    def _this_container(self, seen: LotSeen, held: Holding) -> Target:
        jar = held.container
        return Target(jar.id, jar.number, seen.controlled, held=held)

    def _done(self, act: str) -> None:
        """Read the lot anew; a recall goes on with whom to call."""
        if act == RECALL.name:
            self.recalled.emit()
        else:
            self.changed.emit()

    def _overtaken(self) -> None:
        """Read the lot anew, since somebody else changed it; what is asked for stays."""
        self._asked_again = True
        self.changed.emit()

    def _aim_anew(self, seen: LotSeen) -> None:
        self.panel.aim_anew(self._this_lot(seen))
        for held in seen.holdings:
            self.panel.aim_anew(self._this_container(seen, held))

    def _print_label(self) -> None:
        held = self.containers.current()
        if held is not None and self._seen is not None:
            name = held.container.number
            self.labels.begin(Labelled(self._seen.ingredient, name, (held.container.id,)))

    def _print_all(self) -> None:
        if self._seen is None:
            return
        here = [e.container for e in self._seen.holdings if e.container.emptied_on is None]
        ids = tuple(each.id for each in here)
        self.labels.begin(Labelled(self._seen.ingredient, self._seen.lot.number, ids))

    def _step_back(self) -> None:
        if self.panel.isVisible() or self.labels.isVisible():
            self.panel.ask_nothing()
            self.labels.hide()
            self.containers.setFocus()
        else:
            self.left.emit()

    def _attach(self) -> None:
        text = self._context.text
        ask_to_open(self, text(f"{AREA}.attach"), self._attach_file, text(f"{AREA}.documents"))

    def _attach_file(self, path: Path) -> None:
        if self._seen is None:
            return
        lot = self._seen.lot
        self._context.do(
            lambda desk: attach_certificate(
                desk, lot.id, path.name, read_file(path), seen=lot.revision
            ),
            lambda _: self._attached(path.name),
            changes=(Topic.STOCK,),
        )

    def _attached(self, name: str) -> None:
        self._context.say.tell(f"{AREA}.attached", name=name)
        self.changed.emit()

    def _save(self) -> None:
        lot = self._seen.lot if self._seen is not None else None
        if lot is None or lot.attachment is None:
            return

        def copy(path: Path) -> None:
            self._context.do(
                lambda desk: _write(path, certificate_file(desk.store, lot)),
                lambda _: self._context.say.tell(f"{AREA}.saved", name=str(path)),
            )

        title = self._context.text(f"{AREA}.save_certificate")
        ask_to_save(self, title, lot.attachment.name, copy)


def _write(path: Path, data: bytes) -> None:
    with writing_to(path):
        path.write_bytes(data)
