"""A formula as plain fields (the open file, or an editor's texts) read into its content.

The same reader serves the file and the window, so that both refuse the same things with the same
sentences. Every trouble is collected with its place, such as ``ingredient.2.quantity``; one never
hides another.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from formulary.errors import BadText
from formulary.formula.content import (
    Ask,
    Asked,
    BatchLimits,
    Container,
    Content,
    Evidence,
    Form,
    LabelText,
    Line,
    MethodStep,
    Phase,
    QualityTest,
    Role,
    Route,
    ShelfLife,
    Storage,
    Target,
)
from formulary.formula.field_reader import UNSTATED_SOURCE, FieldReader, Fields
from formulary.formula.justifying import Risk, SpecialRisk
from formulary.formula.kind_text import parse_kind
from formulary.formula.kinds import ToEndPoint, ToTotal
from formulary.formula.moulding import Capsule, Convention, Displacement, Mould
from formulary.formula.periods import parse_period
from formulary.formula.stability import (
    Closure,
    Factors,
    Packing,
    Preservation,
    Preserved,
    Water,
    WaterClass,
)
from formulary.messages import message
from formulary.quantity import parsing, units
from formulary.quantity.amount import Amount
from formulary.quantity.units import Dimension

E = TypeVar("E", bound=StrEnum)
COLDEST, HOTTEST = -80, 100
"""Whole degrees Celsius that a storage temperature may have."""


@dataclass(frozen=True, slots=True)
class ContentReading:
    """What could be read, and every trouble; ``content`` holds defaults where there is one."""

    content: Content
    troubles: tuple[BadText, ...]


def content_from_fields(fields: Fields, decimal_sign: str = ".") -> Content:
    """Return the content that plain fields say.

    Raises the first :class:`formulary.errors.BadText`, with its place, if any field can't be read.
    """
    reading = read_fields(fields, decimal_sign)
    if reading.troubles:
        raise reading.troubles[0]
    return reading.content


def read_fields(fields: Fields, decimal_sign: str = ".") -> ContentReading:
    """Return everything that can be read of the fields, and every trouble with its place."""
    troubles: list[BadText] = []
    reader = FieldReader(fields, decimal_sign, troubles)
    if reader.whole("format") not in (None, 1):
        reader.trouble("format", "format")
    content = _content(reader)
    reader.done()
    return ContentReading(content, tuple(troubles))


def _content(reader: FieldReader) -> Content:
    title = reader.text("title", needed=True)
    code = reader.text("code", needed=True)
    phases = tuple(_phase(each) for each in reader.tables("phase"))
    total = reader.amount("total", Dimension.MASS, Dimension.VOLUME)
    mould, capsule = _mould(reader.table("mould")), _capsule(reader.table("capsule"))
    if mould is not None and capsule is not None:
        reader.trouble("capsule", "mould_and_capsule")
    lines = _lines(reader, phases, total)
    ingredients = tuple(line.ingredient for line in lines)
    return Content(
        title=title,
        code=code,
        form=reader.choice("form", Form) or Form.OTHER,
        route=reader.choice("route", Route) or Route.SKIN,
        lines=lines,
        total=total,
        units=_count(reader, "units"),
        unit_name=reader.text("unit_name"),
        mould=mould,
        capsule=capsule,
        join_difference=_number(reader, "join_difference"),
        dose=reader.amount("dose", Dimension.MASS, Dimension.VOLUME),
        density=reader.density("density"),
        latin=reader.text("latin"),
        synonyms=reader.texts("synonyms"),
        phases=phases,
        steps=tuple(_step(each, phases, ingredients) for each in reader.tables("step")),
        tests=tuple(_test(each) for each in reader.tables("test")),
        container=_container(reader.table("container")),
        storage=_storage(reader.table("storage")),
        shelf_life=_shelf_life(reader.table("shelf_life")),
        water=_water(reader.table("water")),
        preservation=_preservation(reader.table("preservation")),
        evidence=_evidence(reader.table("evidence")),
        label=_label(reader.table("label")),
        batch=_batch(reader.table("batch")),
        purpose=reader.text("purpose"),
        cautions=reader.text("cautions"),
        source=reader.text("source"),
        marketed=reader.text("marketed"),
        marketed_checked=reader.read("marketed_checked", _day),
        adapted_from=reader.text("adapted_from"),
        special_risks=_special_risks(reader),
        risk=_risk(reader.table("risk")),
        factors=_factors(reader.table("factors")),
    )


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadText(message("formula.file.day", typed=text)) from None


def _special_risks(reader: FieldReader) -> tuple[SpecialRisk, ...]:
    known = {each.value: each for each in SpecialRisk}
    said = reader.texts("special_risks")
    for each in said:
        if each not in known:
            reader.trouble("special_risks", "not_one_of", value=each, known=", ".join(known))
    return tuple(known[each] for each in said if each in known)


def _risk(reader: FieldReader) -> Risk | None:
    """Return the risk sheet, which needs all its factors and a decision."""
    names = ("product", "yearly", "hazard", "process", "supply")
    factors = [_count(reader, name) for name in names]
    decision = reader.text("decision")
    reader.done()
    if not decision and not any(factors):
        return None
    for name, factor in (*zip(names, factors, strict=True), ("decision", decision)):
        if not factor and reader.fields.get(name) in (None, ""):
            reader.trouble(name, "missing_field", name=name)
    product, yearly, hazard, process, supply = (each or 1 for each in factors)
    return Risk(product, yearly, hazard, process, supply, decision)


def _factors(reader: FieldReader) -> Factors | None:
    names = ("antioxidant", "oxygen", "caking", "solvent_loss", "heat", "germs", "patients")
    factors = Factors(reader.flag("unstable"), *(reader.text(name) for name in names))
    reader.done()
    return factors if factors != Factors() else None


def _count(reader: FieldReader, name: str) -> int | None:
    count = reader.whole(name)
    if count is not None and count < 1:
        reader.trouble(name, "not_a_count", name=name)
        return None
    return count


def _lines(
    reader: FieldReader, phases: tuple[Phase, ...], total: Amount | None
) -> tuple[Line, ...]:
    tables = reader.tables("ingredient")
    if not tables and reader.is_absent("ingredient"):
        reader.trouble("ingredient", "no_ingredients")
    return tuple(_line(each, phases, default_kind(total)) for each in tables)


def default_kind(total: Amount | None) -> str | None:
    """Return what a bare per cent means beside this declared total: w/w in a mass, else unsaid."""
    by_mass = total is not None and units.dimension(total.unit) == Dimension.MASS
    return "w/w" if by_mass else None


def _line(reader: FieldReader, phases: tuple[Phase, ...], default_kind: str | None) -> Line:
    name = reader.text("name", needed=True)
    reader.text("quantity", needed=True)
    kind = reader.read("quantity", lambda text: parse_kind(text, reader.sign, default_kind))
    about = reader.amount("about", *Dimension)
    if isinstance(kind, ToEndPoint):
        kind = ToEndPoint(kind.end_point, about)
    line = Line(
        ingredient=name,
        quantity=kind if kind is not None else UNREAD,
        role=reader.choice("role", Role, default=Role.OTHER) or Role.OTHER,
        phase=_phase_code(reader, phases),
        grade=reader.text("grade"),
        note=reader.text("note"),
        density=reader.density("density"),
        drop=reader.amount("drop", Dimension.MASS, Dimension.VOLUME),
        potency=reader.read("potency", lambda text: _positive(text, reader.sign)),
        tolerance=reader.read("tolerance", lambda text: _percent(text, reader.sign)),
        displacement=_displacement(reader),
        double_check=reader.flag("double_check"),
    )
    reader.done()
    return line


UNREAD = ToTotal(Amount(Fraction(0), "g"))
"""Stands for a quantity that couldn't be read; a content that holds it always has a trouble."""


def _positive(text: str, sign: str) -> Fraction:
    number = parsing.parse_number(text, sign)
    if not number:
        raise BadText(message("formula.zero_quantity", typed=text))
    return number


def _percent(text: str, sign: str) -> Fraction:
    return _positive(text.removesuffix("%").strip(), sign)


def _displacement(reader: FieldReader) -> Displacement | None:
    number = reader.read("displacement", lambda text: _positive(text, reader.sign))
    source = reader.text("displacement_source") or UNSTATED_SOURCE
    convention = reader.choice("displacement_convention", Convention, default=Convention.VALUE)
    return None if number is None else Displacement(number, source, convention or Convention.VALUE)


def _phase_code(reader: FieldReader, phases: tuple[Phase, ...]) -> str:
    code = reader.text("phase")
    if code and code not in [phase.code for phase in phases]:
        reader.trouble("phase", "unknown_phase", phase=code)
    return code


def _phase(reader: FieldReader) -> Phase:
    phase = Phase(reader.text("code", needed=True), reader.text("name"))
    reader.done()
    return phase


def _step(
    reader: FieldReader, phases: tuple[Phase, ...], ingredients: tuple[str, ...]
) -> MethodStep:
    step = MethodStep(
        text=reader.text("text", needed=True),
        phase=_phase_code(reader, phases),
        temperature=reader.text("temperature"),
        time=reader.text("time"),
        speed=reader.text("speed"),
        equipment=reader.text("equipment"),
        look_for=reader.text("look_for"),
        lowest=_number(reader, "lowest"),
        highest=_number(reader, "highest"),
        minutes=reader.read("minutes", lambda text: _positive(text, reader.sign)),
        joins=reader.texts("joins"),
        adds=reader.texts("adds"),
        asks=tuple(_ask(each) for each in reader.tables("ask")),
    )
    _in_order(reader, step)
    _known(reader, "joins", "unknown_phase", step.joins, tuple(each.code for each in phases))
    _known(reader, "adds", "unknown_ingredient", step.adds, ingredients)
    reader.done()
    return step


def _ask(reader: FieldReader) -> Ask:
    ask = Ask(
        what=reader.choice("what", Asked) or Asked.TICK,
        text=reader.text("text"),
        lowest=_number(reader, "lowest"),
        highest=_number(reader, "highest"),
    )
    _in_order(reader, ask)
    reader.done()
    return ask


def _number(reader: FieldReader, name: str) -> Fraction | None:
    return reader.read(name, lambda text: parsing.parse_number(text, reader.sign))


def _in_order(reader: FieldReader, window: Ask | MethodStep) -> None:
    if window.lowest is not None and window.highest is not None and window.lowest > window.highest:
        reader.trouble("highest", "window_upside_down")


def _known(
    reader: FieldReader, field: str, trouble: str, names: tuple[str, ...], known: tuple[str, ...]
) -> None:
    for name in names:
        if name not in known:
            reader.trouble(field, trouble, phase=name, name=name)


def _test(reader: FieldReader) -> QualityTest:
    test = QualityTest(
        reader.text("name", needed=True),
        reader.text("limits", needed=True),
        reader.text("when") or "final",
    )
    reader.done()
    return test


def _container(reader: FieldReader) -> Container | None:
    container = Container(
        reader.text("text"),
        reader.flag("protect_from_light"),
        _chosen(reader, "packing", Packing),
        reader.text("material"),
        _chosen(reader, "closure", Closure),
        reader.flag("child_resistant"),
    )
    reader.done()
    return container if container.text else None


def _chosen(reader: FieldReader, name: str, kind: type[E]) -> E | None:
    """Return a choice that may be left open."""
    return reader.choice(name, kind) if reader.text(name) else None


def _storage(reader: FieldReader) -> Storage | None:
    storage = Storage(
        lowest=_degrees(reader, "lowest"),
        highest=_degrees(reader, "highest"),
        do_not_freeze=reader.flag("do_not_freeze"),
        protect_from_light=reader.flag("protect_from_light"),
        keep_dry=reader.flag("keep_dry"),
        note=reader.text("note"),
    )
    reader.done()
    return storage if storage != Storage() else None


def _degrees(reader: FieldReader, name: str) -> int | None:
    degrees = reader.whole(name)
    if degrees is not None and not COLDEST <= degrees <= HOTTEST:
        reader.trouble(name, "whole_degrees", name=name)
        return None
    return degrees


def _shelf_life(reader: FieldReader) -> ShelfLife | None:
    unopened = reader.read("unopened", parse_period)
    opened = reader.read("opened", parse_period)
    reason, reference = reader.text("reason"), reader.text("reference")
    reader.done()
    if unopened is None:
        if opened or reason or reference:
            reader.trouble("unopened", "missing_field", name="unopened")
        return None
    return ShelfLife(unopened, opened, reason, reference)


def _water(reader: FieldReader) -> Water | None:
    """Return the class or the measured activity; either needs its source."""
    water = Water(
        _chosen(reader, "class", WaterClass),
        reader.read("activity", lambda text: parse_activity(text, reader.sign)),
        reader.text("source"),
    )
    stated = water.water_class is not None or water.activity is not None
    if stated and not water.source:
        reader.trouble("source", "missing_field", name="source")
    reader.done()
    return water if stated else None


def parse_activity(text: str, sign: str) -> Fraction:
    """Return a water activity (no unit). Raises BadText for what isn't from 0 to 1."""
    number = parsing.parse_number(text, sign)
    if number > 1:
        raise BadText(message("formula.file.water_activity", typed=text))
    return number


def _preservation(reader: FieldReader) -> Preservation | None:
    state, basis = _chosen(reader, "state", Preserved), reader.text("basis")
    reader.done()
    if state is None:
        if basis:
            reader.trouble("state", "missing_field", name="state")
        return None
    found = Preservation(state, basis)
    if found.works and not basis:
        reader.trouble("basis", "missing_field", name="basis")
    return found


def _evidence(reader: FieldReader) -> Evidence | None:
    period, citation = reader.read("period", parse_period), reader.text("citation")
    names = ("same_composition", "same_container", "same_storage", "preservative_tested")
    flags = [reader.flag(name) for name in names]
    reader.done()
    if period is None:
        if citation or any(flags):
            reader.trouble("period", "missing_field", name="period")
        return None
    if not citation:
        reader.trouble("citation", "missing_field", name="citation")
    return Evidence(period, citation, *flags)


def _label(reader: FieldReader) -> LabelText:
    label = LabelText(
        name=reader.text("name"),
        strength=reader.text("strength"),
        directions=reader.text("directions"),
        warnings=reader.texts("warnings"),
        extra=reader.texts("extra"),
        target=_chosen(reader, "target", Target),
    )
    reader.done()
    return label


def _batch(reader: FieldReader) -> BatchLimits:
    sizes = (Dimension.MASS, Dimension.VOLUME, Dimension.PIECES)
    batch = BatchLimits(reader.amount("smallest", *sizes), reader.amount("largest", *sizes))
    reader.done()
    return batch


def _mould(reader: FieldReader) -> Mould | None:
    capacity = reader.amount("capacity", Dimension.MASS)
    base, spare = reader.text("base"), _spare(reader)
    reader.done()
    if capacity is None:
        _refuse_without(reader, "capacity")
        return None
    return Mould(capacity, base, spare)


def _capsule(reader: FieldReader) -> Capsule | None:
    volume = reader.amount("volume", Dimension.VOLUME)
    size, spare = reader.text("size"), _spare(reader)
    reader.done()
    if volume is None:
        _refuse_without(reader, "volume")
        return None
    return Capsule(volume, size, spare)


def _refuse_without(reader: FieldReader, name: str) -> None:
    """Note a needed field that is absent from a table in which something else was written."""
    if reader.is_absent(name) and any(not reader.is_absent(each) for each in reader.fields):
        reader.trouble(name, "missing_field", name=name)


def _spare(reader: FieldReader) -> int:
    spare = reader.whole("spare") or 0
    if spare < 0:
        reader.trouble("spare", "not_a_spare")
        return 0
    return spare
