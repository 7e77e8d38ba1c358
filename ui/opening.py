"""Opens a formulary in the background and seats the person at its desk; else asks what to open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, QTimer

from formulary.errors import FormularyError, NotFound
from formulary.house import House
from formulary.ids import new_id
from formulary.messages import Message, message
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
        self._tries_again = False

    def begin(self) -> None:
        """Open what is asked for, or was open last; ask where there is nothing yet."""
        self._context.say.tell("ui.opening")
        self._context.operations.start(self._found, self._open_or_ask)

    def open(self, location: str, news: Message | None = None) -> None:
        """Open the formulary at a location; ``news`` are said once it is open."""
        person = str(QSettings().value("person", ""))
        failed = partial(self._not_open, location)
        self._seat(location, lambda: _opened(location, person), failed, news)

    def make_sample(self) -> None:
        """Make the sample pharmacy where it is kept, or open it if it is there already."""
        location = self._location or str(places.of_sample())
        self._seat(location, lambda: _sample(location), self._failed)

    def make_house(self, house: str, person: str) -> None:
        """Make a new house with its first pharmacist."""
        location = self._location or str(places.of_own_house())
        made = (House(new_id(), house), Person(new_id(), person, Post.PHARMACIST))
        self._seat(location, lambda: _created(location, *made), self._failed)

    def _found(self) -> str:
        """Return a location that holds a formulary, nothing where none does. On the worker.

        Where one was, there should be one: what was opened last, and what has backups.
        """
        from formulary.opening import exists

        wanted = self._location or places.remembered()
        if wanted:
            was_there = not self._location or Path(places.backups_of(wanted)).is_dir()
            return wanted if was_there or exists(wanted) else ""
        usual = (str(places.of_own_house()), str(places.of_sample()))
        return next((each for each in usual if exists(each)), "")

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

        known = self._location or places.remembered()
        page = FirstStartPage(self._context, "" if "://" in known else known)
        page.sample_wanted.connect(self.make_sample)
        page.house_wanted.connect(self.make_house)
        page.file_wanted.connect(self.open)
        page.restore_wanted.connect(lambda: self._ask_about(known, None))
        self._window.show_first(page)
        self._context.say.forget_news()

    def _ask_about(self, location: str, trouble: FormularyError | None) -> None:
        """Show why a formulary can't be opened, with the ways on."""
        from ui.first_start.not_open import NotOpenPage

        page = NotOpenPage(self._context, location, trouble)
        page.again_wanted.connect(lambda: self._open_again(location))
        page.other_wanted.connect(self.ask)
        page.restored.connect(lambda aside: self.open(location, _restored(aside)))
        self._window.show_first(page)
        self._context.say.forget_news()

    def _open_again(self, location: str) -> None:
        self._tries_again = True
        self._context.say.tell("ui.opening")
        self.open(location)

    def _seat(
        self,
        location: str,
        get: Callable[[], Desk],
        failed: Callable[[FormularyError], None],
        news: Message | None = None,
    ) -> None:
        from formulary.drafts import Draft

        def read() -> tuple[Desk, House, tuple[Person, ...], int]:
            desk = get()
            drafts = len(desk.store.every(Draft))
            return desk, desk.house, tuple(desk.store.every(Person)), drafts

        def arrived(found: tuple[Desk, House, tuple[Person, ...], int]) -> None:
            desk, house, people, drafts = found
            places.remember(location, house.backups.folder if house.backups else "")
            self._context.location = location
            self._context.sit_down(desk, house, people)
            if news is not None:
                self._context.say.tell(news.key, **dict(news.parameters))
            elif drafts:
                self._context.say.tell("ui.drafts_came_back", n=drafts)
            else:
                self._context.say.tell("ui.opened", house=house.name)

        self._context.operations.start(read, arrived, failed=failed)

    def _not_open(self, location: str, refusal: FormularyError) -> None:
        """Say why a formulary can't be opened, and that it still can't where it was tried again."""
        again, self._tries_again = self._tries_again, False
        self._ask_about(location, refusal)
        if again:
            self._context.say.tell("ui_first_start.not_open.still")

    def _failed(self, refusal: FormularyError) -> None:
        """Say why it can't be opened and offer the choice, so that nobody is stuck."""
        if not self._context.is_open:
            self.ask()
        self._context.say.refuse(refusal)


def _restored(aside: Path | None) -> Message:
    return message("ui_keeping.restored", place=str(aside or ""))


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
