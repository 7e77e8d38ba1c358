"""Labels as they were drawn, kept as text: what stood where, but for the names of people."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from formulary.errors import BadText
from formulary.labels.page import (
    BarRun,
    Direction,
    Field,
    GlyphRun,
    Item,
    MatrixRun,
    Page,
    Picture,
    Rule,
)
from formulary.messages import message

PEOPLE = frozenset({Field.PATIENT, Field.PRESCRIBER})
_FORM = "1"
"""Goes before the text and a colon; another way of writing it gets another number."""
_KINDS: tuple[type[Item], ...] = (GlyphRun, Rule, BarRun, MatrixRun, Picture)
_BY_NAME = {kind.__name__: kind for kind in _KINDS}


def keep_pages(pages: Iterable[Page]) -> str:
    """Return labels as text that :func:`kept_pages` reads, without what names a person.

    It is JSON, packed (zlib, RFC 1950) and in letters (base64, RFC 4648): the labels of one print
    differ in little.
    """
    plain = [[each.width_mm, each.height_mm, _items(each)] for each in pages]
    text = json.dumps(plain, ensure_ascii=False, separators=(",", ":"))
    return f"{_FORM}:{base64.b64encode(zlib.compress(text.encode())).decode()}"


def kept_pages(text: str) -> tuple[Page, ...]:
    """Return the labels, none for a print from before they were kept.

    Raises :class:`formulary.errors.BadText` for a text that holds none.
    """
    if not text:
        return ()
    try:
        plain = json.loads(_unpacked(text))
        return tuple(Page(width, height, _read(items)) for width, height, items in plain)
    except (binascii.Error, zlib.error, ValueError, TypeError, KeyError) as trouble:
        raise BadText(message("label.bad_kept_page")) from trouble


def _unpacked(text: str) -> bytes:
    form, _, packed = text.partition(":")
    if form != _FORM:
        raise ValueError(form)
    return zlib.decompress(base64.b64decode(packed, validate=True))


def _items(page: Page) -> list[list[Any]]:
    shown = (each for each in page.items if each.field not in PEOPLE)
    return [
        [type(each).__name__, *(getattr(each, field.name) for field in fields(each))]
        for each in shown
    ]


def _read(items: list[list[Any]]) -> tuple[Item, ...]:
    return tuple(_item(_BY_NAME[name], values) for name, *values in items)


def _item(kind: type[Item], values: list[Any]) -> Item:
    names = [field.name for field in fields(kind)]
    told = dict(zip(names, values, strict=True))
    told["field"] = Field(told["field"])
    if kind is GlyphRun:
        told["direction"] = Direction(told["direction"])
    if kind is BarRun:
        told["bars"] = tuple((left, width) for left, width in told["bars"])
    if kind is MatrixRun:
        told["rows"] = tuple(told["rows"])
    return kind(**told)
