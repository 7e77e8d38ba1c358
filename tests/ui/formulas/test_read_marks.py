"""Who reads a version in use says so by a key, and the leaf names them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt

from formulary.people import Person, Post
from tests.ui.at_desk import plain
from tests.ui.formulas.conftest import Find, press
from ui.formulas.page import FormulasPage
from ui.window import Window

KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def test_a_technician_says_that_the_version_was_read(
    window: Window, page: FormulasPage, find: Find, settle: Callable[[], None]
) -> None:
    context = window.context
    technician = next(e for e in context.people if e.post is Post.TECHNICIAN)
    seat(window, technician)
    find("urea cream")
    assert f"Not read yet by {technician.name}" in plain(page.leaf.toPlainText())
    press(Qt.Key.Key_K, KEYS)
    settle()
    assert f"Read by {technician.name}" in plain(page.leaf.toPlainText())


def seat(window: Window, person: Person) -> None:
    context = window.context
    context.seat(replace(context.desk, person=person, signed_in=True))
