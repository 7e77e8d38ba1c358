"""The acts beside the next thing, behind one button and each under its own keys."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from formulary.bench.state import State
from ui.bench.acts import ACTS, BenchAct
from ui.context import Context
from ui.widgets.menu_button import MenuButton
from ui.widgets.words import action

KEYS = "Ctrl+."


class ActMenu(QWidget):
    """Makes the acts of a page; ``wanted`` tells which one is to be asked for."""

    wanted = Signal(object)

    def __init__(self, context: Context, page: QWidget) -> None:
        super().__init__(page)
        self.hide()
        self.menu = MenuButton(page, context.text("ui_bench.acts"), KEYS)
        self.actions_by_name: dict[str, QAction] = {}
        for act in ACTS:
            words = context.text(f"ui_bench.act.{act.name}")
            made = action(page, words, act.keys, self._teller(act))
            self.actions_by_name[act.name] = made
            self.menu.add(made)

    def offer(self, state: State | None) -> None:
        """Offer what makes sense now."""
        for act in ACTS:
            fits = state is not None and act.fits(state)
            self.actions_by_name[act.name].setVisible(fits)
            self.actions_by_name[act.name].setEnabled(fits)
        self.menu.open.setEnabled(state is not None)

    def _teller(self, act: BenchAct) -> Callable[[], None]:
        return lambda: self.wanted.emit(act)
