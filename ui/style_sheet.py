"""The style sheet: focus rings, edges and buttons; every value comes from the theme."""

from __future__ import annotations

from collections.abc import Mapping
from string import Template

# A list that is a window of its own is what a field offers to complete its text.
# Meanings are set as the dynamic property "role" of a widget; see ui/widgets/words.py.
_SHEET = Template("""
QWidget { color: $ink; }
QToolTip { background: $panel; color: $ink; border: 1px solid $edge; padding: $px4; }
#leaf, #paper { background: $paper; }
#panel, #header, #index { background: $panel; }
#header { border-bottom: 1px solid $hairline; }
#index { border-right: 1px solid $hairline; }
#panel { border-left: 1px solid $hairline; }
QLineEdit, QPlainTextEdit, QComboBox {
  background: $paper; border: 1px solid $edge; border-radius: 3px;
  padding: $px4 $px6; margin: 1px;
  selection-background-color: $accent; selection-color: $on_accent;
}
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus {
  border: 2px solid $accent; margin: 0;
}
QLineEdit[role="stop"], QPlainTextEdit[role="stop"] { border-color: $stop; }
QLineEdit:disabled, QPlainTextEdit:disabled, QComboBox:disabled {
  background: $panel; border-color: $hairline; color: $quiet; }
QComboBox::drop-down { border: 0; width: $px24; }
QComboBox QAbstractItemView { background: $paper; border: 1px solid $edge; }
QPushButton {
  background: $paper; border: 1px solid $edge; border-radius: 3px;
  padding: $px6 $px12; margin: 1px;
}
QPushButton:hover { background: $panel; border-color: $ink; }
QPushButton:focus { border: 2px solid $accent; margin: 0; }
QPushButton:disabled { color: $quiet; border-color: $hairline; background: transparent; }
QPushButton[role="accent"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[role="accent"]:focus { border: 2px solid $ink; }
QPushButton[role="accent"]:disabled { background: transparent; color: $quiet;
  border-color: $hairline; }
QPushButton[role="word"] {
  background: transparent; border: 0; border-bottom: 2px solid transparent; border-radius: 0;
  padding: $px8 $px8 $px6 $px8; margin: 2px;
}
QPushButton[role="word"]:hover { border-bottom: 2px solid $edge; }
QPushButton[role="word"]:checked { border-bottom: 2px solid $accent; color: $accent; }
QPushButton[role="word"]:focus { border: 2px solid $accent; margin: 0 0 2px 0; }
QLabel[role="note"], QCheckBox[role="note"] { font-size: $note; color: $quiet; }
QLabel[role="quiet"] { color: $quiet; }
QLabel[role="heading"] { font-size: $heading; font-weight: 600; }
QLabel[role="title"] { font-size: $title; }
QPlainTextEdit[role="told"] { background: transparent; border: 2px solid transparent; padding: 0; }
QPlainTextEdit[role="told"]:focus { border-color: $accent; }
QLabel[role="task"] { font-size: $task; }
QLabel[role="figure"] { font-size: $figure; font-weight: 600; }
#task QLabel[role=""], #task QLabel[role="thought"], #task QLabel[role="stop"],
#task QLabel[role="inside"] { font-size: $heading; }
#task QLineEdit, #task QComboBox { font-size: $title; padding: $px6 $px8; }
#task QPushButton { min-height: $px36; }
#task QPushButton[role="accent"] { font-size: $heading; }
QLabel[role="stop"], QLabel[role="stop_task"] { color: $stop; }
QLabel[role="stop_task"] { font-size: $task; }
QLabel[role="thought"] { color: $thought; }
QLabel[role="inside"] { color: $inside; }
QLabel[role="accent"] { color: $accent; }
QFrame[role="hairline"] { background: $hairline; border: 0; max-height: 1px; min-height: 1px; }
#refusals { background: $panel; border-top: 2px solid $stop; }
#quiet_line { background: $panel; border-top: 1px solid $hairline; }
#overlay { background: $panel; border-left: 2px solid $edge; }
QCheckBox { spacing: $px8; padding: $px4; border: 2px solid transparent; }
QCheckBox::indicator, QListView::indicator, QTableView::indicator {
  width: $px16; height: $px16; border: 1px solid $edge; border-radius: 3px; background: $paper; }
QCheckBox::indicator:checked, QListView::indicator:checked, QTableView::indicator:checked {
  background: $accent; border-color: $accent; image: url("$tick"); }
QCheckBox::indicator:disabled { border-color: $hairline; background: $panel; }
QCheckBox:focus, QRadioButton:focus { border: 2px solid $accent; }
QRadioButton { spacing: $px8; padding: $px4; border: 2px solid transparent; }
QScrollArea, QTableView, QListView, QTreeView, QTextBrowser {
  border: 2px solid transparent; background: transparent; }
QListView:window {
  background: $paper; border: 1px solid $edge; padding: 0;
  selection-background-color: $accent; selection-color: $on_accent;
}
QLineEdit, QPlainTextEdit { placeholder-text-color: $quiet; }
QLineEdit[used="true"] { placeholder-text-color: $quiet; }
QListView[role="field"], QListView[role="names"] {
  background: $paper; border: 1px solid $edge; margin: 1px; }
QListView[role="field"]:focus, QListView[role="names"]:focus {
  border: 2px solid $accent; margin: 0; }
QListView[role="words"]::item, QListView[role="names"]::item { padding: $px4 $px6; }
QTableView[role="sheet"] { outline: 0; }
QTableView[role="sheet"]::item, QTreeView[role="sheet"]::item { padding: $px2 $px8; }
QTableView[role="grid"] { background: $paper; }
QTableView[role="grid"]::item { padding: $px2 $px6; }
QTableView[role="grid"]::item:selected { background: $panel; color: $ink;
  border: 2px solid $accent; }
QTextBrowser:focus, QTableView:focus, QListView:focus, QTreeView:focus {
  border: 2px solid $accent; }
QTableView { gridline-color: $hairline; selection-background-color: $accent;
  selection-color: $on_accent; }
QHeaderView::section { background: $panel; color: $quiet; border: 0;
  border-bottom: 1px solid $edge; padding: $px4 $px8; }
QSplitter::handle { background: $hairline; }
QScrollBar:vertical { background: transparent; width: $px12; margin: 0; }
QScrollBar:horizontal { background: transparent; height: $px12; margin: 0; }
QScrollBar::handle { background: $edge; border-radius: 3px; margin: 2px; }
QScrollBar::handle:vertical { min-height: $px24; }
QScrollBar::handle:horizontal { min-width: $px24; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QAbstractScrollArea::corner { background: transparent; border: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
""")


def style_sheet(values: Mapping[str, str]) -> str:
    """Return the style sheet with its colours, type sizes and lengths filled in."""
    return _SHEET.substitute(values)
