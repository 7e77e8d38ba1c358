"""Jars, closures and labels: how many there are, and what came, went or was counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import BadText
from formulary.ids import new_id
from formulary.messages import message
from formulary.stock.counting import CountedGood, Sort
from formulary.verbs.count_goods import count_goods, receive_goods, save_goods, use_goods
from formulary.verbs.list_stock import Counted
from ui import signs
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning
from ui.widgets.words import action, button, label, set_role, spaced

AREA = "ui_stock"
_COLUMNS = ("name", "sort", "left", "least", "number", "place")


def _whole(text: str) -> Meaning:
    if not text.strip().isdecimal():
        raise BadText(message(f"{AREA}.no_whole_number", typed=text.strip()))
    return NO_MEANING


_PIECES = FormField("pieces", understand=_whole, required=True)
_REASON = FormField("reason", required=True)


@dataclass(frozen=True, slots=True)
class GoodsAct:
    """What can be done to counted goods: its keys, what is asked, and the verb."""

    name: str
    keys: str
    fields: tuple[FormField, ...]
    run: Callable[[Desk, str, dict[str, str]], object]


ACTS = (
    GoodsAct(
        "receive_goods",
        "Ctrl+R",
        (_PIECES,),
        lambda desk, good, said: receive_goods(desk, good, int(said["pieces"])),
    ),
    GoodsAct(
        "use_goods",
        "Ctrl+U",
        (_PIECES, _REASON),
        lambda desk, good, said: use_goods(desk, good, int(said["pieces"]), said["reason"]),
    ),
    GoodsAct(
        "count_goods",
        "Ctrl+E",
        (_PIECES, _REASON),
        lambda desk, good, said: count_goods(desk, good, int(said["pieces"]), said["reason"]),
    ),
)


class Goods(QWidget):
    """Lists counted goods; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._goods: tuple[Counted, ...] = ()
        self._confirm: Callable[[dict[str, str]], None] | None = None
        text = context.text
        self.list = QTreeWidget()
        self.nothing = label(text(f"{AREA}.no_goods"), "quiet")
        self.heading = label(role="heading")
        self.form: Form | None = None
        self.new = action(self, text(f"{AREA}.act.new_goods"), "Ctrl+N", self._new)
        self.acts = {
            act.name: action(
                self, text(f"{AREA}.act.{act.name}"), act.keys, partial(self._ask, act)
            )
            for act in ACTS
        }
        self.back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)
        self.confirm = action(self, text(f"{AREA}.do"), "Ctrl+Return", self._confirmed)
        self._furnish_list()
        self._lay_out()
        self.ask_nothing()

    def show_goods(self, goods: Sequence[Counted]) -> None:
        """Show these goods, at the one that was come to before."""
        before = self._current()
        self._goods = tuple(goods)
        self.ask_nothing()
        self.list.clear()
        for row, each in enumerate(goods):
            item = QTreeWidgetItem(self.list, list(self._texts(each)))
            sign = signs.Sign.TRIANGLE if each.is_low else signs.Sign.TICK
            item.setIcon(0, signs.icon(sign))
            for column in (2, 3):
                item.setTextAlignment(
                    column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                )
            if row == 0 or (before is not None and each.good.id == before.good.id):
                self.list.setCurrentItem(item)
        for column in range(len(_COLUMNS)):
            self.list.resizeColumnToContents(column)
        self.nothing.setVisible(not goods)
        self.list.setVisible(bool(goods))

    def take_focus(self) -> None:
        """Begin in the list."""
        self.list.setFocus()

    def ask_nothing(self) -> None:
        """Take the question back."""
        self._confirm = None
        self._panel.hide()
        if self.form is not None:
            self._panel_box.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
            self.form = None

    def _furnish_list(self) -> None:
        text = self._context.text
        self.list.setAccessibleName(text(f"{AREA}.goods"))
        self.list.setColumnCount(len(_COLUMNS))
        self.list.setHeaderLabels([text(f"{AREA}.good.{each}") for each in _COLUMNS])
        self.list.setRootIsDecorated(False)
        self.list.setTabKeyNavigation(False)
        set_role(self.list, "sheet")

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        for made in (self.new, *self.acts.values(), self.back):
            row.addWidget(button(made))
        self._panel = QWidget()
        self._panel_box = QVBoxLayout(self._panel)
        spaced(self._panel_box, inside=8)
        self._panel_box.addWidget(self.heading)
        confirm = button(self.confirm, accent=True)
        confirm.setAutoDefault(True)
        asked = FlowLayout()
        asked.addWidget(confirm)
        self._panel_box.addLayout(asked)
        box.addWidget(label(self._context.text(f"{AREA}.goods"), "title"))
        box.addWidget(self.nothing)
        box.addWidget(self.list, 1)
        box.addLayout(row)
        box.addWidget(self._panel)

    def _texts(self, each: Counted) -> tuple[str, ...]:
        good = each.good
        sort = self._context.text(f"stock.sort.{good.sort.value}")
        return (good.name, sort, str(each.left), str(good.least), good.number, good.place)

    def _current(self) -> Counted | None:
        row = self.list.currentIndex().row()
        return self._goods[row] if 0 <= row < len(self._goods) else None

    def _ask(self, act: GoodsAct) -> None:
        chosen = self._current()
        if chosen is None:
            return
        good = chosen.good

        def run(values: dict[str, str]) -> None:
            self._do(lambda desk: act.run(desk, good.id, values), act.name, good.name)

        words = self._context.text(f"{AREA}.act.{act.name}")
        heading = self._context.text(f"{AREA}.asking", act=words, name=good.name)
        self._open(heading, words, act.fields, run)

    def _new(self) -> None:
        fields = (
            FormField("name", required=True),
            FormField("sort", Kind.CHOICE, choices=self._sorts),
            FormField("least_pieces", understand=_whole, at_first="0"),
            FormField("number"),
            FormField("supplier"),
            FormField("place"),
        )

        def run(values: dict[str, str]) -> None:
            good = _good(values)
            self._do(lambda desk: save_goods(desk, good), "new_goods", good.name)

        words = self._context.text(f"{AREA}.act.new_goods")
        self._open(words, words, fields, run)

    def _sorts(self) -> Sequence[tuple[str, str]]:
        return [(self._context.text(f"stock.sort.{each.value}"), each.value) for each in Sort]

    def _open(
        self,
        heading: str,
        words: str,
        fields: Sequence[FormField],
        run: Callable[[dict[str, str]], None],
    ) -> None:
        self.ask_nothing()
        self._confirm = run
        self.heading.setText(heading)
        self.confirm.setText(words)
        self.form = Form(self._context, AREA, fields)
        self._panel_box.insertWidget(1, self.form)
        for field in fields:
            if field.kind is Kind.LINE:
                self.form.entered(field.name).connect(self._confirmed)
        self._panel.show()
        self.form.inputs[fields[0].name].setFocus()

    def _confirmed(self) -> None:
        if self.form is None or self._confirm is None:
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
        else:
            self._confirm(self.form.values())

    def _do(self, act: Callable[[Desk], object], act_name: str, name: str) -> None:
        words = self._context.text(f"{AREA}.act.{act_name}")

        def done(_: object) -> None:
            self.ask_nothing()
            self.list.setFocus()
            self._context.say.tell(f"{AREA}.done", act=words, name=name)

        self._context.do(act, done, changes=(Topic.STOCK,))

    def _step_back(self) -> None:
        if self.form is not None:
            self.ask_nothing()
            self.list.setFocus()
        else:
            self.left.emit()


def _good(values: dict[str, str]) -> CountedGood:
    return CountedGood(
        new_id(),
        values["name"].strip(),
        Sort(values["sort"]),
        int(values["least_pieces"].strip() or "0"),
        values["number"].strip(),
        values["supplier"].strip(),
        values["place"].strip(),
    )
