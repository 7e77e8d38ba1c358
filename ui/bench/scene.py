"""What a thing to do is shown by: the preparation, what can be done to it, what is half done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from formulary.bench.events import Way
from formulary.bench.out_of_tolerance import WayOut
from formulary.bench.quality import Look
from formulary.bench.state import State
from formulary.bench.to_do import Task
from formulary.finding import Finding
from formulary.house import House
from formulary.messages import Message, Parameter
from formulary.quantity.amount import Amount
from formulary.stock.shelf import Holding
from ui.bench.doing import Doing
from ui.bench.reading import Work
from ui.context import Context


@dataclass
class Memo:
    """What is ticked, chosen or typed of one preparation and isn't recorded yet.

    ``heard`` are the figures that a balance sent, each with its own line of text. ``on_paper`` is
    what was asked for last of a worksheet, with the time and the person that were typed for it.
    """

    ticks: list[str] = field(default_factory=list)
    looks: dict[Look, bool] = field(default_factory=dict)
    nets: list[Amount] = field(default_factory=list)
    without_vessel: set[str] = field(default_factory=set)
    without_telephone: set[str] = field(default_factory=set)
    sizing: set[str] = field(default_factory=set)
    other_container: set[int] = field(default_factory=set)
    straight: set[int] = field(default_factory=set)
    balances: dict[int, str] = field(default_factory=dict)
    ways: dict[int, Sequence[WayOut]] = field(default_factory=dict)
    doubts: Sequence[Finding] = ()
    way: dict[int, Way] = field(default_factory=dict)
    shelf: dict[int, Sequence[Holding]] = field(default_factory=dict)
    excepting: set[Task] = field(default_factory=set)
    photos: dict[int, bytes] = field(default_factory=dict)
    certificate: tuple[str, bytes] | None = None
    heard: dict[str, str] = field(default_factory=dict)
    goods: str = ""
    rejecting: bool = False
    blind: bool = False
    ending: set[int] = field(default_factory=set)
    singles: list[Amount] = field(default_factory=list)
    on_paper: object = None
    paper_when: str = ""
    paper_who: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """A preparation in view at a moment; ``again`` shows the same thing anew."""

    context: Context
    doing: Doing
    work: Work
    memo: Memo
    now: datetime
    again: Callable[[], None]

    @property
    def state(self) -> State:
        """Where the preparation stands."""
        return self.work.at.state

    @property
    def house(self) -> House:
        """The house as it is at this workstation."""
        return self.context.house_here

    def text(self, key: str, **parameters: Parameter) -> str:
        """Return a sentence of the page."""
        return self.context.text(f"ui_bench.{key}", **parameters)

    def said(self, what: Message) -> str:
        """Return a message in words."""
        return self.context.said(what)

    def written(self, value: Parameter) -> str:
        """Return a value as it stands in a sentence."""
        return self.context.catalogue.written(value)
