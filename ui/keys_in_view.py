"""Keys never go to what nobody sees: a page behind the one in view, or a widget that was put away.

A page that reads again behind another one may give its own act the focus, and where the focused
widget is hidden Qt hands the focus on along the Tab chain, out of the page. Both leave whoever
types with dead keys; the focus then comes back to the page in view, to where it was last.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget
from shiboken6 import isValid


class KeysInView(QObject):
    """Watches where the focus goes in a window, and brings it back into the page in view."""

    def __init__(self, window: QWidget, pages: QStackedWidget, header: QWidget) -> None:
        super().__init__(window)
        self._window, self._pages, self._header = window, pages, header
        self._last: dict[QWidget, QWidget] = {}
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._changed)

    def _changed(self, before: QWidget | None, now: QWidget | None) -> None:
        # While the window goes, its parts go before what watches them.
        page = self._pages.currentWidget() if isValid(self._pages) else None
        if page is None:
            return
        if now is not None and page.isAncestorOf(now) and now.isVisible():
            self._last[page] = now
        elif self._went_astray(before, now):
            QTimer.singleShot(0, self, self._bring_back)

    def _went_astray(self, before: QWidget | None, now: QWidget | None) -> bool:
        """Tell whether nobody sees what has the focus, or it fell into the header by itself."""
        if now is None:
            return True
        if now.window() is not self._window:
            return False
        fell = before is not None and not (isValid(before) and before.isVisible())
        return not now.isVisible() or (fell and self._header.isAncestorOf(now))

    def _bring_back(self) -> None:
        if not isValid(self._pages) or not self._window.isActiveWindow():
            return
        page, now = self._pages.currentWidget(), QApplication.focusWidget()
        strayed = now is None or not now.isVisible() or self._header.isAncestorOf(now)
        wanted = self._wanted(page) if strayed and page is not None else None
        if wanted is not None:
            wanted.setFocus()

    def _wanted(self, page: QWidget) -> QWidget | None:
        """Return what had the focus last in a page if it is still there, else the first able to."""
        last = self._last.get(page)
        if last is not None and isValid(last) and _takes_keys(last):
            return last
        return next(filter(_takes_keys, page.findChildren(QWidget)), None)


def _takes_keys(widget: QWidget) -> bool:
    by_tab = Qt.FocusPolicy.TabFocus.value
    return widget.isVisible() and widget.isEnabled() and bool(widget.focusPolicy().value & by_tab)
