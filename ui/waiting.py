"""What is painted first: the page of formulas before the store and most of the trade is loaded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from ui import theme
from ui.context import Context
from ui.widgets.words import spaced

if TYPE_CHECKING:
    from formulary.store import Hit

INDEX_WIDTH, PANEL_WIDTH = 280, 400


class WaitingPage(QWidget):
    """An empty index, leaf and panel, with the search field ready: what is typed isn't lost."""

    help_page = "formulas"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.search = QLineEdit()
        self.search.setAccessibleName(context.text("ui.search_name"))
        self.search.setPlaceholderText(context.text("ui.search_example"))
        self.search.setFixedWidth(theme.px(INDEX_WIDTH - 16))
        box = QVBoxLayout(self)
        spaced(box, inside=0)
        box.addWidget(self._strip())
        row = QHBoxLayout()
        spaced(row, inside=0)
        self._index = _ground("index", INDEX_WIDTH)
        row.addWidget(self._index)
        row.addWidget(_ground("leaf"), 1)
        row.addWidget(_ground("panel", PANEL_WIDTH))
        box.addLayout(row, 1)

    def shown(self) -> None:
        """Come to the front."""
        self.search.setFocus()

    def take(self, subject: object) -> None:
        """Nothing can be shown yet."""

    def show_list(self, hits: Sequence[Hit]) -> None:
        """Show the first formulas with how they are kept, while the store is being opened."""
        from ui.formulas.index_model import IndexModel
        from ui.formulas.index_view import IndexView
        from ui.formulas.reading import Entry

        model = IndexModel(self._context, self)
        model.show_entries(
            [Entry(hit.formula_id, hit.title, hit.code, hit, unconfirmed=False) for hit in hits]
        )
        index = IndexView(self._context.text("ui_formulas.index.name"))
        index.setModel(model)
        index.setObjectName("index")
        box = QVBoxLayout(self._index)
        spaced(box, inside=0)
        box.addWidget(index)

    def _strip(self) -> QWidget:
        strip = _ground("header")
        row = QHBoxLayout(strip)
        spaced(row, around=8)
        row.addWidget(self.search)
        row.addStretch(1)
        return strip


def _ground(name: str, width: float = 0) -> QWidget:
    ground = QWidget()
    ground.setObjectName(name)
    ground.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    if width:
        ground.setFixedWidth(theme.px(width))
    return ground
