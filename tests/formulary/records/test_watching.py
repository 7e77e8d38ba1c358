"""What one workstation writes, another hears of, and nobody hears of themselves."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from queue import Queue

import pytest
import sqlalchemy as sa

from formulary.errors import StoreTrouble
from formulary.ingredient import Ingredient
from formulary.records.opening import open_store
from formulary.records.sql_store import SqlStore
from formulary.store import Change
from tests.helpers.kept import ACT

PATIENCE = 20
Heard = Queue[Sequence[Change] | StoreTrouble]


@contextmanager
def watching(store: SqlStore, after: int = 0) -> Iterator[Heard]:
    """Watch in a thread; the queue gets what is heard, at first that it begins."""
    heard: Heard = Queue()
    stop = threading.Event()

    def run() -> None:
        try:
            for changes in store.watch(stop, after):
                heard.put(changes)
        except StoreTrouble as trouble:
            heard.put(trouble)

    thread = threading.Thread(target=run)
    thread.start()
    try:
        yield heard
    finally:
        stop.set()
        thread.join(PATIENCE)
        assert not thread.is_alive()


@pytest.fixture
def other(sql_store: SqlStore) -> Iterator[SqlStore]:
    """Open the same formulary at another workstation."""
    url = sql_store._engine.url
    place = sql_store.place if url.host is None and not url.query else url.render_as_string()
    opened = open_store(place)
    yield opened
    opened.close()


def keep(store: SqlStore, name: str) -> None:
    with store.writing(ACT, "save_ingredient") as writing:
        writing.put(Ingredient(f"i-{name}", name))


def next_changes(heard: Heard) -> Sequence[Change]:
    while True:
        changes = heard.get(timeout=PATIENCE)
        assert not isinstance(changes, StoreTrouble)
        if changes:
            return changes


def test_what_another_workstation_writes_is_heard(sql_store: SqlStore, other: SqlStore) -> None:
    with watching(sql_store) as heard:
        assert heard.get(timeout=PATIENCE) == []
        keep(other, "Talc")
        (change,) = next_changes(heard)
    assert (change.number, change.verb) == (1, "save_ingredient")
    assert change.act.person == ACT.person
    assert change.kinds == {"ingredient"}


def test_nobody_hears_of_themselves(sql_store: SqlStore, other: SqlStore) -> None:
    with watching(sql_store) as heard:
        assert heard.get(timeout=PATIENCE) == []
        keep(sql_store, "Talc")
        keep(other, "Zinc oxide")
        heard_of = {change.number for change in next_changes(heard)}
    # The first may have been heard of before its writer had noted that it was its own.
    assert 2 in heard_of or heard_of == {1}


def test_whoever_comes_back_hears_what_was_missed(sql_store: SqlStore, other: SqlStore) -> None:
    keep(other, "Talc")
    keep(other, "Zinc oxide")
    with watching(sql_store, after=1) as heard:
        (change,) = next_changes(heard)
    assert change.number == 2


def test_a_lost_server_is_said_and_watched_again(postgres_store: SqlStore) -> None:
    everybody_out = sa.text(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE pid <> pg_backend_pid() AND datname = current_database()"
    )
    with watching(postgres_store) as heard:
        assert heard.get(timeout=PATIENCE) == []
        with postgres_store._engine.connect() as connection:
            connection.execute(everybody_out)
        lost = heard.get(timeout=PATIENCE)
    assert isinstance(lost, StoreTrouble)
    assert lost.message.key == "store.trouble.cannot_reach"
    with watching(postgres_store, after=0) as heard:
        assert heard.get(timeout=PATIENCE) == []
