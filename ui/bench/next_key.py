"""Where the next key goes at the bench: the one place that gives the focus to the thing to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

if TYPE_CHECKING:
    from ui.bench.page import BenchPage


class NextKey(QObject):
    """Keeps the focus on what the thing in view asks for.

    It is given when a thing comes into view, when an act's answer comes back, and when the widget
    that had it is gone. Whoever types into the search meanwhile isn't torn away from there.
    """

    def __init__(self, page: BenchPage) -> None:
        super().__init__(page)
        self._page = page
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._changed)

    @property
    def wanted(self) -> QWidget:
        """What the next key belongs to: the thing to do, else the search for one."""
        page = self._page
        return page.view.wanted if page.course.doing.work is not None else page.work_list.search

    def give(self) -> None:
        """Give the focus to what is wanted now; a text that stands there is selected."""
        if not self._page.bench.isVisibleTo(self._page) or self._is_searching():
            return
        wanted = self.wanted
        wanted.setFocus()
        line = wanted.focusProxy() or wanted
        # What was typed is gone on with, what is proposed is typed over.
        if isinstance(line, QLineEdit) and not line.isModified():
            line.selectAll()
        self._page.bring_into_view()

    def keep(self) -> None:
        """Leave the focus in the thing to do where it is there, else give it."""
        if not self._goes_on(self._page.focusWidget()):
            self.give()

    def _goes_on(self, inside: QWidget | None) -> bool:
        """Give the focus back to what had it last, if that is part of the thing to do."""
        if inside is None or not self._page.view.isAncestorOf(inside) or inside.isHidden():
            return False
        inside.setFocus()
        return True

    def _is_searching(self) -> bool:
        search = self._page.work_list.search
        return search is self._page.window().focusWidget() and bool(search.text())

    def _changed(self, _before: QWidget | None, now: QWidget | None) -> None:
        if now is None:
            QTimer.singleShot(0, self, self._mend)

    def _mend(self) -> None:
        """Give the focus anew where the window is active and nothing in it has the focus."""
        page = self._page
        if page.bench.isVisible() and page.isActiveWindow() and QApplication.focusWidget() is None:
            self.give()
