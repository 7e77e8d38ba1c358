"""``misce balance``: which balances and ports there are, and one settled reading of a balance."""

from __future__ import annotations

from argparse import Namespace
from contextlib import closing
from threading import Event, Timer
from typing import Any

from formulary.bench.balance_lines import ReadLine
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import NotFound, Refusal
from formulary.exchange.balance_port import Heard, Trouble, listening, ports_here
from formulary.house import Balance
from formulary.messages import Message, message
from formulary.scaling.plan_json import quantity_json


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return one settled reading of the balance that the options name, else all there is."""
    if options.read is None:
        return _listed(desk.house_here.balances, catalogue)
    balance = _named(options.read, desk.house_here.balances)
    return _read(settled(balance, options.within), balance)


def settled(balance: Balance, seconds: int) -> ReadLine:
    """Return the first reading that has settled, within so many seconds.

    Raises :class:`formulary.errors.Refusal` where none came, with what was heard last, and at once
    where the port isn't there.
    """
    ended = Event()
    alarm = Timer(seconds, ended.set)
    alarm.daemon = True
    last: Heard | None = None
    with closing(listening(balance, ended)) as all_heard:
        alarm.start()
        try:
            for heard in all_heard:
                if isinstance(heard, ReadLine) and heard.stable:
                    return heard
                if isinstance(heard, Trouble) and heard.lost:
                    raise Refusal(heard.said)
                last = heard
        finally:
            alarm.cancel()
    raise Refusal(_why_none(last, balance, seconds))


def _why_none(last: Heard | None, balance: Balance, seconds: int) -> Message:
    if isinstance(last, Trouble):
        return last.said
    if isinstance(last, ReadLine):
        return message("balance.port.unsettled", balance=balance.name, n=seconds, shown=last.shown)
    return message("balance.port.silent", balance=balance.name, n=seconds)


def _named(name: str, balances: tuple[Balance, ...]) -> Balance:
    """Return the balance of this name, or the only one whose name has this in it."""
    wanted = name.casefold()
    exact = [each for each in balances if each.name.casefold() == wanted]
    found = exact or [each for each in balances if wanted in each.name.casefold()]
    if not found:
        raise NotFound(message("command.balance.unknown", name=name))
    if len(found) > 1:
        names = tuple(each.name for each in found)
        raise Refusal(message("command.balance.several", name=name, names=names))
    return found[0]


def _read(line: ReadLine, balance: Balance) -> tuple[Any, list[str]]:
    data = {
        "balance": balance.name,
        "amount": quantity_json(line.amount),
        "shown": line.shown,
        "stable": line.stable,
        "raw": line.raw,
    }
    return data, [line.shown]


def _listed(balances: tuple[Balance, ...], catalogue: Catalogue) -> tuple[Any, list[str]]:
    ports = ports_here()
    data = {
        "balances": [
            {"name": each.name, "port": each.port, "speed": each.speed, "pattern": each.pattern}
            for each in balances
        ],
        "ports": [{"port": port, "about": about} for port, about in ports],
    }
    said = [_balance_said(each) for each in balances]
    said += [message("command.balance.port", port=port, about=about) for port, about in ports]
    if not ports:
        said.append(message("command.balance.no_ports"))
    return data, [catalogue.text(each) for each in said]


def _balance_said(balance: Balance) -> Message:
    if not balance.port:
        return message("command.balance.by_hand", name=balance.name)
    return message("command.balance.wired", name=balance.name, port=balance.port)
