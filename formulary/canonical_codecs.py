"""How each type is written as plain JSON values and read back, made from its type hints.

A codec is made once per type. Writing and reading a formula takes a fraction of a millisecond,
and nothing is imported for it, which is why this isn't left to a library.
"""

from __future__ import annotations

import dataclasses
import typing
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from enum import Enum
from fractions import Fraction
from functools import cache
from types import NoneType, UnionType
from typing import Any, ForwardRef, TypeVar, Union

from formulary import messages
from formulary.errors import FormularyError
from formulary.formula.kinds import Fixed, InParts, PerUnit, Share, ToEndPoint, ToFill, ToTotal
from formulary.messages import Message, message
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.money import Money
from formulary.quantity.writing import exact_text, from_exact_text

FORMAT_FIELD = "format"
KIND_FIELD = "kind"
VALUE_FIELD = "value"

TAGS: dict[type, str] = {
    Fixed: "fixed",
    Share: "share",
    InParts: "in parts",
    PerUnit: "per unit",
    ToTotal: "to total",
    ToEndPoint: "to end point",
    ToFill: "to fill",
    Amount: "amount",
    Concentration: "concentration",
    OneIn: "one in",
    Parts: "parts",
    Money: "money",
    Message: "message",
    Fraction: "number",
    Decimal: "decimal",
    datetime: "moment",
    date: "date",
    tuple: "list",
}
"""What tells the members of a union apart; never changed once written. Text, int, bool say it."""

WIRE_NAMES: dict[tuple[Any, str], str] = {
    (Amount, "number"): "amount",
    (Concentration, "number"): "amount",
    (OneIn, "kind"): "of",
}
"""Fields written under another name than their own."""

_SELF_EVIDENT: tuple[type, ...] = (str, int, bool)
_EMPTY: tuple[object, ...] = (None, "", (), False)


class Unreadable(Exception):
    """A value that isn't what it should be; the path to it grows on the way out."""

    def __init__(self, said: Message) -> None:
        super().__init__(said.key)
        self.said = said
        self.path = ""

    def under(self, step: str) -> Unreadable:
        """Put one more step before the path."""
        self.path = step + self.path
        return self


@dataclass(frozen=True, slots=True)
class Codec:
    """A type's way to plain values and back; reading raises :class:`Unreadable`."""

    write: Callable[[Any], Any]
    read: Callable[[Any], Any]


def codec(hint: Any) -> Codec:  # noqa: ANN401  a type hint can be anything
    """Return the codec of a type hint. Raises TypeError for a type that has no canonical form."""
    return _made(hint)


@cache
def _made(hint: Any) -> Codec:  # noqa: ANN401  a type hint can be anything
    origin = typing.get_origin(hint)
    if origin in (Union, UnionType):
        return _union(typing.get_args(hint))
    if origin is tuple:
        return _tuple(typing.get_args(hint))
    if dataclasses.is_dataclass(origin) and isinstance(origin, type):
        return _record(origin, typing.get_args(hint))
    if isinstance(hint, str | ForwardRef):
        return _later(hint if isinstance(hint, str) else hint.__forward_arg__)
    if isinstance(hint, type):
        return _plain_type(hint)
    raise TypeError(f"{hint!r} has no canonical form")


def _plain_type(kind: type) -> Codec:
    if dataclasses.is_dataclass(kind):
        return _record(kind, ())
    if issubclass(kind, Enum):
        return _enum(kind)
    if kind in _SCALARS:
        return _SCALARS[kind]
    raise TypeError(f"{kind!r} has no canonical form")


# Scalars


def _not(wanted: str, found: object) -> Unreadable:
    shown = message(f"store.canonical.{wanted}")
    return Unreadable(message("store.canonical.not_a", found=str(found)[:40], wanted=shown))


def _is(kind: type, wanted: str) -> Callable[[Any], Any]:
    def read(data: object) -> object:
        if type(data) is not kind:
            raise _not(wanted, data)
        return data

    return read


def _from_text(wanted: str, parse: Callable[[str], Any]) -> Callable[[Any], Any]:
    def read(data: object) -> object:
        if type(data) is not str:
            raise _not(wanted, data)
        try:
            return parse(data)
        except (ValueError, InvalidOperation, FormularyError):
            raise _not(wanted, data) from None

    return read


def _text(value: str) -> str:
    """Return text in NFC; no database keeps NUL, and half a surrogate pair is no text."""
    if not value.isascii():
        value = unicodedata.normalize("NFC", value)
        try:
            value.encode()
        except UnicodeEncodeError:
            raise Unreadable(message("store.canonical.half_a_character")) from None
    if "\0" in value:
        raise Unreadable(message("store.canonical.half_a_character"))
    return value


def _read_text(data: object) -> str:
    if type(data) is not str:
        raise _not("text", data)
    return _text(data)


def _read_date(text: str) -> date:
    if len(text) != len("2026-01-31"):
        raise ValueError(text)
    return date.fromisoformat(text)


def _same(value: Any) -> Any:  # noqa: ANN401  whatever it is, it stays that
    return value


_SCALARS: dict[type, Codec] = {
    str: Codec(_text, _read_text),
    int: Codec(_same, _is(int, "whole_number")),
    bool: Codec(_same, _is(bool, "yes_or_no")),
    Fraction: Codec(exact_text, _from_text("number", from_exact_text)),
    Decimal: Codec(lambda number: format(number, "f"), _from_text("number", Decimal)),
    date: Codec(date.isoformat, _from_text("date", _read_date)),
    datetime: Codec(datetime.isoformat, _from_text("moment", datetime.fromisoformat)),
    NoneType: Codec(_same, _is(NoneType, "nothing")),
}


def _enum(kind: type[Enum]) -> Codec:
    members = {member.value: member for member in kind}

    def read(data: object) -> Enum:
        if type(data) is not str or data not in members:
            allowed = ", ".join(members)
            raise Unreadable(
                message("store.canonical.not_one_of", found=str(data)[:40], allowed=allowed)
            )
        return members[data]

    return Codec(lambda member: member.value, read)


# Sequences and unions


def _tuple(members: tuple[Any, ...]) -> Codec:
    if len(members) == 2 and members[1] is Ellipsis:  # noqa: PLR2004  (item, ...)
        item = codec(members[0])
        return Codec(
            lambda values: _each((item,) * len(values), values, writing=True),
            lambda data: tuple(_each((item,) * len(_listed(data)), data, writing=False)),
        )
    items = tuple(codec(member) for member in members)

    def read(data: object) -> tuple[object, ...]:
        if len(_listed(data)) != len(items):
            raise _not("list", data)
        return tuple(_each(items, data, writing=False))

    return Codec(lambda values: _each(items, values, writing=True), read)


def _listed(data: Any) -> list[Any]:  # noqa: ANN401  data from outside
    if type(data) is not list:
        raise _not("list", data)
    return data


def _each(codecs: tuple[Codec, ...], values: Any, *, writing: bool) -> list[Any]:  # noqa: ANN401
    done: list[Any] = []
    try:
        for each, value in zip(codecs, values, strict=True):
            done.append((each.write if writing else each.read)(value))
    except Unreadable as wrong:
        raise wrong.under(f"[{len(done)}]") from None
    return done


def _union(members: tuple[Any, ...]) -> Codec:
    present = tuple(member for member in members if member is not NoneType)
    inner = codec(present[0]) if len(present) == 1 else _tagged(present)
    if len(present) == len(members):
        return inner
    return Codec(
        lambda value: None if value is None else inner.write(value),
        lambda data: None if data is None else inner.read(data),
    )


def _tagged(members: tuple[Any, ...]) -> Codec:
    """Return the codec of several kinds told apart by their tag; text and int need none."""
    by_type = {_runtime_type(member): codec(member) for member in members}
    bare = {kind: by_type.pop(kind) for kind in _SELF_EVIDENT if kind in by_type}
    writers = {kind: (TAGS[kind], each.write) for kind, each in by_type.items()}
    readers = {TAGS[kind]: each.read for kind, each in by_type.items()}
    records = {TAGS[kind] for kind in by_type if dataclasses.is_dataclass(kind)}

    def write(value: Any) -> Any:  # noqa: ANN401  any member
        if type(value) in bare:
            return bare[type(value)].write(value)
        tag, write_as = writers[type(value)]
        plain = write_as(value)
        return {KIND_FIELD: tag, **(plain if tag in records else {VALUE_FIELD: plain})}

    def read(data: Any) -> Any:  # noqa: ANN401  data from outside
        if type(data) in bare:
            return bare[type(data)].read(data)
        tag = data.get(KIND_FIELD) if type(data) is dict else None
        if tag not in readers:
            allowed = ", ".join(sorted(readers))
            raise Unreadable(
                message("store.canonical.not_one_of", found=str(tag)[:40], allowed=allowed)
            ).under(f".{KIND_FIELD}")
        rest = {name: value for name, value in data.items() if name != KIND_FIELD}
        return readers[tag](rest if tag in records else rest.get(VALUE_FIELD))

    return Codec(write, read)


def _runtime_type(hint: Any) -> type:  # noqa: ANN401  a type hint can be anything
    if isinstance(hint, ForwardRef):
        hint = getattr(messages, hint.__forward_arg__)
    kind = typing.get_origin(hint) or hint
    if not isinstance(kind, type):
        raise TypeError(f"{hint!r} has no canonical form")
    return kind


def _later(name: str) -> Codec:
    """Return the codec of a name of :mod:`formulary.messages` that stands within itself."""
    return Codec(
        lambda value: codec(getattr(messages, name)).write(value),
        lambda data: codec(getattr(messages, name)).read(data),
    )


# Records


@dataclass(frozen=True, slots=True)
class _Field:
    """One field of a record: its own name, its written name, and whether empty is left out."""

    name: str
    wire: str
    codec: Codec
    needed: bool
    default: object
    leave_out: bool


def _record(kind: type, arguments: tuple[Any, ...]) -> Codec:
    @cache
    def fields() -> tuple[_Field, ...]:
        # Only when first used, so that a record may hold its own kind.
        return _fields(kind, arguments)

    def write(value: Any) -> dict[str, Any]:  # noqa: ANN401  an instance of kind
        plain = {}
        for field in fields():
            held = getattr(value, field.name)
            if field.leave_out and held == field.default:
                continue
            try:
                plain[field.wire] = field.codec.write(held)
            except Unreadable as wrong:
                raise wrong.under(f".{field.wire}") from None
        return plain

    return Codec(write, lambda data: _read_record(kind, fields(), data))


def _read_record(kind: type, fields: tuple[_Field, ...], data: object) -> object:
    if type(data) is not dict:
        raise _not("record", data)
    known = {}
    for field in fields:
        if field.wire in data:
            try:
                known[field.name] = field.codec.read(data[field.wire])
            except Unreadable as wrong:
                raise wrong.under(f".{field.wire}") from None
        elif field.needed:
            raise Unreadable(message("store.canonical.missing")).under(f".{field.wire}")
    if len(known) < len(data):
        _refuse_unknown(fields, data)
    try:
        return kind(**known)
    except FormularyError as said:
        raise Unreadable(said.message) from None
    except (TypeError, ValueError) as said:
        raise Unreadable(message("store.canonical.impossible", why=str(said))) from None


def _refuse_unknown(fields: tuple[_Field, ...], data: dict[str, object]) -> None:
    wires = {field.wire for field in fields}
    for name in data:
        if name not in wires:
            raise Unreadable(message("store.canonical.unknown")).under(f".{name}")


def _fields(kind: Any, arguments: tuple[Any, ...]) -> tuple[_Field, ...]:  # noqa: ANN401
    variables = dict(zip(getattr(kind, "__parameters__", ()), arguments, strict=True))
    hints = typing.get_type_hints(kind)
    return tuple(
        _field(kind, field, _filled(hints[field.name], variables))
        for field in dataclasses.fields(kind)
        if field.init
    )


def _filled(hint: Any, variables: dict[TypeVar, Any]) -> Any:  # noqa: ANN401  a type hint
    return variables.get(hint, hint) if isinstance(hint, TypeVar) else hint


def _field(kind: type, field: dataclasses.Field[Any], hint: Any) -> _Field:  # noqa: ANN401
    wire = WIRE_NAMES.get((kind, field.name), field.name)
    if wire in (KIND_FIELD, FORMAT_FIELD):
        raise TypeError(f"{kind.__name__}.{field.name} needs another name when it is written")
    needed = field.default is dataclasses.MISSING
    way = codec(hint)
    return _Field(
        field.name, wire, way, needed, field.default, not needed and _is_empty(field.default)
    )


def _is_empty(default: Any) -> bool:  # noqa: ANN401  a field's default
    if dataclasses.is_dataclass(default) and not isinstance(default, type):
        return not codec(type(default)).write(default)
    return any(default is empty or default == empty != 0 for empty in _EMPTY)
