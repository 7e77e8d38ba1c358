"""A recall: one lot number is entered, what it would freeze is shown, and then it is signed."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.verbs.read_trace import Foreseen, foresee_recall
from formulary.verbs.recall_lot import recall_lot
from ui.context import Context, Topic
from ui.forms.facts import Facts
from ui.forms.fields import YES, FormField, Kind
from ui.forms.form import Form
from ui.forms.leaf import leaf
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.recall"
_FIELDS = (
    FormField("number", required=True, hint=True),
    FormField("reason", required=True),
    FormField("practice", Kind.FLAG, hint=True),
)
MOST_NAMED = 12


class RecallForm(QWidget):
    """Begins a recall; ``begun`` when there is one, ``calls_wanted`` for those there are."""

    left = Signal()
    begun = Signal()
    calls_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._foreseen: Foreseen | None = None
        text = context.text
        self.form = Form(context, AREA, _FIELDS)
        self.freezes = label(text(f"{AREA}.freezes"), "heading")
        self.facts = Facts()
        self.recall = action(self, text(f"{AREA}.do"), "Ctrl+Return", self._recall)
        self.calls = action(self, text(f"{AREA}.calls"), "Ctrl+E", self.calls_wanted.emit)
        self.back = action(self, text("ui_register.back"), "Esc", self.left.emit)
        row = FlowLayout()
        row.addWidget(button(self.recall, accent=True))
        for made in (self.calls, self.back):
            row.addWidget(button(made))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        box.addWidget(label(text(f"{AREA}.open"), "title"))
        for part in (self.form, self.freezes, self.facts):
            box.addWidget(part)
        box.addLayout(row)
        box.addStretch()
        self.form.entered("number").connect(self._look)
        self.form.entered("reason").connect(self._recall)
        self.form.edited.connect(self._edited)

    def begin(self) -> None:
        """Begin with an empty form."""
        self.form.show_values({})
        self._foresee(None)
        self.form.inputs["number"].setFocus()

    def _edited(self) -> None:
        """Forget what was foreseen of another number."""
        typed = self.form.values()["number"].strip()
        if self._foreseen is not None and typed != self._foreseen.number:
            self._foresee(None)

    def _look(self) -> None:
        """Show what a recall of the number would freeze, and go on with the reason."""
        number = self.form.values()["number"]
        self._context.do(
            lambda desk: foresee_recall(desk.store, number),
            self._arrived,
            failed=self._not_found,
            lane="register.recall",
        )

    def _arrived(self, found: Foreseen) -> None:
        self.form.show_values(self.form.values() | {"number": found.number})
        self._foresee(found)
        self.form.inputs["reason"].setFocus()

    def _not_found(self, trouble: FormularyError) -> None:
        self._foresee(None)
        self.form.show_trouble("number", trouble.message)

    def _foresee(self, found: Foreseen | None) -> None:
        self._foreseen = found
        self.freezes.setVisible(found is not None)
        self.facts.show_facts(self._facts(found) if found is not None else ())
        self.facts.setVisible(found is not None)
        self.recall.setEnabled(found is not None)

    def _facts(self, found: Foreseen) -> list[tuple[str, str]]:
        text, reach = self._context.text, found.reach
        return [
            (text(f"{AREA}.lots"), text(f"{AREA}.lots_said", n=found.lots)),
            (text(f"{AREA}.containers"), str(len(reach.containers))),
            (text(f"{AREA}.open_work"), self._named(found, reach.open_work)),
            (text(f"{AREA}.made"), self._named(found, reach.made)),
            (text(f"{AREA}.shelf"), str(len(reach.shelf_jars))),
            (text(f"{AREA}.to_call"), str(found.to_call)),
        ]

    def _named(self, found: Foreseen, ids: tuple[str, ...]) -> str:
        names = sorted(found.names.get(each, each) for each in ids)
        shown = ", ".join(names[:MOST_NAMED])
        if len(names) > MOST_NAMED:
            more = len(names) - MOST_NAMED
            return self._context.text(f"{AREA}.and_more", shown=shown, n=more)
        return shown or self._context.text(f"{AREA}.none")

    def _recall(self) -> None:
        found = self._foreseen
        if found is None:
            self._look()
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            return
        said = self.form.values()
        practice = said["practice"] == YES
        self._context.sign(
            "recall_lot",
            self._context.text(f"{AREA}.signing", lot=found.number),
            lambda desk, pin: recall_lot(
                desk, found.number, pin, said["reason"], practice=practice
            ),
            lambda _: self.begun.emit(),
            changes=(Topic.STOCK, Topic.PREPARATIONS),
        )
