"""A field's value as the text of an input, and back."""

from __future__ import annotations

from enum import Enum, auto

from ui.forms.fields import YES


class Shape(Enum):
    """What a field's value is in the open file."""

    TEXT = auto()
    WHOLE = auto()
    FLAG = auto()
    LINES = auto()
    LIST = auto()


SHAPES = {
    "synonyms": Shape.LIST,
    "units": Shape.WHOLE,
    "mould.spare": Shape.WHOLE,
    "capsule.spare": Shape.WHOLE,
    "storage.lowest": Shape.WHOLE,
    "storage.highest": Shape.WHOLE,
    "storage.do_not_freeze": Shape.FLAG,
    "storage.protect_from_light": Shape.FLAG,
    "storage.keep_dry": Shape.FLAG,
    "container.protect_from_light": Shape.FLAG,
    "container.child_resistant": Shape.FLAG,
    "evidence.same_composition": Shape.FLAG,
    "evidence.same_container": Shape.FLAG,
    "evidence.same_storage": Shape.FLAG,
    "evidence.preservative_tested": Shape.FLAG,
    "factors.unstable": Shape.FLAG,
    "risk.product": Shape.WHOLE,
    "risk.yearly": Shape.WHOLE,
    "risk.hazard": Shape.WHOLE,
    "risk.process": Shape.WHOLE,
    "risk.supply": Shape.WHOLE,
    "special_risks": Shape.LINES,
    "double_check": Shape.FLAG,
    "label.warnings": Shape.LINES,
    "label.extra": Shape.LINES,
}
MINUS = "\N{MINUS SIGN}"


def text_of(name: str, value: object) -> str:
    """Return the value of a field as its input shows it."""
    if value is None or value is False:
        return ""
    if value is True:
        return YES
    if isinstance(value, list):
        between = "; " if SHAPES.get(name) is Shape.LIST else "\n"
        return between.join(str(each) for each in value)
    return str(value)


def value_of(name: str, text: str) -> object:
    """Return the value that an input's text means; what can't be one stays a text to be refused."""
    match SHAPES.get(name, Shape.TEXT):
        case Shape.FLAG:
            return text == YES
        case Shape.WHOLE:
            return _whole(text)
        case Shape.LINES:
            return [line.strip() for line in text.split("\n") if line.strip()]
        case Shape.LIST:
            return [each.strip() for each in text.split(";") if each.strip()]
        case Shape.TEXT:
            return text


def _whole(text: str) -> int | str:
    plain = text.strip().replace(MINUS, "-")
    return int(plain) if plain.removeprefix("-").isdecimal() and plain.isascii() else text.strip()
