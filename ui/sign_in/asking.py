"""Brings the question for a PIN before the window whenever something needs it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, QSettings
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from formulary.clock import legal_date
from formulary.desk import Desk
from formulary.people import Person
from ui.context import Context, Signing, SigningIn
from ui.receivers import is_gone
from ui.sign_in.countersign import Countersigning
from ui.sign_in.dialog import AREA, Answered, Failed, PinDialog, Question
from ui.sign_in.shift import Shift


class Asking(QObject):
    """One question at a time."""

    def __init__(self, context: Context, window: QWidget) -> None:
        super().__init__(window)
        self._context, self._window = context, window
        self.dialog: PinDialog | None = None
        self._before: QWidget | None = None
        self._shift = Shift()

    def sign_in(self, wanted: SigningIn) -> None:
        """Ask who is there; the one who signs in acts from then on."""
        context, text = self._context, self._context.text

        def attempt(by: Answered, done: Callable[[], None], failed: Failed) -> None:
            def seated(desk: Desk) -> None:
                if not is_gone(done):
                    done()
                context.seat(desk)
                QSettings().setValue("person", desk.person.id)
                context.say.tell("ui.acts_now", person=desk.person.name)
                if wanted.then is not None:
                    wanted.then()

            context.do(lambda desk: _signed_in(desk, by.person_id, by.pin), seated, failed=failed)

        people = [each for each in context.people if not each.gone]
        chosen = wanted.person_id or context.desk.person.id
        if _nobody_has_a_pin(people):
            words = (text(f"{AREA}.choose_pin"), text(f"{AREA}.choose"))
            note = text(f"{AREA}.first_pin")
            question = Question(*words, people, chosen, attempt, note, twice=True)
        else:
            words = (text(f"{AREA}.sign_in"), text(f"{AREA}.sign_in"))
            question = Question(*words, people, chosen, attempt, self._pins_of_sample())
        self._open(question, wanted.otherwise)

    def sign(self, wanted: Signing | Countersigning) -> None:
        """Ask the person at the desk for the PIN once more, or somebody beside them for theirs."""
        if isinstance(wanted, Countersigning):
            self._countersign(wanted)
            return

        def attempt(by: Answered, done: Callable[[], None], failed: Failed) -> None:
            wanted.act(by.pin, done, failed)

        me = self._context.desk.person
        confirm = self._context.text(f"{AREA}.sign")
        note = self._pins_of_sample()
        about = wanted.about
        self._open(Question(wanted.meaning, confirm, [me], me.id, attempt, note, about=about), None)

    def _countersign(self, wanted: Countersigning) -> None:
        confirm, note = self._context.text(f"{AREA}.sign"), self._pins_of_sample()
        today = legal_date(self._context.desk.clock.now(), self._context.house.zone)

        def attempt(by: Answered, done: Callable[[], None], failed: Failed) -> None:
            self._shift.remember(today, by.person_id, by.alone_because)
            wanted.attempt(by, done, failed)

        question = Question(
            wanted.meaning,
            confirm,
            wanted.people,
            wanted.chosen,
            attempt,
            note,
            wanted.alone,
            self._shift.reasons(today),
        )
        self._open(question, None)

    def _open(self, question: Question, otherwise: Callable[[], None] | None) -> None:
        if self.dialog is not None:
            return
        self.dialog = PinDialog(self._context, question, self._window)
        self.dialog.finished.connect(self._gone)
        if otherwise is not None:
            self.dialog.rejected.connect(otherwise)
        self._before = QApplication.focusWidget()
        self.dialog.open()

    def _gone(self) -> None:
        """Give the focus back to where it was, so that the next key works there."""
        self.dialog = None
        self._window.activateWindow()
        before, self._before = self._before, None
        if before is not None and isValid(before):
            before.setFocus()

    def _pins_of_sample(self) -> str:
        return pins_of_sample(self._context) if self._context.house.sample else ""


def _nobody_has_a_pin(people: Sequence[Person]) -> bool:
    """Tell whether what is typed now becomes the first PIN of the house."""
    return not any(each.pin_hash for each in people)


def pins_of_sample(context: Context) -> str:
    """Return what says the sample's PINs, which are no secret."""
    from formulary.exchange.sample_house import sample_pins

    known = ", ".join(f"{name} {pin}" for name, _, pin in sample_pins())
    return context.text(f"{AREA}.sample_pins", known=known)


def _signed_in(desk: Desk, person_id: str, pin: str) -> Desk:
    # Argon2 is loaded where somebody signs in, not before the first paint.
    from formulary.verbs.sign_in import sign_in

    return sign_in(desk, person_id, pin)
