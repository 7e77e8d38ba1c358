"""Undo and redo over the whole open draft; typing in one field is one step."""

from __future__ import annotations

from typing import Any

from ui.formulas.editor.plain import Fields, Path


class History:
    """The fields now, what they were before, and what undoing took back."""

    def __init__(self, fields: Fields) -> None:
        self.now: dict[str, Any] = dict(fields)
        self._past: list[dict[str, Any]] = []
        self._future: list[dict[str, Any]] = []
        self._typing: Path = ()

    @property
    def can_undo(self) -> bool:
        """Whether there is anything to take back."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether anything was taken back."""
        return bool(self._future)

    def change(self, fields: dict[str, Any], typing: Path = ()) -> None:
        """Take new fields; ``typing`` names the field in which one goes on typing."""
        if fields == self.now:
            return
        if not typing or typing != self._typing:
            self._past.append(self.now)
        self._typing = typing
        self._future.clear()
        self.now = fields

    def undo(self) -> None:
        """Take the last step back."""
        if self._past:
            self._future.append(self.now)
            self.now, self._typing = self._past.pop(), ()

    def redo(self) -> None:
        """Do again what was taken back."""
        if self._future:
            self._past.append(self.now)
            self.now, self._typing = self._future.pop(), ()
