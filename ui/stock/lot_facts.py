"""What stands in a lot's record, as facts with their names."""

from __future__ import annotations

from formulary.formula.periods import said as period_said
from formulary.messages import message
from formulary.signing import Signature
from formulary.stock.lot import Analysis, SupplyLot
from ui.context import Context
from ui.forms.days import distance, today
from ui.stock.reading import LotSeen

AREA = "ui_stock.fact"
_FIGURES = ("assay", "water", "loss_on_drying", "potency")


def facts_of(context: Context, seen: LotSeen) -> list[tuple[str, str]]:
    """Return the facts, what is empty among them; those aren't shown."""
    lot = seen.lot
    found = {
        "source": _source(context, lot),
        "supplier": lot.supplier,
        "supplier_reason": lot.supplier_reason,
        "maker": lot.maker,
        "grade": lot.grade,
        "received": context.catalogue.written(lot.received_on),
        "expiry": _expiry(context, lot),
        "in_use": _in_use(context, seen),
        "place": lot.place,
        "analysis": _analysis(context, lot.analysis),
        "certificate": _certificate(context, lot),
        "decision": _signed(context, lot.decision, lot.decision_reason),
        "stop": _stop(context, lot),
        "hazards": context.catalogue.written(lot.hazards) if lot.hazards else "",
        "allergens": context.catalogue.written(lot.allergens) if lot.allergens else "",
        "cost": _cost(context, lot),
    }
    return [(context.text(f"{AREA}.{name}"), text) for name, text in found.items()]


def _source(context: Context, lot: SupplyLot) -> str:
    source = context.text(f"stock.source.{lot.source.value}")
    if lot.strength is None:
        return source
    return context.text(f"{AREA}.of_strength", source=source, strength=lot.strength)


def _expiry(context: Context, lot: SupplyLot) -> str:
    end = lot.expiry.last_day
    away = distance(today(context), end)
    key = "assigned_expiry" if lot.expiry.assigned_by else "maker_expiry"
    return context.text(f"{AREA}.{key}", end=end, away=away, by=lot.expiry.assigned_by)


def _in_use(context: Context, seen: LotSeen) -> str:
    periods = {each.container.in_use for each in seen.holdings} - {None}
    return "; ".join(context.said(period_said(each)) for each in periods if each is not None)


def _analysis(context: Context, analysis: Analysis) -> str:
    parts = []
    for name in _FIGURES:
        figure = getattr(analysis, name)
        if figure is not None:
            basis = message(f"{AREA}.basis.{analysis.basis.value}")
            parts.append(context.text(f"{AREA}.figure.{name}", figure=figure, basis=basis))
    return "; ".join(parts)


def _certificate(context: Context, lot: SupplyLot) -> str:
    if lot.attachment is None:
        return context.text(f"{AREA}.no_certificate")
    file = lot.attachment
    return context.text(f"{AREA}.certificate_file", name=file.name, hash=file.sha256[:12])


def _stop(context: Context, lot: SupplyLot) -> str:
    if lot.stop is None:
        return ""
    halt = context.text(f"stock.halt.{lot.stop.halt.value}")
    return f"{halt}; {_signed(context, lot.stop.signature, lot.stop.reason)}"


def _cost(context: Context, lot: SupplyLot) -> str:
    if lot.cost is None:
        return ""
    return context.text(f"{AREA}.price", price=lot.cost.price, per=lot.cost.per)


def _signed(context: Context, signature: Signature | None, reason: str) -> str:
    if signature is None:
        return ""
    meaning = context.text(f"ui_stock.meaning.{signature.meaning.value}")
    said = context.text(f"{AREA}.signed", meaning=meaning, by=signature.person, at=signature.at)
    return f"{said}: {reason}" if reason else said
