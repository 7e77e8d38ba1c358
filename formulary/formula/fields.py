"""A formula as plain fields (the open file, or an editor's texts) read into its content.

The same reader serves the file and the window, so that both refuse the same things with the same
sentences. Every trouble is collected with its place, such as ``ingredient.2.quantity``; one never
hides another.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import Any, TypeVar

from formulary.errors import BadText, FormularyError
from formulary.formula.content import (
    BatchLimits,
    Container,
    Content,
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
)
from formulary.formula.kind_text import parse_kind
from formulary.formula.kinds import ToEndPoint, ToTotal
from formulary.formula.periods import parse_period
from formulary.messages import message
from formulary.quantity import parsing, units
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density
from formulary.quantity.units import Dimension

Fields = Mapping[str, Any]
T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

COLDEST, HOTTEST = -80, 100
"""Whole degrees Celsius that a storage temperature may have."""
UNSTATED_SOURCE = "as the formula gives it"


@dataclass
class _Reader:
    """Reads one table of fields; what can't be read is noted and its default stands in."""

    fields: Fields
    sign: str
    troubles: list[BadText]
    place: str = ""
    known: set[str] = field(default_factory=set)

    def at(self, name: str) -> str:
        return f"{self.place}.{name}" if self.place else name

    def attempt(self, name: str, read: Callable[[], T], default: T) -> T:
        """Return what ``read`` gives; note its refusal at ``name`` and return the default."""
        try:
            return read()
        except FormularyError as error:
            self.troubles.append(BadText(error.message, field=self.at(name)))
            return default

    def trouble(self, name: str, key: str, /, **parameters: str) -> None:
        said = message(f"formula.file.{key}", **parameters)
        self.troubles.append(BadText(said, field=self.at(name)))

    def value(self, name: str, kind: type[T], wanted: str) -> T | None:
        """Return a field of a type, None if it is absent, empty or (noted) of another type."""
        self.known.add(name)
        value = self.fields.get(name)
        if value is None or value == "":
            return None
        if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            self.wrong_type(name, wanted)
            return None
        return value

    def wrong_type(self, name: str, wanted: str) -> None:
        expected = message(f"formula.file.type.{wanted}")
        said = message("formula.file.wrong_type", name=name, wanted=expected)
        self.troubles.append(BadText(said, field=self.at(name)))

    def text(self, name: str, *, needed: bool = False) -> str:
        found = (self.value(name, str, "text") or "").strip()
        if needed and not found and self.is_absent(name):
            self.trouble(name, "missing_field", name=name)
        return found

    def is_absent(self, name: str) -> bool:
        """Tell whether a field isn't there or is blank; one of a wrong type is noted already."""
        value = self.fields.get(name)
        return not (value.strip() if isinstance(value, str) else value)

    def flag(self, name: str) -> bool:
        return bool(self.value(name, bool, "flag"))

    def whole(self, name: str) -> int | None:
        return self.value(name, int, "number")

    def texts(self, name: str) -> tuple[str, ...]:
        found = self.value(name, list, "list") or []
        if not all(isinstance(each, str) for each in found):
            self.wrong_type(name, "list")
            return ()
        return tuple(each.strip() for each in found if each.strip())

    def read(self, name: str, reader: Callable[[str], T]) -> T | None:
        """Return a text field read by ``reader``, None if absent or (noted) unreadable."""
        text = self.text(name)
        return self.attempt(name, lambda: reader(text), None) if text else None

    def amount(self, name: str, *dimensions: Dimension) -> Amount | None:
        found = self.read(name, lambda text: parsing.parse_amount(text, self.sign))
        if found is None:
            return None
        if not found.number or units.dimension(found.unit) not in dimensions:
            self.trouble(name, "not_a_size", name=name)
            return None
        return found

    def choice(self, name: str, kind: type[E], *, default: E | None = None) -> E | None:
        text = self.text(name, needed=default is None)
        if not text:
            return default
        for member in kind:
            if member.value.casefold() == text.casefold():
                return member
        known = ", ".join(member.value for member in kind)
        self.trouble(name, "not_one_of", value=text, known=known)
        return default

    def density(self, name: str) -> Density | None:
        source = self.text(f"{name}_source") or UNSTATED_SOURCE
        at = self.text(f"{name}_at")
        return self.read(name, lambda text: parse_density(text, self.sign, source, at))

    def table(self, name: str) -> _Reader:
        return self.inner(self.value(name, dict, "table") or {}, name)

    def tables(self, name: str) -> list[_Reader]:
        found: Sequence[Any] = self.value(name, list, "tables") or []
        if not all(isinstance(each, dict) for each in found):
            self.wrong_type(name, "tables")
            return []
        return [self.inner(each, f"{name}.{i}") for i, each in enumerate(found)]

    def inner(self, fields: Fields, name: str) -> _Reader:
        return _Reader(fields, self.sign, self.troubles, self.at(name))

    def done(self) -> None:
        """Note every field that nothing asked for."""
        for name in self.fields:
            if name not in self.known:
                known = ", ".join(sorted(self.known))
                self.trouble(str(name), "unknown_field", name=str(name), known=known)


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
    reader = _Reader(fields, decimal_sign, troubles)
    if reader.whole("format") not in (None, 1):
        reader.trouble("format", "format")
    content = _content(reader)
    reader.done()
    return ContentReading(content, tuple(troubles))


def _content(reader: _Reader) -> Content:
    title = reader.text("title", needed=True)
    code = reader.text("code", needed=True)
    phases = tuple(_phase(each) for each in reader.tables("phase"))
    total = reader.amount("total", Dimension.MASS, Dimension.VOLUME)
    return Content(
        title=title,
        code=code,
        form=reader.choice("form", Form) or Form.OTHER,
        route=reader.choice("route", Route) or Route.SKIN,
        lines=_lines(reader, phases, total),
        total=total,
        units=_count(reader, "units"),
        unit_name=reader.text("unit_name"),
        dose=reader.amount("dose", Dimension.MASS, Dimension.VOLUME),
        density=reader.density("density"),
        latin=reader.text("latin"),
        synonyms=reader.texts("synonyms"),
        phases=phases,
        steps=tuple(_step(each, phases) for each in reader.tables("step")),
        tests=tuple(_test(each) for each in reader.tables("test")),
        container=_container(reader.table("container")),
        storage=_storage(reader.table("storage")),
        shelf_life=_shelf_life(reader.table("shelf_life")),
        label=_label(reader.table("label")),
        batch=_batch(reader.table("batch")),
        purpose=reader.text("purpose"),
        cautions=reader.text("cautions"),
        source=reader.text("source"),
    )


def _count(reader: _Reader, name: str) -> int | None:
    count = reader.whole(name)
    if count is not None and count < 1:
        reader.trouble(name, "not_a_count", name=name)
        return None
    return count


def _lines(reader: _Reader, phases: tuple[Phase, ...], total: Amount | None) -> tuple[Line, ...]:
    tables = reader.tables("ingredient")
    if not tables and reader.is_absent("ingredient"):
        reader.trouble("ingredient", "no_ingredients")
    return tuple(_line(each, phases, default_kind(total)) for each in tables)


def default_kind(total: Amount | None) -> str | None:
    """Return what a bare per cent means beside this declared total: w/w in a mass, else unsaid."""
    by_mass = total is not None and units.dimension(total.unit) == Dimension.MASS
    return "w/w" if by_mass else None


def _line(reader: _Reader, phases: tuple[Phase, ...], default_kind: str | None) -> Line:
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


def _phase_code(reader: _Reader, phases: tuple[Phase, ...]) -> str:
    code = reader.text("phase")
    if code and code not in [phase.code for phase in phases]:
        reader.trouble("phase", "unknown_phase", phase=code)
    return code


def _phase(reader: _Reader) -> Phase:
    phase = Phase(reader.text("code", needed=True), reader.text("name"))
    reader.done()
    return phase


def _step(reader: _Reader, phases: tuple[Phase, ...]) -> MethodStep:
    step = MethodStep(
        text=reader.text("text", needed=True),
        phase=_phase_code(reader, phases),
        temperature=reader.text("temperature"),
        time=reader.text("time"),
        speed=reader.text("speed"),
        equipment=reader.text("equipment"),
        look_for=reader.text("look_for"),
    )
    reader.done()
    return step


def _test(reader: _Reader) -> QualityTest:
    test = QualityTest(
        reader.text("name", needed=True),
        reader.text("limits", needed=True),
        reader.text("when") or "final",
    )
    reader.done()
    return test


def _container(reader: _Reader) -> Container | None:
    container = Container(reader.text("text"), reader.flag("protect_from_light"))
    reader.done()
    return container if container.text else None


def _storage(reader: _Reader) -> Storage | None:
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


def _degrees(reader: _Reader, name: str) -> int | None:
    degrees = reader.whole(name)
    if degrees is not None and not COLDEST <= degrees <= HOTTEST:
        reader.trouble(name, "whole_degrees", name=name)
        return None
    return degrees


def _shelf_life(reader: _Reader) -> ShelfLife | None:
    unopened = reader.read("unopened", parse_period)
    opened = reader.read("opened", parse_period)
    reason, reference = reader.text("reason"), reader.text("reference")
    reader.done()
    if unopened is None:
        if opened or reason or reference:
            reader.trouble("unopened", "missing_field", name="unopened")
        return None
    return ShelfLife(unopened, opened, reason, reference)


def _label(reader: _Reader) -> LabelText:
    label = LabelText(
        name=reader.text("name"),
        strength=reader.text("strength"),
        directions=reader.text("directions"),
        warnings=reader.texts("warnings"),
        extra=reader.texts("extra"),
    )
    reader.done()
    return label


def _batch(reader: _Reader) -> BatchLimits:
    sizes = (Dimension.MASS, Dimension.VOLUME, Dimension.PIECES)
    batch = BatchLimits(reader.amount("smallest", *sizes), reader.amount("largest", *sizes))
    reader.done()
    return batch
