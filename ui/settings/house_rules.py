"""The section of Settings with the house's own rules for the review, each signed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from formulary.catalogue import keys_under
from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.finding import Severity
from formulary.ids import new_id
from formulary.messages import message
from formulary.review.house_rules import HouseRule
from formulary.verbs.review_formula import add_house_rule, end_house_rule, standing_rules
from ui import theme
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_settings.rules"
_RULES = "review.rule"
_HEIGHT = 160
_FIELD_OF = {
    "review.house.one_thing": "sentence",
    "review.house.no_substance": "substances",
    "review.house.no_reason": "because",
}


class HouseRulesPanel(QWidget):
    """Lists the rules that stand; adds one, or takes one back, under a signature."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.rules: tuple[HouseRule, ...] = ()
        self.listed = QListWidget()
        self.listed.setAccessibleName(context.text(f"{AREA}.listed"))
        self.listed.setWordWrap(True)
        self.listed.setMinimumHeight(theme.px(_HEIGHT))
        self.form = Form(context, AREA, self._fields())
        text = context.text
        self.add = action(self, text(f"{AREA}.add"), "Ctrl+Return", self._add)
        self.end = action(self, text(f"{AREA}.end"), "", self._end)
        self._lay_out()
        self.listed.currentRowChanged.connect(lambda row: self.end.setEnabled(row >= 0))
        self.end.setEnabled(False)

    def read(self) -> None:
        """Read the rules that stand."""
        self._context.do(lambda desk: standing_rules(desk.store), self._show, lane="settings.rules")

    def _fields(self) -> tuple[FormField, ...]:
        return (
            FormField("silences", Kind.CHOICE, choices=self._rule_names),
            FormField("sentence", hint=True),
            FormField("substances", Kind.TEXT, hint=True),
            FormField("severity", Kind.CHOICE, choices=self._severities),
            FormField("citation"),
            FormField("because", hint=True),
        )

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        box.addWidget(self.listed, 0, Qt.AlignmentFlag.AlignTop)
        box.addWidget(_pressed_by_enter(self.end), 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(label(self._context.text(f"{AREA}.new"), "heading"))
        box.addWidget(self.form)
        row = FlowLayout()
        row.addWidget(_pressed_by_enter(self.add))
        box.addLayout(row)

    def _rule_names(self) -> Sequence[tuple[str, str]]:
        nothing = (self._context.text(f"{AREA}.adds"), "")
        names = [
            (self._context.text(f"{AREA}.silences", rule=message(key)), key.rpartition(".")[2])
            for key in keys_under(_RULES)
        ]
        return [nothing, *sorted(names)]

    def _severities(self) -> Sequence[tuple[str, str]]:
        return [
            (self._context.text(f"ui.severity.{each.name.lower()}"), each.value)
            for each in (Severity.REASON, Severity.NOTE, Severity.STOP)
        ]

    def _show(self, rules: tuple[HouseRule, ...]) -> None:
        self.rules = rules
        self.listed.clear()
        for each in rules:
            self.listed.addItem(QListWidgetItem(self._said(each)))
        self.end.setEnabled(False)

    def _said(self, rule: HouseRule) -> str:
        what = message(f"{AREA}.adds_it", sentence=rule.sentence)
        if rule.silences:
            what = message(f"{AREA}.is_silent", rule=message(f"{_RULES}.{rule.silences}"))
        parts = [self._context.said(what)]
        if rule.substances:
            parts.append(self._context.text(f"{AREA}.with", substances=rule.substances))
        if not rule.silences:
            parts.append(self._context.text(f"ui.severity.{rule.severity.name.lower()}"))
        if rule.citation:
            parts.append(self._context.text(f"{AREA}.source", source=rule.citation))
        return f"{'; '.join(parts)}. {self._why(rule)}"

    def _why(self, rule: HouseRule) -> str:
        by = rule.signature
        return self._context.text(
            f"{AREA}.because",
            because=rule.because,
            person=by.person if by is not None else "",
            date=by.at.date() if by is not None else "",
        )

    def _add(self) -> None:
        try:
            rule = self._typed()
        except FormularyError as trouble:
            field = _FIELD_OF.get(trouble.message.key)
            if field is None:
                self._context.say.refuse(trouble)
            else:
                self.form.show_trouble(field, trouble.message)
            return
        self._sign("add_house_rule", lambda desk, pin: add_house_rule(desk, rule, pin))

    def _typed(self) -> HouseRule:
        typed = self.form.values()
        lines = (line.strip() for line in typed["substances"].splitlines())
        return HouseRule(
            new_id(),
            typed["because"].strip(),
            tuple(filter(None, lines)),
            typed["silences"],
            Severity(typed["severity"] or Severity.REASON.value),
            typed["sentence"].strip(),
            typed["citation"].strip(),
        )

    def _end(self) -> None:
        row = self.listed.currentRow()
        why = self.form.values()["because"].strip()
        if not 0 <= row < len(self.rules):
            return
        if not why:
            self.form.show_trouble("because", message("review.house.no_reason_to_end"))
            return
        ended = self.rules[row].id
        self._sign("end_house_rule", lambda desk, pin: end_house_rule(desk, ended, why, pin))

    def _sign(self, verb: str, act: Callable[[Desk, str], HouseRule]) -> None:
        meaning = self._context.text(f"{AREA}.signs.{verb}")
        self._context.sign(verb, meaning, act, lambda _: self._done(), changes=(Topic.FORMULAS,))

    def _done(self) -> None:
        self.form.show_values({})
        self.read()


def _pressed_by_enter(act: QAction) -> QPushButton:
    made = button(act)
    made.setAutoDefault(True)
    return made
