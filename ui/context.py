"""What every page is given: the desk, the texts, the one who speaks, and the way to other pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol, TypeVar

from PySide6.QtCore import QObject, Signal

from formulary.catalogue import ENGLISH, PSEUDO, Catalogue, languages
from formulary.errors import FormularyError
from formulary.messages import Message, Parameter, message
from ui.messages import Messages
from ui.operation import Operation, Operations

if TYPE_CHECKING:
    # What a desk is made of isn't needed before the first paint.
    from formulary.desk import Desk
    from formulary.house import House
    from formulary.people import Person
    from formulary.verbs.start_preparation import Order

T = TypeVar("T")


class PageName(StrEnum):
    """The pages of the window, in the order of their keys."""

    FORMULAS = "formulas"
    LABELS = "labels"
    REGISTER = "register"
    INGREDIENTS = "ingredients"
    CALCULATIONS = "calculations"
    SETTINGS = "settings"


class Topic(StrEnum):
    """What a change was about; pages reload only what they show."""

    FORMULAS = "formulas"
    DRAFTS = "drafts"
    PREPARATIONS = "preparations"
    INGREDIENTS = "ingredients"
    HOUSE = "house"
    PEOPLE = "people"


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial label to draw: any version, an order, no lot."""

    version_id: str
    order: Order


@dataclass(frozen=True, slots=True)
class Search:
    """The wish to search: the page of formulas puts the cursor into its search field.

    ``words`` are looked for at once, where there are any.
    """

    words: str = ""


class Page(Protocol):
    """What the window asks of a page."""

    help_page: str

    def shown(self) -> None:
        """Come to the front: reload what changed and take the focus."""

    def take(self, subject: object) -> None:
        """Show what another page handed over: a lot, a trial, a formula's id."""


class Context(QObject):
    """Shared by all pages. The store is touched only inside :meth:`do`, on the worker.

    ``house`` and ``people`` are what they were when last read, for the window's own thread.
    """

    opened = Signal()
    changed = Signal(str)
    page_wanted = Signal(str, object)

    def __init__(self, language: str = ENGLISH, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.catalogue = Catalogue(language)
        self.say = Messages(self)
        self.operations = Operations(self.say, self)
        self._house: House | None = None
        self.people: tuple[Person, ...] = ()
        self._desk: Desk | None = None

    @property
    def house(self) -> House:
        """The house as last read; before one is open, one without a name."""
        if self._house is None:
            # The first paint doesn't wait for it.
            from formulary.house import House

            self._house = House("", "")
        return self._house

    @property
    def is_open(self) -> bool:
        """Whether a formulary is open."""
        return self._desk is not None

    @property
    def desk(self) -> Desk:
        """The desk; its store may be asked only on the worker, so prefer :meth:`do`."""
        if self._desk is None:
            raise RuntimeError("no formulary is open yet")
        return self._desk

    def text(self, key: str, **parameters: Parameter) -> str:
        """Return the sentence of a key in the interface's language."""
        return self.catalogue.text(message(key, **parameters))

    def said(self, what: Message) -> str:
        """Return the sentence of a message in the interface's language."""
        return self.catalogue.text(what)

    def go(self, page: PageName, subject: object = None) -> None:
        """Bring a page to the front, handing it something to show."""
        self.page_wanted.emit(page.value, subject)

    def do(
        self,
        act: Callable[[Desk], T],
        then: Callable[[T], None] | None = None,
        *,
        changes: tuple[Topic, ...] = (),
        failed: Callable[[FormularyError], None] | None = None,
        lane: str = "",
    ) -> Operation:
        """Do an act at the desk on the worker; then tell the pages what changed, and go on.

        ``lane`` is for questions: an older one still waiting in the same lane is dropped.
        """
        desk = self.desk

        def arrived(result: T) -> None:
            for topic in changes:
                self.tell_changed(topic)
            if then is not None:
                then(result)

        return self.operations.start(lambda: act(desk), arrived, failed=failed, lane=lane)

    def sit_down(self, desk: Desk, house: House, people: tuple[Person, ...]) -> None:
        """Begin at a desk that has been opened, or go on after the house or its people changed."""
        self._desk = desk
        self._take(house, people)
        self.opened.emit()

    def act_as(self, person: Person) -> None:
        """Let somebody else act from now on."""
        self._desk = replace(self.desk, person=person)

    def tell_changed(self, topic: Topic) -> None:
        """Tell the pages that something changed; the house and its people are read anew first."""
        if topic not in (Topic.HOUSE, Topic.PEOPLE):
            self.changed.emit(topic.value)
            return

        def arrived(read: tuple[House, tuple[Person, ...]]) -> None:
            self._take(*read)
            self.changed.emit(topic.value)

        from formulary.people import Person

        self.do(lambda desk: (desk.house, tuple(desk.store.every(Person))), arrived)

    def leave(self) -> None:
        """Close the store, after everything begun has come to its end."""
        desk, self._desk = self._desk, None
        if desk is not None:
            self.operations.start(desk.store.close)
        self.operations.finish()

    def _take(self, house: House, people: tuple[Person, ...]) -> None:
        self._house, self.people = house, people
        language = self.catalogue.language
        if language != PSEUDO:
            language = house.language if house.language in languages("ui") else ENGLISH
        self.catalogue = Catalogue(language, house.decimal_sign)
