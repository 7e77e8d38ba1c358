"""The row of words on top: the pages, and who acts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeySequence, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QWidget

from ui import theme
from ui.context import Context, PageName
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import label, set_role, spaced

if TYPE_CHECKING:
    from formulary.people import Person

ROOMY = 900
NAME_LENGTH, NAME_WIDTH = 12, 320
"""Characters of a name that are always in view, and the width where there is room for a post."""
PAGE_KEYS = {page: f"Ctrl+{number}" for number, page in enumerate(PageName, 1)}


class Header(QWidget):
    """Words to choose a page by, and the chooser of who acts.

    ``people_closed`` tells that the list of people is gone again, with a choice or without.
    """

    page_chosen = Signal(str)
    person_chosen = Signal(object)
    people_closed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._group = QButtonGroup(self)
        self._words: dict[str, QPushButton] = {}
        self._acts_now = ""
        row = QHBoxLayout(self)
        spaced(row, inside=4)
        row.setContentsMargins(theme.px(8), 0, theme.px(12), 0)
        # Large type on a narrow screen takes two lines of words rather than clipping them.
        words = FlowLayout(gap=4)
        for page in PageName:
            words.addWidget(self._word(page))
        row.addLayout(words, 1)
        self._acting_words = label(context.text("ui.acting"), "quiet", wrap=False)
        row.addWidget(self._acting_words)
        self.acting = ChoiceBox(context.text("ui.acting_name"))
        self.acting.setMinimumContentsLength(NAME_LENGTH)
        self.acting.activated.connect(self._chosen)
        row.addWidget(self.acting)

    def show_page(self, page: str) -> None:
        """Mark the page in view."""
        self._words[page].setChecked(True)

    def show_people(self, people: tuple[Person, ...], acting: Person | None) -> None:
        """Offer the people who work here; above them, that nobody is signed in."""
        nobody = [(self._context.text("ui.nobody_signed_in"), "")] if acting is None else []
        self.acting.fill([*nobody, *((self._said(each), each.id) for each in people)])
        self._acts_now = acting.id if acting is not None else ""
        self._name_who_acts()

    def _name_who_acts(self) -> None:
        self.acting.choose(self._acts_now)
        self.acting.setToolTip(self.acting.currentText())

    def open_people(self) -> None:
        """Open the list of people."""
        self.acting.setFocus()
        self.acting.showPopup()
        self.acting.view().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell that the list of people closes, whichever key closed it."""
        if event.type() == QEvent.Type.Hide:
            self.people_closed.emit()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out what says least where room is short."""
        super().resizeEvent(event)
        roomy = self.width() >= theme.px(ROOMY)
        self._acting_words.setVisible(roomy)
        self.acting.setMinimumWidth(theme.px(NAME_WIDTH) if roomy else 0)

    def _word(self, page: PageName) -> QPushButton:
        word = QPushButton(self._context.text(f"ui.page.{page.value}"))
        word.setCheckable(True)
        keys = QKeySequence(PAGE_KEYS[page]).toString(QKeySequence.SequenceFormat.NativeText)
        word.setToolTip(keys)
        word.clicked.connect(self._opener(page.value))
        self._group.addButton(word)
        self._words[page.value] = word
        return set_role(word, "word")

    def _opener(self, page: str) -> Callable[[], None]:
        return lambda: self.page_chosen.emit(page)

    def _said(self, person: Person) -> str:
        post = self._context.text(f"ui.post.{person.post.value}")
        return f"{person.name}, {post}"

    def _chosen(self) -> None:
        """Tell who is meant; until the PIN is right, it stands there who acts."""
        wanted = self.acting.currentData()
        self._name_who_acts()
        for person in self._context.people:
            if person.id == wanted:
                self.person_chosen.emit(person)
