"""A closed list never changes by keys or a wheel that scroll; an arrow opens it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget

from ui.forms.leaf import leaf
from ui.widgets.choice_box import ChoiceBox

DOWN = QPoint(0, -120)


@pytest.fixture
def box(qapp: QApplication) -> Iterator[ChoiceBox]:
    """Return a list with the focus, at the head of a page too long for its window."""
    page = QWidget()
    page.setMinimumHeight(3000)
    made = ChoiceBox("Form")
    made.fill([(each, each) for each in ("powder", "suppository", "tablet")])
    QVBoxLayout(page).addWidget(made, alignment=Qt.AlignmentFlag.AlignTop)
    area = leaf(page)
    area.resize(300, 300)
    area.show()
    made.setFocus()
    qapp.processEvents()
    yield made
    area.close()


def scrolled(box: ChoiceBox) -> int:
    area = box.window()
    assert isinstance(area, QScrollArea)
    return area.verticalScrollBar().value()


def test_page_down_scrolls_the_page_and_leaves_the_choice(box: ChoiceBox) -> None:
    QTest.keyClick(box, Qt.Key.Key_PageDown)
    assert box.currentText() == "powder"
    assert scrolled(box) > 0
    QTest.keyClick(box, Qt.Key.Key_PageUp)
    assert scrolled(box) == 0


@pytest.mark.parametrize("key", [Qt.Key.Key_Home, Qt.Key.Key_End])
def test_home_and_end_leave_the_choice(box: ChoiceBox, key: Qt.Key) -> None:
    box.choose("suppository")
    QTest.keyClick(box, key)
    assert box.currentText() == "suppository"


def test_the_wheel_is_left_to_the_page_even_over_a_list_with_the_focus(box: ChoiceBox) -> None:
    where = QPointF(box.rect().center())
    turned = QWheelEvent(
        where,
        box.mapToGlobal(where),
        QPoint(),
        DOWN,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(box, turned)
    assert box.currentText() == "powder"
    assert not turned.isAccepted()


@pytest.mark.parametrize("key", [Qt.Key.Key_Down, Qt.Key.Key_Up])
def test_an_arrow_opens_the_list_and_enter_takes_what_was_come_to(
    box: ChoiceBox, key: Qt.Key
) -> None:
    QTest.keyClick(box, key)
    assert box.view().isVisible()
    assert box.currentText() == "powder"
    QTest.keyClick(box.view(), Qt.Key.Key_Down)
    QTest.keyClick(box.view(), Qt.Key.Key_Return)
    assert box.currentText() == "suppository"


def test_escape_leaves_the_choice_as_it_was(box: ChoiceBox) -> None:
    QTest.keyClick(box, Qt.Key.Key_Down)
    QTest.keyClick(box.view(), Qt.Key.Key_Down)
    QTest.keyClick(box.view(), Qt.Key.Key_Escape)
    assert box.currentText() == "powder"


def test_a_name_of_two_words_is_chosen_by_typing_it(box: ChoiceBox) -> None:
    box.fill([(each, each) for each in ("zinc oxide", "zinc paste", "zinc sulfate")])
    QTest.keyClicks(box, "zinc s")
    assert not box.view().isVisible()
    assert box.currentText() == "zinc sulfate"


def test_a_space_alone_opens_the_list(box: ChoiceBox) -> None:
    QTest.keyClick(box, Qt.Key.Key_Space)
    assert box.view().isVisible()
    box.hidePopup()
