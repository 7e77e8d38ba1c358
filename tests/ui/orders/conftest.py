"""The page Orders in view, and a pharmacist who signs with a PIN."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from formulary.desk import Desk
from formulary.orders.order import Order
from formulary.verbs.take_order import Asked, take_order
from tests.helpers.ordered import asked
from tests.ui.at_desk import context, desk, furnished, settle, show, version_of
from tests.ui.stock.conftest import signing
from ui.context import Context
from ui.orders.page import OrdersPage

__all__ = ["context", "desk", "furnished", "settle", "show", "signing"]


@pytest.fixture
def page(context: Context, show: Callable[[OrdersPage], None]) -> OrdersPage:
    """Return the page, in view."""
    made = OrdersPage(context)
    show(made)
    return made


def taken(desk: Desk, title: str = "zinc paste", **more: object) -> Order:
    """Take an order of a sample formula for a patient."""
    whole: Asked = asked(version_of(desk, title).id, **{"target": "2 x 60 g", **more})
    return take_order(desk, whole)
