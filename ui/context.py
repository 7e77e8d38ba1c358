"""What every page is given: the desk, the texts, the one who speaks, and the way to other pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING, Protocol, TypeVar

from PySide6.QtCore import QObject, Signal

from formulary.catalogue import ENGLISH, PSEUDO, Catalogue, languages
from formulary.errors import FormularyError, NotSignedIn
from formulary.messages import Message, Parameter, message
from ui.messages import Messages
from ui.operation import Operation, Operations
from ui.receivers import is_gone, told_to

if TYPE_CHECKING:
    # What a desk is made of isn't needed before the first paint.
    from formulary.desk import Desk
    from formulary.house import House
    from formulary.people import Person
    from formulary.verbs.start_preparation import Order
    from formulary.wording.reading import ToRead
    from formulary.workstation import Workstation

T = TypeVar("T")


class PageName(StrEnum):
    """The pages of the window, in the order of their keys."""

    FORMULAS = "formulas"
    ORDERS = "orders"
    BENCH = "bench"
    LABELS = "labels"
    STOCK = "stock"
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
    CALCULATIONS = "calculations"
    STOCK = "stock"
    ORDERS = "orders"
    EQUIPMENT = "equipment"


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial label to draw: any version, an order, no lot."""

    version_id: str
    order: Order


@dataclass(frozen=True, slots=True)
class SigningIn:
    """The wish to sign in: as whom, and what goes on after it, or if the person steps back."""

    person_id: str = ""
    then: Callable[[], None] | None = None
    otherwise: Callable[[], None] | None = None


@dataclass(frozen=True, slots=True)
class Signing:
    """The wish to sign: what it means, and the act that is done with the PIN typed.

    ``about`` are the wordings that are read before.
    """

    meaning: str
    act: Callable[[str, Callable[[], None], Callable[[FormularyError], None]], None]
    about: tuple[ToRead, ...] = ()


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

    ``house`` and ``people`` are what they were when last read, for the window's own thread;
    ``location`` is where the open formulary is kept.
    """

    opened = Signal()
    changed = Signal(str)
    page_wanted = Signal(str, object)
    sign_in_wanted = Signal(object)
    signature_wanted = Signal(object)
    seated = Signal()
    left = Signal()

    def __init__(self, language: str = ENGLISH, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.catalogue = Catalogue(language)
        self.say = Messages(self)
        self.operations = Operations(self.say, self)
        self._house: House | None = None
        self.people: tuple[Person, ...] = ()
        self.location = ""
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
    def here(self) -> Workstation:
        """What belongs to this workstation; nothing before one is open."""
        from formulary.workstation import Workstation

        return self._desk.here if self._desk is not None else Workstation()

    @property
    def house_here(self) -> House:
        """The house as last read, with the balances that stand at this workstation."""
        from formulary.workstation import house_at

        return house_at(self.here, self.house)

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
            if then is not None and not is_gone(then):
                then(result)

        def refused(trouble: FormularyError) -> None:
            say = failed or self.say.refuse
            say = self.say.refuse if is_gone(say) else say
            if not isinstance(trouble, NotSignedIn):
                say(trouble)
                return
            again = partial(self.do, act, then, changes=changes, failed=failed, lane=lane)
            self.sign_in(lambda: _drop(again()), lambda: say(trouble))

        return self.operations.start(lambda: act(desk), arrived, failed=refused, lane=lane)

    @property
    def signed_in(self) -> bool:
        """Whether somebody is signed in at the desk."""
        return self.is_open and self.desk.signed_in

    def sign_in(
        self, then: Callable[[], None], otherwise: Callable[[], None] | None = None
    ) -> None:
        """Ask who is there, then go on."""
        self.sign_in_wanted.emit(SigningIn(then=then, otherwise=otherwise))

    def when_signed_in(self, then: Callable[[], None]) -> None:
        """Go on at once where somebody is signed in, else after they are."""
        if self.signed_in:
            then()
        else:
            self.sign_in(then)

    def sign(  # noqa: PLR0913  what a signature is asked with, each by name
        self,
        verb: str,
        meaning: str,
        act: Callable[[Desk, str], T],
        then: Callable[[T], None] | None = None,
        *,
        about: tuple[ToRead, ...] = (),
        changes: tuple[Topic, ...] = (),
        refused: Callable[[FormularyError], None] | None = None,
    ) -> None:
        """Ask for the PIN once more, saying what the signature means, then do what is signed.

        Who may not do the verb isn't asked, but told so. ``about`` is shown with the question;
        ``refused`` is told beside it why what was signed isn't done.
        """

        def attempt(
            pin: str, done: Callable[[], None], failed: Callable[[FormularyError], None]
        ) -> None:
            def arrived(result: T) -> None:
                if not is_gone(done):
                    done()
                if then is not None and not is_gone(then):
                    then(result)

            said = told_to(failed, refused, self.say.refuse)
            self.do(lambda desk: act(desk, pin), arrived, changes=changes, failed=said)

        def ask() -> None:
            try:
                self.desk.may(verb)
            except FormularyError as trouble:
                self.say.refuse(trouble)
            else:
                self.signature_wanted.emit(Signing(meaning, attempt, about))

        self.when_signed_in(ask)

    def seat(self, desk: Desk) -> None:
        """Go on at a desk where somebody has signed in."""
        self._desk = desk
        self.seated.emit()

    def lock(self) -> None:
        """Sign out: what is in view stays, what runs runs on."""
        if self.signed_in:
            self.seat(replace(self.desk, signed_in=False))
            self.say.tell("ui.locked")

    def sit_down(self, desk: Desk, house: House, people: tuple[Person, ...]) -> None:
        """Begin at a desk that has been opened, or go on after the house or its people changed."""
        self._desk = desk
        self._take(house, people)
        self.opened.emit()

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
        self.left.emit()
        if desk is not None:
            self.operations.start(desk.store.close)
        self.operations.finish()

    def _take(self, house: House, people: tuple[Person, ...]) -> None:
        self._house, self.people = house, people
        language = self.catalogue.language
        if language != PSEUDO:
            language = house.language if house.language in languages("ui") else ENGLISH
        self.catalogue = Catalogue(language, house.decimal_sign)


def _drop(_: object) -> None:
    """Take what nobody waits for."""
