"""Alone on a Saturday: each act is confirmed with its reason, which need not be typed anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from formulary.desk import Desk
from formulary.people import Post
from ui.sign_in.countersign import countersign
from ui.sign_in.dialog import Answered, PinDialog
from ui.window import Window

Settle = Callable[[], None]
WHY = "Nobody else on Saturday"


@dataclass(frozen=True, slots=True)
class Stopped:
    """A clock that stands still."""

    at: datetime

    def now(self) -> datetime:
        return self.at


def on(window: Window, day: int) -> None:
    desk = window.context.desk
    window.context.seat(replace(desk, clock=Stopped(datetime(2026, 11, day, 10, tzinfo=UTC))))


def ask_alone(window: Window, signed: list[Answered]) -> PinDialog:
    """Ask the person at the desk, who is alone, to sign."""
    me = window.context.desk.person
    others = [each.id for each in window.context.people if each.id != me.id]

    def act(_: Desk, by: Answered) -> None:
        signed.append(by)

    countersign(
        window.context, "check", "check_plan", act, lambda _: None, without=others, alone=[me.id]
    )
    assert window.asking is not None
    assert window.asking.dialog is not None
    return window.asking.dialog


def test_a_reason_is_offered_for_the_next_act_of_the_shift_and_not_on_another_day(
    window: Window, settle: Settle
) -> None:
    ilse = next(each for each in window.context.people if each.post is Post.PHARMACIST)
    window.context.seat(replace(window.context.desk, person=ilse, signed_in=True))
    on(window, 28)
    signed: list[Answered] = []
    first = ask_alone(window, signed)
    assert first.alone_because.text() == ""
    QTest.keyClicks(first.alone_because, WHY)
    pin = {"Ilse Corrander": "3141", "Tobias Quell": "2718"}[ilse.name]
    QTest.keyClicks(first.pin, pin)
    QTest.keyClick(first.pin, Qt.Key.Key_Return)
    settle()
    second = ask_alone(window, signed)
    assert second.alone_because.text() == WHY
    QTest.keyClicks(second.pin, pin)
    QTest.keyClick(second.pin, Qt.Key.Key_Return)
    settle()
    assert [each.alone_because for each in signed] == [WHY, WHY]
    on(window, 29)
    third = ask_alone(window, signed)
    assert third.alone_because.text() == ""
    third.reject()
