"""Fixtures: an empty store in memory, on SQLite and on PostgreSQL, and the sample pharmacy.

What they need is imported when they are asked for: most tests need none of it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.helpers import postgres

if TYPE_CHECKING:
    from formulary.records.sql_store import SqlStore
    from formulary.store import Store
    from tests.helpers.memory_store import MemoryStore

_numbers = count(1)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what asks for a server by name where none is installed; in CI that is an error."""
    if "postgres" in postgres.engines():
        return
    out = [item for item in items if "postgres_server" in getattr(item, "fixturenames", ())]
    config.hook.pytest_deselected(items=out)
    items[:] = [item for item in items if item not in out]


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a formulary with nothing in it, to copy; making one takes a quarter of a second."""
    from formulary.records.opening import open_store

    path = tmp_path_factory.mktemp("empty") / "empty.db"
    open_store(path, create=True).close()
    return path


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a sample pharmacy without work, made once; never opened by a test itself."""
    from formulary.opening import create_sample

    path = tmp_path_factory.mktemp("sample") / "sample.misce"
    create_sample(path, worked=False).store.close()
    return path


@pytest.fixture
def sqlite_file(empty_file: Path, tmp_path: Path) -> Path:
    """Return the path of an empty formulary of this test."""
    return Path(shutil.copy(empty_file, tmp_path / "formulary.db"))


@pytest.fixture
def sqlite_store(sqlite_file: Path) -> Iterator[SqlStore]:
    """Open an empty store on a file."""
    from formulary.records.opening import open_store

    store = open_store(sqlite_file)
    yield store
    store.close()


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """Run a server for this session (with xdist one for each worker), with an empty formulary."""
    from formulary.records.opening import open_store

    with postgres.server() as address:
        make_database(address, "formulary", "template1")
        open_store(address.format("formulary"), create=True).close()
        yield address


@pytest.fixture
def postgres_url(postgres_server: str) -> str:
    """Return the URL of an empty formulary of this test."""
    name = f"formulary_{next(_numbers)}"
    make_database(postgres_server, name, "formulary")
    return postgres_server.format(name)


@pytest.fixture
def postgres_store(postgres_url: str) -> Iterator[SqlStore]:
    """Open an empty store on the server."""
    from formulary.records.opening import open_store

    store = open_store(postgres_url)
    yield store
    store.close()


@pytest.fixture
def memory_store() -> MemoryStore:
    """Open an empty store in memory."""
    from tests.helpers.memory_store import MemoryStore

    return MemoryStore()


@pytest.fixture(params=postgres.engines())
def store(request: pytest.FixtureRequest) -> Store:
    """Open an empty store of each sort in turn."""
    opened: Store = request.getfixturevalue(f"{request.param}_store")
    return opened


@pytest.fixture(params=[engine for engine in postgres.engines() if engine != "memory"])
def sql_store(request: pytest.FixtureRequest) -> SqlStore:
    """Open an empty store on each database in turn."""
    opened: SqlStore = request.getfixturevalue(f"{request.param}_store")
    return opened


def make_database(address: str, name: str, template: str) -> None:
    """Make a database as a copy of another."""
    import sqlalchemy as sa

    engine = sa.create_engine(address.format("postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE {template}")
    engine.dispose()
