"""Columns as wide as their content, and fewer of them where the width isn't enough for all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from PySide6.QtWidgets import QHeaderView, QTableView, QTreeView

View = QTableView | QTreeView


def content_width(view: View, column: int) -> int:
    """Return the width that a column's heading and cells take."""
    view.setColumnHidden(column, False)
    return max(view.sizeHintForColumn(column), _header(view).sectionSizeHint(column))


def fit_columns(view: View, widths: Mapping[int, int], given_up: Iterable[int]) -> None:
    """Give columns their widths; the ones given up go first where the view is too narrow.

    A column that stretches needs its width, and takes what the others leave.
    """
    shown = dict(widths)
    for column in given_up:
        if sum(shown.values()) <= view.viewport().width():
            break
        shown.pop(column, None)
    for column in range(_header(view).count()):
        view.setColumnHidden(column, column not in shown)
    for column, width in shown.items():
        view.setColumnWidth(column, width)


def _header(view: View) -> QHeaderView:
    return view.header() if isinstance(view, QTreeView) else view.horizontalHeader()
