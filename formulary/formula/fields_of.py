"""A content as plain fields again: the inverse of :mod:`formulary.formula.fields`."""

from __future__ import annotations

from dataclasses import asdict
from fractions import Fraction
from typing import Any, assert_never

from formulary.formula.content import (
    Ask,
    BatchLimits,
    Container,
    Content,
    Evidence,
    LabelText,
    Line,
    MethodStep,
    Period,
    ShelfLife,
    Storage,
)
from formulary.formula.justifying import Risk
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.formula.moulding import Capsule, Displacement, Mould
from formulary.formula.stability import Factors, Preservation, Water
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.quantity.writing import exact_amount, exact_strength, exact_text

FORMAT = 1


def fields_of(content: Content, decimal_sign: str = ".") -> dict[str, Any]:
    """Return the fields that read back to an equal content; empty ones are left out."""
    return _filled(
        format=FORMAT,
        title=content.title,
        code=content.code,
        form=content.form.value,
        route=content.route.value,
        latin=content.latin,
        synonyms=list(content.synonyms),
        purpose=content.purpose,
        cautions=content.cautions,
        source=content.source,
        marketed=content.marketed,
        marketed_checked=content.marketed_checked.isoformat() if content.marketed_checked else "",
        adapted_from=content.adapted_from,
        special_risks=[each.value for each in content.special_risks],
        total=_amount(content.total, decimal_sign),
        units=content.units,
        unit_name=content.unit_name,
        dose=_amount(content.dose, decimal_sign),
        mould=_mould(content.mould, decimal_sign),
        capsule=_capsule(content.capsule, decimal_sign),
        join_difference=_number(content.join_difference, decimal_sign),
        **_density(content.density, decimal_sign),
        ingredient=[_line(line, decimal_sign) for line in content.lines],
        phase=[{"code": phase.code, "name": phase.name} for phase in content.phases],
        step=[_step(step, decimal_sign) for step in content.steps],
        test=[{"name": t.name, "limits": t.limits, "when": t.when} for t in content.tests],
        container=_container(content.container),
        storage=_storage(content.storage),
        shelf_life=_shelf_life(content.shelf_life),
        water=_water(content.water, decimal_sign),
        preservation=_preservation(content.preservation),
        evidence=_evidence(content.evidence),
        label=_label(content.label),
        batch=_batch(content.batch, decimal_sign),
        risk=_stated(content.risk),
        factors=_stated(content.factors),
    )


def _filled(**fields: object) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value not in (None, "", [], {}, False)}


def _amount(amount: Amount | None, sign: str) -> str:
    return "" if amount is None else exact_amount(amount, sign)


def _density(density: Density | None, sign: str) -> dict[str, str]:
    if density is None:
        return {}
    number = exact_text(density.g_per_mL).replace(".", sign)
    return {
        "density": f"{number} g/mL",
        "density_source": density.source,
        "density_at": density.at,
    }


def kind_text(kind: Kind, decimal_sign: str = ".") -> str:
    """Return a line's quantity exactly, as the parser reads it back."""
    match kind:
        case Fixed(amount, each):
            text = ("aa " if each else "") + exact_amount(amount)
        case Share(strength):
            text = exact_strength(strength)
        case InParts(parts):
            text = f"{exact_text(parts.number)} parts"
        case PerUnit(amount):
            text = f"{exact_amount(amount)} per unit"
        case ToTotal(total, shared):
            text = ("aa ad " if shared else "to ") + exact_amount(total)
        case ToEndPoint(end_point):
            return f"q.s. until {end_point}"
        case ToFill():
            return "q.s. to fill"
        case _:
            assert_never(kind)
    return text.replace(".", decimal_sign)


def _line(line: Line, sign: str) -> dict[str, Any]:
    about = line.quantity.about if isinstance(line.quantity, ToEndPoint) else None
    return _filled(
        name=line.ingredient,
        quantity=kind_text(line.quantity, sign),
        role=line.role.value,
        phase=line.phase,
        grade=line.grade,
        note=line.note,
        **_density(line.density, sign),
        drop=_amount(line.drop, sign),
        potency=_number(line.potency, sign),
        tolerance=""
        if line.tolerance is None
        else f"{exact_text(line.tolerance).replace('.', sign)} %",
        about=_amount(about, sign),
        **_displacement(line.displacement, sign),
        double_check=line.double_check,
    )


def _displacement(displacement: Displacement | None, sign: str) -> dict[str, str]:
    if displacement is None:
        return {}
    return {
        "displacement": exact_text(displacement.number).replace(".", sign),
        "displacement_convention": displacement.convention.value,
        "displacement_source": displacement.source,
    }


def _mould(mould: Mould | None, sign: str) -> dict[str, Any]:
    if mould is None:
        return {}
    capacity = _amount(mould.capacity, sign)
    return _filled(capacity=capacity, base=mould.base, spare=mould.spare or None)


def _capsule(capsule: Capsule | None, sign: str) -> dict[str, Any]:
    if capsule is None:
        return {}
    volume = _amount(capsule.volume, sign)
    return _filled(size=capsule.size, volume=volume, spare=capsule.spare or None)


def _number(number: Fraction | None, sign: str) -> str:
    return "" if number is None else exact_text(number).replace(".", sign)


def _ask(ask: Ask, sign: str) -> dict[str, Any]:
    return _filled(
        what=ask.what.value,
        text=ask.text,
        lowest=_number(ask.lowest, sign),
        highest=_number(ask.highest, sign),
    )


def _step(step: MethodStep, sign: str) -> dict[str, Any]:
    return _filled(
        phase=step.phase,
        text=step.text,
        temperature=step.temperature,
        time=step.time,
        speed=step.speed,
        equipment=step.equipment,
        look_for=step.look_for,
        lowest=_number(step.lowest, sign),
        highest=_number(step.highest, sign),
        minutes=_number(step.minutes, sign),
        joins=list(step.joins),
        adds=list(step.adds),
        ask=[_ask(ask, sign) for ask in step.asks],
    )


def _container(container: Container | None) -> dict[str, Any]:
    if container is None:
        return {}
    return _filled(
        text=container.text,
        protect_from_light=container.protect_from_light,
        packing=container.packing.value if container.packing else "",
        material=container.material,
        closure=container.closure.value if container.closure else "",
        child_resistant=container.child_resistant,
    )


def _stated(record: Risk | Factors | None) -> dict[str, Any]:
    """Return what a record of texts, flags and whole numbers states, by its fields' names."""
    return {} if record is None else _filled(**asdict(record))


def _storage(storage: Storage | None) -> dict[str, Any]:
    """Return the temperatures even at 0 °C, which is a temperature and no empty field."""
    if storage is None:
        return {}
    degrees = {"lowest": storage.lowest, "highest": storage.highest}
    return {name: value for name, value in degrees.items() if value is not None} | _filled(
        do_not_freeze=storage.do_not_freeze,
        protect_from_light=storage.protect_from_light,
        keep_dry=storage.keep_dry,
        note=storage.note,
    )


def _period(period: Period | None) -> str:
    return "" if period is None else f"{period.number} {period.span.value}"


def _shelf_life(shelf_life: ShelfLife | None) -> dict[str, Any]:
    if shelf_life is None:
        return {}
    return _filled(
        unopened=_period(shelf_life.unopened),
        opened=_period(shelf_life.opened),
        reason=shelf_life.reason,
        reference=shelf_life.reference,
    )


def _water(water: Water | None, sign: str) -> dict[str, Any]:
    if water is None:
        return {}
    return _filled(
        **{"class": water.water_class.value if water.water_class else ""},
        activity=_number(water.activity, sign),
        source=water.source,
    )


def _preservation(preservation: Preservation | None) -> dict[str, Any]:
    if preservation is None:
        return {}
    return _filled(state=preservation.state.value, basis=preservation.basis)


def _evidence(evidence: Evidence | None) -> dict[str, Any]:
    if evidence is None:
        return {}
    return _filled(
        period=_period(evidence.period),
        citation=evidence.citation,
        same_composition=evidence.same_composition,
        same_container=evidence.same_container,
        same_storage=evidence.same_storage,
        preservative_tested=evidence.preservative_tested,
    )


def _label(label: LabelText) -> dict[str, Any]:
    return _filled(
        name=label.name,
        strength=label.strength,
        directions=label.directions,
        warnings=list(label.warnings),
        extra=list(label.extra),
        target=label.target.value if label.target else "",
    )


def _batch(batch: BatchLimits, sign: str) -> dict[str, Any]:
    return _filled(smallest=_amount(batch.smallest, sign), largest=_amount(batch.largest, sign))
