"""Say what belongs to this workstation; who said so, and when, is in the history."""

from __future__ import annotations

from collections.abc import Callable

from formulary.bench.balance_lines import line_pattern
from formulary.bench.port_speed import port_speed
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.messages import message
from formulary.store import Reading
from formulary.verbs.stocks_of_house import stock_called
from formulary.workstation import Workstation


def keep_workstation(desk: Desk, here: Workstation, keep: Callable[[Workstation], None]) -> Desk:
    """Keep what belongs to this workstation by ``keep``, and return the desk there.

    Raises :class:`formulary.errors.Refusal` for a balance that stands here twice or a port that two
    have, and BadText for a speed, a pattern or a label stock that can't be.
    """
    _require_sound(here, desk.store)
    with desk.writing("keep_workstation") as writing:
        writing.tell(bench=here.bench, balances=", ".join(each.name for each in here.balances))
        keep(here)
    return desk.seated_at(here)


def _require_sound(here: Workstation, store: Reading) -> None:
    for each in here.balances:
        port_speed(each.speed)
        line_pattern(each.pattern)
    for code in filter(None, (here.stock, here.shelf_stock)):
        stock_called(store, code)
    _require_once("balance_twice", [each.name for each in here.balances])
    _require_once("port_twice", [each.port for each in here.balances if each.port])


def _require_once(key: str, names: list[str]) -> None:
    for name in names:
        if names.count(name) > 1:
            raise Refusal(message(f"workstation.{key}", name=name))
