"""Two workstations: what one writes the other shows, and a lost server is said until it is back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from shutil import copy
from threading import Event

import pytest
import sqlalchemy as sa
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
from tests.helpers.stocked_bench import keep_ingredient
from ui import others
from ui.context import Context, Topic
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


@contextmanager
def nobody_let_in(url: str) -> Iterator[None]:
    """Shut a database to everybody, as if its server were gone."""
    database = sa.make_url(url).database
    engine = sa.create_engine(
        sa.make_url(url).set(database="postgres"), isolation_level="AUTOCOMMIT"
    )
    everybody_out = sa.text(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = :database"
    )
    with engine.connect() as connection:
        connection.exec_driver_sql(f"ALTER DATABASE {database} ALLOW_CONNECTIONS false")
        connection.execute(everybody_out, {"database": database})
        yield
        connection.exec_driver_sql(f"ALTER DATABASE {database} ALLOW_CONNECTIONS true")
    engine.dispose()


def test_what_is_typed_outlives_the_server_and_is_saved_when_it_is_back(
    postgres_url: str, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(others, "AGAIN_SECONDS", 0.1)
    store = open_store(postgres_url)
    desk = a_desk(furnished(store))
    keep_ingredient(desk, "Talc")
    made = sit_down(desk)
    context = next(made)
    page = IngredientsPage(context)
    qtbot.addWidget(page)
    page.take("Talc")
    page.show()
    page.shown()
    qtbot.waitUntil(lambda: page.title.text() == "Talc")
    page.form.inputs["note"].set_text("from the new supplier")
    page.form.edited.emit()
    with nobody_let_in(postgres_url):
        page.save.trigger()
        qtbot.waitUntil(lambda: said(context, "ui.others.lost", "store.trouble.cannot_reach"))
        assert page.form.values()["note"] == "from the new supplier"
        assert page.save.isEnabled()
    read_again: list[str] = []
    context.changed.connect(read_again.append)
    qtbot.waitUntil(lambda: said(context, "ui.others.back"), timeout=15_000)
    qtbot.waitUntil(lambda: {*read_again} >= {*Topic}, timeout=15_000)
    page.save.trigger()
    qtbot.waitUntil(lambda: said(context, "ui_ingredients.saved"), timeout=15_000)
    kept = store.get(Ingredient, "i-talc")
    assert kept is not None
    assert kept.note == "from the new supplier"
    next(made, None)


def said(context: Context, *keys: str) -> bool:
    return {*keys} <= {each.message.key for each in context.say.history}


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
