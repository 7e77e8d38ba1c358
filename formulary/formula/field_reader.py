"""One table of plain fields read with its types: what can't be read is noted at its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, TypeVar

from formulary.errors import BadText, FormularyError
from formulary.messages import message
from formulary.quantity import parsing, units
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density, parse_density
from formulary.quantity.units import Dimension

Fields = Mapping[str, Any]
T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

UNSTATED_SOURCE = "as the formula gives it"


@dataclass
class FieldReader:
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

    def table(self, name: str) -> FieldReader:
        return self.inner(self.value(name, dict, "table") or {}, name)

    def tables(self, name: str) -> list[FieldReader]:
        found: Sequence[Any] = self.value(name, list, "tables") or []
        if not all(isinstance(each, dict) for each in found):
            self.wrong_type(name, "tables")
            return []
        return [self.inner(each, f"{name}.{i}") for i, each in enumerate(found)]

    def inner(self, fields: Fields, name: str) -> FieldReader:
        return FieldReader(fields, self.sign, self.troubles, self.at(name))

    def done(self) -> None:
        """Note every field that nothing asked for."""
        for name in self.fields:
            if name not in self.known:
                known = ", ".join(sorted(self.known))
                self.trouble(str(name), "unknown_field", name=str(name), known=known)
