"""Answers to the window's questions for a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog


def choose_file(monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
    """Let somebody choose this file whenever one is asked for."""

    def answered(question: QFileDialog) -> None:
        question.deleteLater()
        question.fileSelected.emit(str(path))

    monkeypatch.setattr(QFileDialog, "open", answered)
