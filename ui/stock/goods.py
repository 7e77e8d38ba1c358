"""Jars, closures and labels: how many there are, and what came, went or was counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import Conflict, FormularyError
from formulary.ids import new_id
from formulary.stock.counting import CountedGood, Sort
from formulary.verbs.count_goods import count_goods, receive_goods, save_goods, use_goods
from formulary.verbs.list_stock import Counted
from ui import signs, theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.leaf import leaf
from ui.stock.fitted_tree import FittedTree
from ui.stock.question import Question, whole_number
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock"
_COLUMNS = ("name", "sort", "left", "least", "number", "place")
LEAST_HEIGHT = 180
_GIVEN_UP = (4, 1, 5, 3)


_PIECES = FormField("pieces", understand=whole_number, required=True)
_REASON = FormField("reason", required=True)


@dataclass(frozen=True, slots=True)
class GoodsAct:
    """What can be done to counted goods: its keys, what is asked, and the verb."""

    name: str
    keys: str
    fields: tuple[FormField, ...]
    run: Callable[[Desk, Counted, dict[str, str]], object]


ACTS = (
    GoodsAct(
        "receive_goods",
        "Ctrl+R",
        (_PIECES,),
        lambda desk, on, said: receive_goods(desk, on.good.id, int(said["pieces"]), seen=on.left),
    ),
    GoodsAct(
        "use_goods",
        "Ctrl+U",
        (_PIECES, _REASON),
        lambda desk, on, said: use_goods(
            desk, on.good.id, int(said["pieces"]), said["reason"], seen=on.left
        ),
    ),
    GoodsAct(
        "count_goods",
        "Ctrl+E",
        (_PIECES, _REASON),
        lambda desk, on, said: count_goods(
            desk, on.good.id, int(said["pieces"]), said["reason"], seen=on.left
        ),
    ),
)


class Goods(QWidget):
    """Lists counted goods; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._goods: tuple[Counted, ...] = ()
        self._asked_again = False
        text = context.text
        names = [text(f"{AREA}.good.{each}") for each in _COLUMNS]
        self.list = FittedTree(text(f"{AREA}.goods"), names, _GIVEN_UP)
        self.list.setRootIsDecorated(False)
        self.nothing = label(text(f"{AREA}.no_goods"), "quiet")
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.question = Question(context)
        self.question.dropped.connect(self.list.setFocus)
        self.new = action(self, text(f"{AREA}.act.new_goods"), "Ctrl+N", self._new)
        self.acts = {
            act.name: action(
                self, text(f"{AREA}.act.{act.name}"), act.keys, partial(self._ask, act)
            )
            for act in ACTS
        }
        self.back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)
        self._lay_out()

    def show_goods(self, goods: Sequence[Counted]) -> None:
        """Show these goods, at the one that was come to before."""
        before = self._current()
        self._goods = tuple(goods)
        if not self._asked_again:
            self.question.ask_nothing()
        self._asked_again = False
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
        self.list.fit()
        self.nothing.setVisible(not goods)
        self.list.setVisible(bool(goods))

    def take_focus(self) -> None:
        """Begin in the list."""
        self.list.setFocus()

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        for made in (self.new, *self.acts.values(), self.back):
            row.addWidget(button(made))
        box.addWidget(label(self._context.text(f"{AREA}.goods"), "title"))
        box.addWidget(self.nothing)
        box.addWidget(self.list, 1)
        box.addLayout(row)
        box.addWidget(self.question)

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
            # By what stands in the list then: after a refusal that is how many there are by now.
            on = next((each for each in self._goods if each.good.id == good.id), chosen)
            self._do(lambda desk: act.run(desk, on, values), act.name, good.name)

        words = self._context.text(f"{AREA}.act.{act.name}")
        heading = self._context.text(f"{AREA}.asking", act=words, name=good.name)
        self.question.ask(heading, words, AREA, act.fields, run)

    def _new(self) -> None:
        fields = (
            FormField("name", required=True),
            FormField("sort", Kind.CHOICE, choices=self._sorts),
            FormField("least_pieces", understand=whole_number, at_first="0"),
            FormField("number"),
            FormField("supplier"),
            FormField("place"),
        )

        def run(values: dict[str, str]) -> None:
            good = _good(values)
            self._do(lambda desk: save_goods(desk, good), "new_goods", good.name)

        words = self._context.text(f"{AREA}.act.new_goods")
        self.question.ask(words, words, AREA, fields, run)

    def _sorts(self) -> Sequence[tuple[str, str]]:
        return [(self._context.text(f"stock.sort.{each.value}"), each.value) for each in Sort]

    def _do(self, act: Callable[[Desk], object], act_name: str, name: str) -> None:
        words = self._context.text(f"{AREA}.act.{act_name}")

        def done(_: object) -> None:
            self.question.ask_nothing()
            self.list.setFocus()
            self._context.say.tell(f"{AREA}.done", act=words, name=name)

        self._context.do(act, done, changes=(Topic.STOCK,), failed=self._refused)

    def _refused(self, trouble: FormularyError) -> None:
        """Say why; where somebody was quicker, read the list anew: what is asked for stays."""
        self._context.say.refuse(trouble)
        if isinstance(trouble, Conflict):
            self._asked_again = True
            self._context.tell_changed(Topic.STOCK)

    def _step_back(self) -> None:
        if self.question.asking:
            self.question.ask_nothing()
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
