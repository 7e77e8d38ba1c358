"""Editing a formula from its beginning to its confirmation, with the draft kept all the while."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from formulary.desk import Desk
from formulary.drafts import Draft
from formulary.errors import FormularyError
from formulary.finding import Finding
from formulary.formula.fields_of import fields_of
from formulary.formula.version import State, Version
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.verbs.review_formula import Basis, basis_of
from formulary.verbs.write_version import write_version
from ui.context import Context, Topic
from ui.formulas.editor.checking import place_in_form
from ui.formulas.editor.confirm_panel import ConfirmPanel
from ui.formulas.editor.draft_keeper import DraftKeeper
from ui.formulas.editor.editor import Editor
from ui.formulas.editor.live_review import LiveReview
from ui.formulas.editor.tables import AREA
from ui.formulas.reading import Shown, fields_kept
from ui.widgets.quantity_edit import QuantityEdit

Ingredients = tuple[Ingredient, ...]


@dataclass(frozen=True, slots=True)
class _Edited:
    """What is edited: the formula's id and its newest version, if it has one."""

    formula_id: str
    newest: Version | None

    @property
    def needs_reason(self) -> bool:
        """Whether confirming makes a further version."""
        return self.newest is not None and self.newest.state is not State.DRAFT


class Session(QObject):
    """Brings editor, confirm panel and draft keeper together.

    ``ended`` names the formula, nothing where none is left of it.
    """

    ended = Signal(str)

    def __init__(self, context: Context, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._edited = _Edited("", None)
        self.active = False
        self.editor = Editor(context)
        self.panel = ConfirmPanel(context)
        self.keeper = DraftKeeper(context, self)
        self.live = LiveReview(context, self)
        self._connect()

    def edit(self, shown: Shown) -> None:
        """Edit the formula in view: its open draft if it has one, else its newest version."""
        sign = self._context.house.decimal_sign
        newest, draft = shown.newest, shown.draft
        fields = fields_kept(draft) if draft else {}
        if draft is None and newest is not None:
            fields = fields_of(newest.content, sign)
        based_on = draft.based_on if draft else newest.id if newest else ""
        self._begin(_Edited(shown.formula_id, newest), fields, based_on, draft)

    def new(self) -> None:
        """Begin a formula that isn't there yet."""
        self._begin(_Edited(new_id(), None), {"format": 1, "ingredient": [{}]}, "", None)

    def close(self) -> None:
        """End editing; what changed stays as an open draft."""
        self.keeper.keep()
        self._end()
        self._context.operations.start(
            lambda: None, lambda _: self._context.tell_changed(Topic.DRAFTS)
        )

    def _connect(self) -> None:
        self.editor.changed.connect(self._changed)
        self.keeper.kept.connect(lambda: self._say_state("kept"))
        self.panel.confirm_wanted.connect(self._confirm)
        self.panel.discard_wanted.connect(self._discard)
        self.panel.close_wanted.connect(self.close)
        self.panel.trouble_wanted.connect(self._go_to_trouble)
        self.panel.findings.wanted.connect(self.editor.go_to)
        self.live.found.connect(self._show_review)
        self.panel.undo_wanted.connect(self.editor.undo)
        self.panel.redo_wanted.connect(self.editor.redo)

    def _begin(
        self, edited: _Edited, fields: dict[str, Any], based_on: str, draft: Draft | None
    ) -> None:
        self._edited = edited
        self.active = True
        self.keeper.begin(edited.formula_id, based_on, draft.revision if draft else 0)
        self.panel.begin(new=edited.newest is None)
        self._say_state("kept" if draft else "unchanged")

        def read(desk: Desk) -> tuple[Ingredients, Basis]:
            basis = basis_of(desk, edited.formula_id, edited.newest)
            return basis.facts.ingredients, basis

        def arrived(found: tuple[Ingredients, Basis]) -> None:
            known, basis = found
            self.live.begin(basis)
            self.editor.begin(fields, known)
            self._show_check()
            self.editor.focus_first()

        self._context.do(read, arrived)

    def _changed(self) -> None:
        self.keeper.change(self.editor.history.now)
        self.panel.calm_down()
        self._say_state("unkept")
        self._show_check()

    def _show_check(self) -> None:
        check, history = self.editor.check, self.editor.history
        self.panel.show_check(check)
        self.live.ask(check)
        self.panel.show_steps(undo=history.can_undo, redo=history.can_redo)

    def _show_review(self, findings: tuple[Finding, ...]) -> None:
        """Show what the review finds, at the rows as the form counts them."""
        now = self.editor.history.now
        placed = [replace(each, field=place_in_form(each.field, now)) for each in findings]
        self.panel.show_review(placed)

    def _go_to_trouble(self) -> None:
        """Go to what can't be read, else to what the review is loudest about."""
        if self.editor.troubles():
            self.editor.go_to_trouble()
        elif self.panel.loudest:
            self.editor.go_to(self.panel.loudest)

    def _say_state(self, key: str) -> None:
        self.panel.state.setText(self._context.text(f"{AREA}.{key}"))

    def _confirm(self, reason: str) -> None:
        if self._has_objections(reason):
            return
        edited, content = self._edited, self.editor.check.content
        self.keeper.keep()
        self.panel.confirm.setEnabled(False)

        def written(desk: Desk) -> Version:
            return write_version(desk, content, formula_id=edited.formula_id, reason=reason)

        self._context.do(written, self._confirmed, failed=self._not_confirmed)

    def _has_objections(self, reason: str) -> bool:
        """Say what keeps the draft from being confirmed and go there, if anything does."""
        if self._has_question():
            self._context.say.refuse(message(f"{AREA}.question_open"))
            return True
        if self.editor.troubles():
            said = message(f"{AREA}.still_wrong", n=len(self.editor.troubles()))
            self._context.say.refuse(said)
            self.editor.go_to_trouble()
            return True
        if self._edited.needs_reason and not reason:
            self._context.say.refuse(message(f"{AREA}.reason_needed"))
            self.panel.reason.setFocus()
            return True
        return False

    def _has_question(self) -> bool:
        for each in self.editor.findChildren(QuantityEdit):
            if each.meaning.question is not None and each.isVisibleTo(self.editor):
                each.line.setFocus()
                return True
        return False

    def _confirmed(self, version: Version) -> None:
        self.panel.confirm.setEnabled(True)
        self.keeper.forget()
        self._end()
        self._context.tell_changed(Topic.FORMULAS)
        self._context.say.tell(
            f"{AREA}.confirmed", title=version.content.title, number=version.number
        )

    def _not_confirmed(self, refusal: FormularyError) -> None:
        self.panel.confirm.setEnabled(True)
        self._context.say.refuse(refusal)

    def _discard(self) -> None:
        self.keeper.drop()
        self._end(there=self._edited.newest is not None)
        self._context.say.tell(f"{AREA}.discarded")

    def _end(self, *, there: bool = True) -> None:
        self.active = False
        self.ended.emit(self._edited.formula_id if there else "")
