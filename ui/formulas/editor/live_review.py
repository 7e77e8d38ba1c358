"""The review as one types: on the worker, and only of what was typed last."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from formulary.formula.content import Content
from formulary.verbs.review_formula import Basis
from ui.context import Context
from ui.formulas.editor.checking import Check

LANE = "review"


class LiveReview(QObject):
    """Reviews what the editor holds; ``found`` brings the findings of the newest question."""

    found = Signal(object)

    def __init__(self, context: Context, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._basis: Basis | None = None

    def begin(self, basis: Basis) -> None:
        """Review by what the house knows of this formula from now on."""
        self._basis = basis

    def ask(self, check: Check) -> None:
        """Review the content as far as it could be read; nothing written, nothing to review."""
        basis, content = self._basis, check.content
        if basis is None or not any(line.ingredient for line in content.lines):
            self.found.emit(())
            return
        self._context.operations.start(
            lambda: _reviewed(basis, content), self.found.emit, lane=LANE
        )


def _reviewed(basis: Basis, content: Content) -> object:
    return basis.review(content)
