"""What changed between a formula's versions, shown in the leaf at a key."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from formulary.desk import Desk
from formulary.formula.version import Version
from formulary.verbs.list_reviews import compare_versions, standing_before
from ui.context import Context
from ui.formulas.difference_html import Compared
from ui.formulas.leaf import Leaf
from ui.formulas.reading import Shown
from ui.widgets.words import action


class Comparison:
    """Compares the newest version with the one in use, and at each further key with an older one.

    The action ``compare`` belongs to ``owner``.
    """

    def __init__(self, context: Context, leaf: Leaf, owner: QWidget) -> None:
        self._context = context
        self._leaf = leaf
        self._shown: Shown | None = None
        self._waiting: list[Version] = []
        self.showing = False
        self.compare = action(owner, context.text("ui_formulas.compare"), "Ctrl+D", self._go_on)

    def offer(self, shown: Shown | None) -> None:
        """Offer to compare the versions of a formula, where it has two."""
        self._shown = shown
        self.showing = False
        self._waiting = _before_newest(shown)
        self.compare.setVisible(bool(self._waiting))
        self.compare.setEnabled(bool(self._waiting))

    def begin(self) -> None:
        """Compare the newest version with the one it would take the place of."""
        self.offer(self._shown)
        self._go_on()

    def close(self) -> None:
        """Show the formula again."""
        self._leaf.show_formula(self._shown)
        self.offer(self._shown)

    def _go_on(self) -> None:
        """Compare with the next older version; after the oldest the formula shows again."""
        shown = self._shown
        if shown is None or shown.newest is None:
            return
        if not self._waiting:
            self.close()
            return
        before, after = self._waiting.pop(0), shown.newest
        older = self._waiting[0].number if self._waiting else None

        def compare(desk: Desk) -> Compared:
            found = compare_versions(desk, shown.formula_id, before.number, after.number)
            return Compared(before, after, found, older)

        def arrived(compared: Compared) -> None:
            if self._shown is shown:
                self.showing = True
                self._leaf.show_difference(compared)

        self._context.do(compare, arrived, lane="formula.difference")


def _before_newest(shown: Shown | None) -> list[Version]:
    """Return what the newest version is compared with in turn."""
    first = standing_before(shown.versions) if shown is not None else None
    if shown is None or first is None:
        return []
    others = [each for each in reversed(shown.versions[:-1]) if each is not first]
    return [first, *others]
