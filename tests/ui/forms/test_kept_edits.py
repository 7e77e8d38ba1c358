from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, QSettings

from ui.forms import kept_edits


@pytest.fixture(autouse=True)
def named() -> None:
    QCoreApplication.setOrganizationName("misce")
    QCoreApplication.setApplicationName("misce")


def test_edits_come_back() -> None:
    kept_edits.keep("h-1", "ingredients", {"i-1": {"name": "Łój, 5 % „x“"}})
    assert kept_edits.kept("h-1", "ingredients") == {"i-1": {"name": "Łój, 5 % „x“"}}


def test_another_house_has_its_own() -> None:
    kept_edits.keep("h-1", "ingredients", {"i-1": {"name": "a"}})
    assert kept_edits.kept("h-2", "ingredients") == {}


def test_saved_edits_are_gone() -> None:
    kept_edits.keep("h-1", "ingredients", {"i-1": {"name": "a"}})
    kept_edits.keep("h-1", "ingredients", {})
    assert kept_edits.kept("h-1", "ingredients") == {}


@pytest.mark.parametrize("damaged", ["{", "[]", "7", '{"i-1": 3}'])
def test_damaged_edits_are_no_edits(damaged: str) -> None:
    QSettings().setValue("edits/h-1/ingredients", damaged)
    assert kept_edits.kept("h-1", "ingredients") == {}
