"""The course of an open layout: each change can be undone and done again."""

from __future__ import annotations

from formulary.labels.design import Design


class Course:
    """Holds the layout as it stands and as it was."""

    def __init__(self) -> None:
        self._before: list[Design] = []
        self._after: list[Design] = []
        self.now: Design | None = None

    def begin(self, design: Design) -> None:
        """Begin with a layout; nothing before it comes back."""
        self._before, self._after, self.now = [], [], design

    def take(self, design: Design, *, goes_on: bool = False) -> None:
        """Take a change; one that ``goes_on``, as while dragging, is undone with its beginning."""
        if self.now is None or design == self.now:
            return
        if not goes_on:
            self._before.append(self.now)
        self._after, self.now = [], design

    def undo(self) -> None:
        """Go back by a change, if there is one."""
        self._turn(self._before, self._after)

    def redo(self) -> None:
        """Do a change again that was undone last."""
        self._turn(self._after, self._before)

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._before)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change to do again."""
        return bool(self._after)

    def _turn(self, out_of: list[Design], into: list[Design]) -> None:
        if out_of and self.now is not None:
            into.append(self.now)
            self.now = out_of.pop()
