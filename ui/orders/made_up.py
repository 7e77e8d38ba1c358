"""Products made up by their label: what was, and the light record of one more."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.messages import message
from formulary.quantity.parsing import parse_amount
from formulary.quantity.units import Dimension
from formulary.reconstitution import Reconstitution
from formulary.stock.expiry import parse_expiry
from formulary.verbs.reconstitute import MadeUp, made_up, reconstitute
from ui import theme
from ui.context import Context
from ui.forms import understanding
from ui.forms.days import day_of, typed_day
from ui.forms.fields import FormField
from ui.forms.leaf import leaf
from ui.stock.fitted_tree import FittedTree
from ui.stock.question import Question
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import Meaning
from ui.widgets.words import action, button, label, spaced

AREA = "ui_orders.made_up"
COLUMNS = ("at", "product", "lot", "with", "use_by", "person", "order", "label")
_GIVEN_UP = (7, 6, 5)
LEAST_HEIGHT = 160


class MadeUpList(QWidget):
    """Lists what was made up; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        text = context.text
        names = [text(f"{AREA}.column.{each}") for each in COLUMNS]
        self.list = FittedTree(text(f"{AREA}.name"), names, _GIVEN_UP)
        self.list.setRootIsDecorated(False)
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.nothing = label(text(f"{AREA}.nothing"), "quiet")
        self.question = Question(context)
        self.new = action(self, text(f"{AREA}.new"), "Ctrl+N", self._ask)
        self.back = action(self, text("ui_orders.back"), "Esc", self._step_back)
        self._new_button = button(self.new, accent=True)
        self._lay_out()
        self.question.dropped.connect(self._take_focus)

    def begin(self) -> None:
        """Read what was made up."""
        self._context.do(lambda desk: made_up(desk.store), self._arrived, lane="orders.made_up")

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        row = FlowLayout()
        row.addWidget(self._new_button)
        row.addWidget(button(self.back))
        box.addWidget(label(self._context.text(f"{AREA}.name"), "title"))
        box.addWidget(label(self._context.text(f"{AREA}.about"), "note"))
        for part in (self.nothing, self.list):
            box.addWidget(part)
        box.addLayout(row)
        box.addWidget(self.question)
        box.addStretch(1)

    def _arrived(self, records: Sequence[Reconstitution]) -> None:
        self.list.clear()
        for each in records:
            QTreeWidgetItem(self.list, self._texts(each))
        self.list.fit()
        self.list.setVisible(bool(records))
        self.nothing.setVisible(not records)
        self._take_focus()

    def _take_focus(self) -> None:
        self._new_button.setFocus()

    def _texts(self, each: Reconstitution) -> list[str]:
        written = self._context.catalogue.written
        product = f"{each.product}, {each.strength}" if each.strength else each.product
        with_ = self._context.text(f"{AREA}.with", volume=each.volume, diluent=each.diluent)
        days = (written(each.at), written(each.use_by))
        return [
            days[0],
            product,
            each.maker_lot,
            with_,
            days[1],
            each.person,
            each.order,
            each.by_label,
        ]

    def _ask(self) -> None:
        volume = understanding.amount(self._context, Dimension.VOLUME, Dimension.MASS)
        fields = (
            FormField("product", required=True),
            FormField("strength"),
            FormField("maker_lot", required=True),
            FormField("expiry", understand=_last_day, required=True, hint=True),
            FormField("diluent", required=True),
            FormField("volume", understand=volume, required=True),
            FormField("use_by", understand=typed_day, required=True),
            FormField("by_label", required=True, hint=True),
            FormField("order"),
        )
        words = self._context.text(f"{AREA}.keep")
        heading = self._context.text(f"{AREA}.new")
        self.question.ask(heading, words, AREA, fields, self._keep)

    def _keep(self, values: dict[str, str]) -> None:
        sign = self._context.house.decimal_sign

        def keep(desk: Desk) -> Reconstitution:
            said = MadeUp(
                product=values["product"],
                maker_lot=values["maker_lot"],
                expiry=parse_expiry(values["expiry"]).last_day,
                diluent=values["diluent"],
                volume=parse_amount(values["volume"], sign),
                use_by=day_of(values["use_by"]),
                by_label=values["by_label"],
                strength=values["strength"],
                order=values["order"],
            )
            return reconstitute(desk, said)

        self._context.do(keep, self._kept)

    def _kept(self, made: Reconstitution) -> None:
        self.question.ask_nothing()
        self._context.say.tell(f"{AREA}.kept", product=made.product, use_by=made.use_by)
        self.begin()

    def _step_back(self) -> None:
        if self.question.asking:
            self.question.ask_nothing()
            self._take_focus()
        else:
            self.left.emit()


def _last_day(text: str) -> Meaning:
    """Take the day or month on a pack, and say its last day."""
    return Meaning(message("ui_forms.that_is", day=parse_expiry(text).last_day))
