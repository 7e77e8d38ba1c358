"""``misce stock`` and ``misce trace``: what is on the shelf, and what went into what."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.messages import Message, message
from formulary.scaling.plan_json import quantity_json
from formulary.stock.controlled_register import Entry
from formulary.stock.counting import pieces
from formulary.stock.listing import LotOnShelf
from formulary.stock.lot import SupplyLot
from formulary.stock.shelf import Holding, Low, for_reading
from formulary.tracing import Link, Node, Sort, Trace
from formulary.verbs.list_stock import Counted, list_stock
from formulary.verbs.read_controlled import ControlledRegister, read_controlled
from formulary.verbs.trace_lot import trace_lot


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the stock as data and as lines for people: lots, or what is ``low``, goods as well.

    With ``controlled`` it is the register of each controlled substance.
    """
    if options.controlled:
        registers = read_controlled(desk)
        return [_register(each) for each in registers], _register_lines(registers, catalogue)
    today = desk.today
    stock = list_stock(desk.store, today)
    if options.low:
        goods = [each for each in stock.goods if each.is_low]
        data = [*(_low(*each) for each in stock.low), *map(_low_goods, goods)]
        return data, _low_lines(stock.low, goods, catalogue)
    lots = stock.lots
    if options.expiring is not None:
        lots = tuple(each for each in lots if each.days_left(today) <= options.expiring)
    return [_lot(each, today) for each in lots], _lot_lines(lots, today, catalogue)


def _lot(each: LotOnShelf, today: date) -> dict[str, Any]:
    lot = each.lot
    return {
        "ingredient": each.ingredient,
        "lot": lot.number,
        "source": lot.source.value,
        "supplier": lot.supplier,
        "status": status(lot),
        "standing": each.standing.value,
        "expiry": lot.expiry.last_day.isoformat(),
        "until": each.until.isoformat(),
        "days_left": each.days_left(today),
        "on_hand": quantity_json(each.on_hand[0]),
        "place": lot.place,
        "containers": [held.container.number for held in each.holdings],
        "in_each": [_container(held, today) for held in each.holdings],
    }


def status(lot: SupplyLot) -> str:
    """Return a lot's stop where it has one, else its status."""
    return lot.stop.halt.value if lot.stop is not None else lot.status.value


def _container(held: Holding, today: date) -> dict[str, Any]:
    container = held.container
    opened = container.opened_on
    return {
        "number": container.number,
        "on_hand": quantity_json(held.on_hand),
        "place": container.place,
        "opened": None if opened is None else opened.isoformat(),
        "identified": container.identity is not None and container.identity.passed,
        "until": held.until.isoformat(),
        "days_left": (held.until - today).days,
    }


def _low(ingredient: str, each: Low) -> dict[str, Any]:
    return {
        "ingredient": ingredient,
        "source": each.level.source.value,
        "usable": quantity_json(each.usable),
        "least": quantity_json(each.level.least),
    }


def _low_goods(each: Counted) -> dict[str, Any]:
    """Return counted goods in the shape of an ingredient, whose name they haven't."""
    return {
        "ingredient": "",
        "goods": each.good.name,
        "source": each.good.sort.value,
        "usable": quantity_json(pieces(each.left)),
        "least": quantity_json(pieces(each.good.least)),
    }


def _lot_lines(lots: Sequence[LotOnShelf], today: date, catalogue: Catalogue) -> list[str]:
    if not lots:
        return [catalogue.text("command.stock.nothing")]
    lines = []
    for each in lots:
        said = message(
            "command.stock.lot",
            ingredient=each.ingredient,
            lot=each.lot.number,
            standing=message(f"stock.standing.{each.standing.value}"),
            held=tuple(map(for_reading, each.on_hand)),
            until=each.until,
            left=_days(each.days_left(today)),
        )
        lines.append(catalogue.text(said))
        numbers = ", ".join(held.container.number for held in each.holdings)
        lines.append("    " + "; ".join(filter(None, (numbers, each.lot.place, each.lot.supplier))))
    return lines


def _days(left: int) -> Message:
    key = "over" if left < 0 else "left"
    return message(f"command.stock.days_{key}", n=abs(left))


def _low_lines(
    missing: Iterable[tuple[str, Low]], goods: Iterable[Counted], catalogue: Catalogue
) -> list[str]:
    lines = [
        catalogue.text(
            message(
                "command.stock.low",
                ingredient=ingredient,
                usable=for_reading(each.usable),
                least=each.level.least,
            )
        )
        for ingredient, each in missing
    ]
    for few in goods:
        said = message(
            "command.stock.low_goods", name=few.good.name, n=few.left, least=few.good.least
        )
        lines.append(catalogue.text(said))
    return lines or [catalogue.text("command.stock.nothing_low")]


def _register(each: ControlledRegister) -> dict[str, Any]:
    return {
        "ingredient": each.ingredient,
        "balance": None if each.balance is None else quantity_json(each.balance),
        "entries": [_entry(entry) for entry in each.entries],
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "at": entry.at.isoformat(),
        "cause": entry.cause.value,
        "container": entry.container,
        "lot": entry.lot,
        "in": None if entry.into is None else quantity_json(entry.into),
        "out": None if entry.out is None else quantity_json(entry.out),
        "balance": quantity_json(entry.balance),
        "in_container": quantity_json(entry.of_container),
        "people": list(entry.people),
        "alone_because": entry.alone_because,
        "what_for": entry.what_for,
        "differs": entry.differs,
    }


def _register_lines(registers: Sequence[ControlledRegister], catalogue: Catalogue) -> list[str]:
    lines = []
    for each in registers:
        lines.append(each.ingredient)
        lines += [catalogue.text(_entry_said(entry)) for entry in each.entries]
    return lines or [catalogue.text("command.stock.none_controlled")]


def _entry_said(entry: Entry) -> Message:
    change = entry.into or entry.out
    way = "kept" if change is None else "into" if entry.into is not None else "out"
    return message(
        f"command.stock.controlled.{way}",
        at=entry.at,
        cause=message(f"stock.cause.{entry.cause.value}"),
        container=entry.container,
        amount=change or entry.balance,
        balance=entry.balance,
        people=" + ".join(entry.people),
    )


def traced(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return a trace both ways as data and as lines; patients and wards by their ids alone."""
    forward, backward = trace_lot(desk.store, options.lot)
    return _trace(forward, backward), _trace_lines(forward, backward, catalogue)


def _trace(forward: Trace, backward: Trace) -> dict[str, Any]:
    nodes = dict.fromkeys((*forward.nodes, *backward.nodes))
    links = dict.fromkeys((*forward.links, *backward.links))
    return {
        "of": [_node(each) for each in forward.starts],
        "nodes": [_node(each) for each in nodes],
        "edges": [_edge(each) for each in links],
        "preparations": _names(forward.preparations),
        "jars": _names(forward.jars),
        "to_call": [
            {
                "id": each.recipient.id,
                "sort": each.recipient.sort.value,
                "jars": _names(each.jars),
            }
            for each in forward.to_call
        ],
        "came_from": {
            "suppliers": _names(backward.of(Sort.SUPPLIER)),
            "lots": _names(backward.of(Sort.LOT)),
            "containers": _names(backward.of(Sort.CONTAINER)),
            "preparations": _names(backward.preparations),
        },
    }


def _node(node: Node) -> dict[str, str]:
    return {"id": node.id, "sort": node.sort.value, "name": node.name}


def _edge(link: Link) -> dict[str, str]:
    return {"from": link.source.id, "to": link.target.id}


def _names(nodes: Iterable[Node]) -> list[str]:
    return [node.name or node.id for node in nodes]


_LINES = (
    ("preparations", Sort.PREPARATION),
    ("jars", Sort.JAR),
    ("patients", Sort.PATIENT),
    ("wards", Sort.WARD),
)
_SOURCES = (
    ("suppliers", Sort.SUPPLIER),
    ("lots", Sort.LOT),
    ("containers", Sort.CONTAINER),
    ("preparations", Sort.PREPARATION),
)


def _trace_lines(forward: Trace, backward: Trace, catalogue: Catalogue) -> list[str]:
    lines = [
        catalogue.text(
            message(
                "command.trace.of",
                sort=message(f"stock.trace.{each.sort.value}"),
                name=each.name or each.id,
            )
        )
        for each in forward.starts
    ]
    return [*lines, *_found(forward, _LINES, catalogue), *_found(backward, _SOURCES, catalogue)]


def _found(found: Trace, wanted: Sequence[tuple[str, Sort]], catalogue: Catalogue) -> Iterable[str]:
    for key, sort in wanted:
        names = tuple(_names(each for each in found.of(sort) if each not in found.starts))
        if names:
            way = found.way.value
            yield catalogue.text(message(f"command.trace.{way}.{key}", n=len(names), names=names))
