"""Help and the sheet of keys: a panel over the page's right side; Esc puts it away."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QTextBrowser, QVBoxLayout, QWidget

from formulary.catalogue import ENGLISH
from formulary.resources import resource_path
from ui import theme
from ui.context import Context
from ui.widgets.words import action, button, label, spaced

WIDTH = 480


class HelpViewer(QWidget):
    """Shows a help page or the keys of the page in view, over its right side."""

    def __init__(self, context: Context, over: QWidget) -> None:
        super().__init__(over)
        self._over = over
        self.setObjectName("overlay")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._before: QWidget | None = None
        self._title: QLabel = label(role="heading")
        self.text = QTextBrowser(openExternalLinks=False, openLinks=False)
        self.text.setAccessibleName(context.text("ui.help.name"))
        close = action(self, context.text("ui.help.close"), "Esc", self.put_away)
        top = QHBoxLayout()
        top.addWidget(self._title, 1)
        top.addWidget(button(close))
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        box.addLayout(top)
        box.addWidget(self.text)
        over.installEventFilter(self)
        self.hide()

    def show_help(self, name: str, first: str = "") -> None:
        """Show a help page by the name of its file, in the interface's language or English.

        ``first`` is Markdown on what is in view, which stands before the page.
        """
        path = resource_path("help", self._context.catalogue.language, f"{name}.md")
        if not path.is_file():
            path = resource_path("help", ENGLISH, f"{name}.md")
        pages = (each for each in (first, path.read_text(encoding="utf-8")) if each)
        self.text.setMarkdown("\n\n---\n\n".join(pages))
        self._open(self._context.text("ui.help.title"))

    def show_keys(self, actions: Iterable[QAction]) -> None:
        """Show the keys of these actions."""
        rows = "".join(_row(each) for each in _listed(actions))
        self.text.setHtml(f"<table cellspacing='0' cellpadding='{theme.px(4)}'>{rows}</table>")
        self._open(self._context.text("ui.help.keys_title"))

    def put_away(self) -> None:
        """Hide, and give the focus back to where it was."""
        self.hide()
        if self._before is not None:
            self._before.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay at the right side of what this lies over."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._settle()
        return super().eventFilter(watched, event)

    def _open(self, title: str) -> None:
        if not self.isVisible():
            self._before = self.window().focusWidget()
        self._title.setText(title)
        self._settle()
        self.show()
        self.raise_()
        self.text.setFocus()

    def _settle(self) -> None:
        over = self._over
        width = min(theme.px(WIDTH), over.width())
        self.setGeometry(over.width() - width, 0, width, over.height())


def _listed(actions: Iterable[QAction]) -> list[QAction]:
    """Return the actions that can be done now by keys, each of its words once."""
    able = [each for each in actions if each.isEnabled() and not each.shortcut().isEmpty()]
    return list({each.text(): each for each in able}.values())


def _row(action: QAction) -> str:
    native = QKeySequence.SequenceFormat.NativeText
    keys = " / ".join(each.toString(native) for each in action.shortcuts())
    return f"<tr><td><b>{escape(keys)}</b></td><td>{escape(action.text())}</td></tr>"
