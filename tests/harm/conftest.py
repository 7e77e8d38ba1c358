"""A stocked house in which errors are committed, with the desk of a technician."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.messages import Message
from tests.helpers.desks import a_desk, furnished
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked_bench import a_stocked_house

Stopped = Callable[[Callable[[], object]], Message]


@pytest.fixture
def desk(memory_store: MemoryStore) -> Desk:
    """Return the technician's desk in a house with balances checked this morning."""
    return a_stocked_house(a_desk(furnished(memory_store)))


@pytest.fixture
def stopped() -> Stopped:
    """Return what does something that must be refused, and gives the sentence."""

    def attempt(act: Callable[[], object]) -> Message:
        with pytest.raises(FormularyError) as refused:
            act()
        return refused.value.message

    return attempt
