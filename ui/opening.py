"""Opens a formulary in the background and seats the person at its desk; else asks what to open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, QTimer

from formulary.errors import FormularyError, NotFound
from formulary.house import House
from formulary.ids import new_id
from formulary.people import Person, Post
from ui import places
from ui.context import Context
from ui.window import Window

if TYPE_CHECKING:
    from formulary.desk import Desk
    from formulary.store import Hit


class Opening(QObject):
    """Brings window and formulary together; without a ``location`` the usual places are tried."""

    def __init__(self, window: Window, location: str = "") -> None:
        super().__init__(window)
        self._window = window
        self._context: Context = window.context
        self._location = location

    def begin(self) -> None:
        """Open what is asked for, or was open last; ask where there is nothing yet."""
        self._context.say.tell("ui.opening")
        self._context.operations.start(self._found, self._open_or_ask)

    def open(self, location: str) -> None:
        """Open the formulary at a location."""
        person = str(QSettings().value("person", ""))
        self._seat(location, lambda: _opened(location, person))

    def make_sample(self) -> None:
        """Make the sample pharmacy where it is kept, or open it if it is there already."""
        location = self._location or str(places.of_sample())
        self._seat(location, lambda: _sample(location))

    def make_house(self, house: str, person: str) -> None:
        """Make a new house with its first pharmacist."""
        location = self._location or str(places.of_own_house())
        made = (House(new_id(), house), Person(new_id(), person, Post.PHARMACIST))
        self._seat(location, lambda: _created(location, *made))

    def _found(self) -> str:
        """Return a location that holds a formulary, nothing where none does. On the worker."""
        from formulary.opening import exists

        wanted = self._location or places.remembered()
        usual = () if wanted else (str(places.of_own_house()), str(places.of_sample()))
        location: str
        for location in (wanted, *usual):
            if location and exists(location):
                return location
        return ""

    def _open_or_ask(self, location: str) -> None:
        if not location:
            self.ask()
            return

        def listed(hits: Sequence[Hit]) -> None:
            self._window.show_list(hits)
            # The list is painted before the store is loaded, which takes longer.
            QTimer.singleShot(0, self, lambda: self.open(location))

        self._context.operations.start(lambda: _first_hits(location), listed)

    def ask(self) -> None:
        """Show the page of the first start."""
        from ui.first_start.page import FirstStartPage

        page = FirstStartPage(self._context)
        page.sample_wanted.connect(self.make_sample)
        page.house_wanted.connect(self.make_house)
        page.file_wanted.connect(self.open)
        self._window.show_first(page)
        self._context.say.forget_news()

    def _seat(self, location: str, get: Callable[[], Desk]) -> None:
        from formulary.drafts import Draft

        def read() -> tuple[Desk, House, tuple[Person, ...], int]:
            desk = get()
            drafts = len(desk.store.every(Draft))
            return desk, desk.house, tuple(desk.store.every(Person)), drafts

        def arrived(found: tuple[Desk, House, tuple[Person, ...], int]) -> None:
            desk, house, people, drafts = found
            places.remember(location)
            self._context.location = location
            self._context.sit_down(desk, house, people)
            if drafts:
                self._context.say.tell("ui.drafts_came_back", n=drafts)
            else:
                self._context.say.tell("ui.opened", house=house.name)

        self._context.operations.start(read, arrived, failed=self._failed)

    def _failed(self, refusal: FormularyError) -> None:
        """Say why it can't be opened and offer the choice, so that nobody is stuck."""
        if not self._context.is_open:
            self.ask()
        self._context.say.refuse(refusal)


def _first_hits(location: str) -> Sequence[Hit]:
    from formulary.opening import first_hits

    return first_hits(location)


def _opened(location: str, person: str) -> Desk:
    from formulary.opening import open_desk

    try:
        return open_desk(location, person)
    except NotFound:
        # Whoever acted here last works in another house.
        return open_desk(location)


def _sample(location: str) -> Desk:
    from formulary.opening import create_sample, exists

    return _opened(location, "") if exists(location) else create_sample(Path(location))


def _created(location: str, house: House, person: Person) -> Desk:
    from formulary.opening import create_house

    return create_house(Path(location), house, person)
