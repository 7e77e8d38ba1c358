"""Two workstations: what one writes the other shows, and a lost server is said until it is back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from shutil import copy
from threading import Event

import pytest
from pytestqt.qtbot import QtBot

from formulary.desk import Desk
from formulary.errors import StoreTrouble
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.opening import open_desk
from formulary.people import Person
from formulary.records.opening import open_store
from formulary.store import Change
from tests.helpers.desks import a_desk, furnished
from tests.helpers.kept import ACT
from tests.helpers.memory_store import MemoryStore
from ui import others
from ui.context import Context
from ui.ingredients.page import IngredientsPage
from ui.messages import Tone
from ui.others import Others


def sit_down(desk: Desk) -> Iterator[Context]:
    context = Context()
    Others(context)
    context.sit_down(desk, desk.house, tuple(desk.store.every(Person)))
    yield context
    context.leave()


@pytest.fixture
def place(sample_file: Path, tmp_path: Path) -> Path:
    return Path(copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def here(place: Path) -> Iterator[Context]:
    yield from sit_down(open_desk(place))


def test_what_another_workstation_keeps_shows_without_a_restart(
    here: Context, place: Path, qtbot: QtBot
) -> None:
    page = IngredientsPage(here)
    qtbot.addWidget(page)
    page.show()
    page.shown()
    qtbot.waitUntil(lambda: not here.operations.busy)
    there = open_store(place)
    with there.writing(ACT, "save_ingredient") as writing:
        writing.put(Ingredient("i-new", "Aardvark clay"))
    there.close()
    qtbot.waitUntil(lambda: "Aardvark clay" in listed(page), timeout=15_000)


def listed(page: IngredientsPage) -> set[str]:
    items = page.index.list
    return {items.item(row).text() for row in range(items.count())}


class LostTwice(MemoryStore):
    """A store whose server goes away twice before it is reached again."""

    tries = 0

    def watch(self, stop: Event, after: int) -> Iterator[Sequence[Change]]:
        del after
        yield ()
        LostTwice.tries += 1
        if LostTwice.tries <= 2:
            raise StoreTrouble(message("store.trouble.cannot_reach", place="the server"))
        stop.wait()


def test_a_lost_server_is_said_once_and_its_return_too(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(others, "AGAIN_SECONDS", 0.01)
    made = sit_down(a_desk(furnished(LostTwice())))
    context = next(made)
    qtbot.waitUntil(lambda: LostTwice.tries == 3 and len(context.say.history) == 4, timeout=5000)
    said = [(each.tone, each.message.key) for each in context.say.history]
    lost, back = (Tone.REFUSAL, "ui.others.lost"), (Tone.NEWS, "ui.others.back")
    assert said == [lost, back, lost, back]
    next(made, None)
