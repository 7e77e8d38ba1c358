"""A desk in a furnished pharmacy, kept in memory and on SQLite in turn."""

from __future__ import annotations

import pytest

from formulary.desk import Desk
from formulary.store import Store
from tests.helpers.desks import a_desk, furnished


@pytest.fixture(params=["memory", "sqlite"])
def desk(request: pytest.FixtureRequest) -> Desk:
    """Return Ada's desk."""
    store: Store = request.getfixturevalue(f"{request.param}_store")
    return a_desk(furnished(store))
