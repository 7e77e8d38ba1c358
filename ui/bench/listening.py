"""A balance on a serial line: its settled reading stands where a figure is asked for."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from formulary.bench.balance_lines import ReadLine
from formulary.bench.to_do import Task, WeighLine
from formulary.house import Balance
from formulary.messages import Message
from formulary.quantity.writing import exact_amount
from ui.bench.scene import Scene
from ui.bench.tasks.weighing import Weighing, weighing_of
from ui.context import Context
from ui.widgets.balance_link import BalanceLink


class Listening(QObject):
    """Listens to the balance of the line in view; ``heard`` tells a figure for its entry."""

    heard = Signal(str)

    def __init__(self, context: Context, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._link: BalanceLink | None = None
        self._balance: Balance | None = None
        self._job: Weighing | None = None

    def follow(self, task: Task | None, scene: Scene) -> None:
        """Listen for this line, or to nothing."""
        job = weighing_of(task.line, scene) if isinstance(task, WeighLine) else None
        self._job = job if job is not None and job.container else None
        balance = self._with_port(job.balance) if job is not None else None
        if balance == self._balance:
            return
        self._balance = balance
        if balance is not None:
            self._open().listen(balance)
        elif self._link is not None:
            self._link.stop()

    def _with_port(self, name: str) -> Balance | None:
        found = (
            each for each in self._context.house_here.balances if each.name == name and each.port
        )
        return next(found, None)

    def _open(self) -> BalanceLink:
        if self._link is None:
            self._link = BalanceLink(self)
            self._link.reading_arrived.connect(self._arrived)
            self._link.trouble.connect(self._troubled)
            self.destroyed.connect(self._link.stop)
        return self._link

    def _arrived(self, read: ReadLine) -> None:
        """Show what has settled; Enter takes it. What moves, or an empty pan, is passed over."""
        if self._job is None or not read.stable or read.amount.number <= 0:
            return
        text = exact_amount(read.amount, self._context.house.decimal_sign)
        self._job.scene.memo.heard[text] = read.raw
        self.heard.emit(text)

    def _troubled(self, said: Message) -> None:
        self._context.say.refuse(said)
