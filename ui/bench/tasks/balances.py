"""Checking a balance with its test weights, when something is to be weighed on it."""

from __future__ import annotations

from formulary.bench.balance_checks import WeightRead
from formulary.house import Balance
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Shown, Values
from ui.bench.typed import a_weight_or_none, weight
from ui.signs import Sign


def check_first(balance: Balance, scene: Scene) -> Shown:
    """Return what is shown before anything is weighed on a balance that isn't fit today."""
    context = scene.context
    why = scene.work.unfit[balance.name]

    def run(values: Values) -> None:
        readings = [
            WeightRead(each, weight(context, values[each.number], each.nominal.unit))
            for each in balance.weights
        ]
        scene.doing.check_balance(balance, readings)

    entries = [
        Entry(
            each.number,
            scene.text("balance.weight", number=each.number, nominal=each.nominal),
            a_weight_or_none(context, each.nominal.unit),
            unit=each.nominal.unit,
        )
        for each in balance.weights
    ]
    return Shown(
        scene.text("balance.heading", balance=balance.name),
        sentences=[(Sign.OCTAGON, scene.said(why))],
        entries=entries,
        act=scene.text("balance.act"),
        run=run if entries else None,
    )
