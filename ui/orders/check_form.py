"""The plausibility check: each item with what is known, an opinion, and the PIN under all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.formula.version import State, Version
from formulary.messages import Message, message
from formulary.orders.blocking import subject_of
from formulary.orders.order import Order
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.orders.plausibility import said as item_said
from formulary.orders.prepared import Prepared, prepare, with_reviewed
from formulary.roles import MAY
from formulary.verbs.date_preparation import date_as_signed
from formulary.verbs.dose_limits import dose_limits
from formulary.verbs.look_up_order import OrderSeen
from formulary.verbs.review_formula import review_version
from formulary.verbs.sign_plausibility import sign_plausibility
from formulary.verbs.view_patient import view_patient
from ui import theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.forms.signed_text import SignedText
from ui.orders.order_model import AREA
from ui.sign_in.countersign import countersign
from ui.signs import Sign
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

VERB = "sign_plausibility"


@dataclass(frozen=True, slots=True)
class _Opened:
    """An order to check, and what is known to each item."""

    seen: OrderSeen
    prepared: tuple[Prepared, ...]


class ItemPart(QWidget):
    """One item: its facts, the program's doubts, and what the pharmacist thinks of it."""

    def __init__(self, context: Context, prepared: Prepared, before: Judged | None = None) -> None:
        super().__init__()
        self.item = prepared.item
        said = context.said
        facts = label("\n".join(said(each) for each in prepared.facts))
        doubts = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.opinion = Form(context, AREA, (_opinion_field(context),))
        self.doubt = Form(context, AREA, (FormField("note"), FormField("decision", hint=True)))
        note = " ".join(said(each) for each in prepared.doubts)
        opinion = Opinion.DOUBTFUL if prepared.doubts else Opinion.OK
        proposed = Judged(prepared.item, opinion, note)
        # What was signed answers no doubt that came up since.
        shown = before if before is not None and note in before.note else proposed
        self.opinion.show_values({"opinion": shown.opinion.value})
        self.doubt.show_values({"note": shown.note, "decision": shown.decision})
        box = QVBoxLayout(self)
        spaced(box, inside=4)
        name = said(item_said(prepared.item))
        box.addWidget(label(name[:1].upper() + name[1:], "heading"))
        for part in (facts, doubts, self.opinion, self.doubt):
            box.addWidget(part)
        # Only now, since what is shown without a parent is a window of its own.
        facts.setVisible(bool(prepared.facts))
        doubts.say([said(each) for each in prepared.doubts])
        for field, made in (self.opinion.inputs | self.doubt.inputs).items():
            own = context.text(f"{AREA}.field.{field}")
            called = context.text(f"{AREA}.of_item", item=name, field=own)
            _innermost(made).setAccessibleName(called)
        self.opinion.edited.connect(self._show_doubt)
        self._show_doubt()

    def judged(self) -> Judged:
        """Return the item as it is judged."""
        opinion = Opinion(self.opinion.values()["opinion"])
        if opinion is Opinion.OK:
            return Judged(self.item, opinion)
        values = self.doubt.values()
        return Judged(self.item, opinion, values["note"].strip(), values["decision"].strip())

    def _show_doubt(self) -> None:
        """Ask what is doubtful, and what was decided, only where something is."""
        self.doubt.setVisible(self.opinion.values()["opinion"] == Opinion.DOUBTFUL.value)


class CheckForm(QWidget):
    """Shows what the program knows and takes the judgement; ``signed`` tells the order's id."""

    signed = Signal(str)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: OrderSeen | None = None
        self.parts: list[ItemPart] = []
        self._left_open: frozenset[Item] = frozenset()
        text = context.text
        self.title = label(role="title")
        self.who_signs = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.sign = action(self, text(f"{AREA}.sign"), "Ctrl+S", self._sign)
        self.back = action(self, text(f"{AREA}.back"), "Esc", self.left.emit)
        self._lay_out()

    def begin(self, seen: OrderSeen) -> None:
        """Check an order; that its patient is looked at goes on record."""
        self._context.do(lambda desk: _open(desk, seen), self._arrived, failed=self._not_opened)

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside), 1)
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        self._items = QVBoxLayout()
        spaced(self._items, inside=12)
        bar = QWidget()
        around = QVBoxLayout(bar)
        margin = theme.px(24)
        around.setContentsMargins(margin, theme.px(12), margin, theme.px(12))
        row = FlowLayout(gap=12)
        around.addLayout(row)
        self._sign_button = button(self.sign, accent=True)
        self._sign_button.setAutoDefault(True)
        row.addWidget(self._sign_button)
        self._back_button = button(self.back)
        row.addWidget(self._back_button)
        box.addWidget(self.title)
        box.addWidget(label(self._context.text(f"{AREA}.check_hint"), "note"))
        box.addWidget(self.who_signs)
        box.addLayout(self._items)
        box.addStretch(1)
        whole.addWidget(hairline())
        whole.addWidget(bar)

    def _arrived(self, opened: _Opened) -> None:
        self._seen = opened.seen
        version = opened.seen.version
        title = version.content.title if version is not None else ""
        number = opened.seen.order.number
        self.title.setText(self._context.text(f"{AREA}.check_title", number=number, title=title))
        while (item := self._items.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        before = _signed_before(opened.seen)
        self.parts = [
            ItemPart(self._context, each, before.get(each.item)) for each in opened.prepared
        ]
        self._left_open = frozenset()
        for part in self.parts:
            self._items.addWidget(hairline())
            self._items.addWidget(part)
            part.show()
        self._order_tabs()
        signs_here = self._context.desk.person.post in MAY[VERB]
        self.who_signs.say([] if signs_here else [self._context.text(f"{AREA}.who_checks")])
        self.parts[0].opinion.inputs["opinion"].setFocus()

    def _order_tabs(self) -> None:
        """Let Tab go through the items in their order, then to the signature."""
        forms = (form for part in self.parts for form in (part.opinion, part.doubt))
        fields = [_innermost(stop) for form in forms for stop in form.stops()]
        stops = (*fields, self._sign_button, self._back_button)
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)

    def _sign(self) -> None:
        seen = self._seen
        if seen is None:
            return
        for part in self.parts:
            judged = part.judged()
            if judged.opinion is Opinion.DOUBTFUL and not judged.note:
                missing = message("orders.check.no_note", item=item_said(part.item))
                part.doubt.show_trouble("note", missing)
                self._context.say.refuse(missing)
                return
        judged_all = tuple(part.judged() for part in self.parts)
        if self._asks_to_decide():
            return
        order = seen.order

        def sign(desk: Desk, pin: str, alone_because: str = "") -> Order:
            reason, known = alone_because, order.revision
            return sign_plausibility(
                desk, order.id, judged_all, pin, alone_because=reason, seen=known
            )

        def signed(_: Order) -> None:
            self._signed(order.id, order.number)

        context, changes = self._context, (Topic.ORDERS,)
        meaning = context.text(f"{AREA}.signing", number=order.number)
        me = context.desk.person.id
        if _composed_by(seen.version, me):
            countersign(
                context,
                meaning,
                VERB,
                lambda desk, by: sign(desk, by.pin, by.alone_because),
                signed,
                alone=(me,),
                changes=changes,
            )
        else:
            context.sign(VERB, meaning, sign, signed, changes=changes)

    def _asks_to_decide(self) -> bool:
        """Point once to doubts without a decision; signed again they are left open on purpose."""
        undecided = [part for part in self.parts if part.judged().is_undecided]
        left_open = frozenset(part.item for part in undecided)
        if left_open <= self._left_open:
            return False
        self._left_open = left_open
        undecided[0].doubt.inputs["decision"].setFocus()
        items = tuple(item_said(part.item) for part in undecided)
        self._context.say.refuse(message("orders.check.undecided", items=items))
        return True

    def _signed(self, order_id: str, number: str) -> None:
        self._context.say.tell(f"{AREA}.signed", number=number)
        self.signed.emit(order_id)

    def _not_opened(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        self.left.emit()


def _signed_before(seen: OrderSeen) -> dict[Item, Judged]:
    """Return what was signed last of just this order, so that nothing is typed anew."""
    if seen.version is None or not seen.order.checks:
        return {}
    last = seen.order.checks[-1]
    if last.subject != subject_of(seen.order, content_hash(seen.version.content)):
        return {}
    return {each.item: each for each in last.judged}


def _composed_by(version: Version | None, person_id: str) -> bool:
    """Tell whether somebody composed the one-off that is checked: they sign it only alone."""
    draft = version is not None and version.state is State.DRAFT
    return draft and version is not None and version.written_by(person_id)


def _opinion_field(context: Context) -> FormField:
    def opinions() -> Sequence[tuple[str, str]]:
        return [(context.text(f"orders.opinion.{each.value}"), each.value) for each in Opinion]

    return FormField("opinion", Kind.CHOICE, choices=opinions)


def _innermost(widget: QWidget) -> QWidget:
    """Return what takes the focus for a widget."""
    proxy = widget.focusProxy()
    return widget if proxy is None else _innermost(proxy)


def _open(desk: Desk, seen: OrderSeen) -> _Opened:
    people = view_patient(desk, seen.order.id)
    if seen.version is None:
        return _Opened(seen, ())
    content, today = seen.version.content, desk.today
    lasts = date_as_signed(desk.house, content, today)
    limits = dose_limits(desk.store, content)
    found = _reviewed(desk, seen.version)
    known = prepare(seen.order, content, today, people.details, lasts, limits)
    return _Opened(seen, with_reviewed(known, found))


def _reviewed(desk: Desk, version: Version) -> tuple[Message, ...]:
    """Return what the check of a one-off has to answer, before anybody signs."""
    if not version.order_id or version.state is not State.DRAFT:
        return ()
    return tuple(each.said for each in review_version(desk, version).open)
