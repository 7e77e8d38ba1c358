"""Answers while one types: at once where that is quick, in the background where it isn't."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from ui.calculations.answer import Answer, Question
from ui.context import Context

QUICK_SECONDS = 0.005


class Reckoner(QObject):
    """``answered`` tells the answer to the newest question, and no older one."""

    answered = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._context = context
        self._newest: Question | None = None
        self._seconds: dict[str, float] = {}

    def ask(self, question: Question) -> bool:
        """Answer a question and return True, or return False where the answer comes later.

        The first one of a calculation isn't waited for, since it may load tables.
        """
        self._newest = question
        if self._seconds.get(question.calculation.name, QUICK_SECONDS) < QUICK_SECONDS:
            self._arrived(question.answered())
            return True
        run = self._context.operations.start
        run(question.answered, self._arrived, lane="calculations.answer")
        return False

    def forget(self) -> None:
        """Take no notice of an answer that is still under way."""
        self._newest = None

    def _arrived(self, answer: Answer) -> None:
        self._seconds[answer.question.calculation.name] = answer.seconds
        if answer.question is self._newest:
            self.answered.emit(answer)
