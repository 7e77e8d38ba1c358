"""What changed between two versions of a formula, field by field, for whoever reviews it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import reduce
from typing import Any, TypeAlias

from formulary.catalogue import keys_under
from formulary.formula.content import Content
from formulary.formula.fields_of import fields_of
from formulary.messages import Message, message

Row: TypeAlias = Mapping[str, Any]
Said: TypeAlias = str | Message

KEYED: dict[str, str] = {"ingredient": "name", "phase": "code", "test": "name"}
"""The tables whose rows are known again by a field of theirs; steps are by what they say."""

ALIKE = 0.5
"""How alike two steps' texts are at least to be one step reworded; ours, no source."""


@dataclass(frozen=True, slots=True)
class Change:
    """One field that differs; an empty side means that there was, or is, nothing."""

    place: Message
    before: Said
    after: Said


def difference(before: Content, after: Content, decimal_sign: str = ".") -> tuple[Change, ...]:
    """Return every field that differs, in the order in which a formula is read."""
    one, two = fields_of(before, decimal_sign), fields_of(after, decimal_sign)
    return tuple(_tables_and_fields(one, two))


def stated(content: Content, decimal_sign: str = ".") -> tuple[Change, ...]:
    """Return every field that a content states beside its lines, phases, steps and tests."""
    apart = (*KEYED, "step", "format")
    fields = fields_of(content, decimal_sign)
    return tuple(
        _tables_and_fields({}, {name: fields[name] for name in fields if name not in apart})
    )


def _tables_and_fields(one: Row, two: Row) -> Iterator[Change]:
    for name in _names(one, two):
        was, now = one.get(name), two.get(name)
        if was == now:
            continue
        if name in KEYED:
            yield from _rows(name, was or [], now or [])
        elif name == "step":
            yield from _steps(was or [], now or [])
        elif isinstance(was or now, dict):
            yield from _fields(f"field.{name}", was or {}, now or {})
        else:
            yield _change(f"field.{name}", was, now)


def _names(one: Row, two: Row) -> tuple[str, ...]:
    """Return the fields of both, each once, in the order of the version that has them."""
    return tuple(dict.fromkeys((*one, *two)))


def _fields(place: str, one: Row, two: Row, **named: str | int) -> Iterator[Change]:
    for name in _names(one, two):
        if one.get(name) != two.get(name):
            said = _WORDED.get(f"{place}.{name}", _as_is)
            sides = said(one.get(name)), said(two.get(name))
            yield _change(f"{place}.{name}", *sides, **named)


def _as_is(value: object) -> object:
    return value


def _warnings(codes: Any) -> object:  # noqa: ANN401  a list of codes, or nothing
    """Return warnings as the label says them, in place of their codes."""
    known = keys_under("label.warning")
    keys = {code: f"label.warning.{code}" for code in codes or ()}
    said = [message(key) if key in known else code for code, key in keys.items()]
    return reduce(_one_after_another, said) if said else None


def _one_after_another(first: Said, second: Said) -> Said:
    return message("difference.sentences", first=first, second=second)


_WORDED: dict[str, Callable[[Any], object]] = {"field.label.warnings": _warnings}
"""The fields that are kept as codes, and how they are said."""


def _change(place: str, was: object, now: object, **named: str | int) -> Change:
    return Change(message(f"difference.{place}", **named), _said(was), _said(now))


def _said(value: object) -> Said:
    match value:
        case None:
            return ""
        case Message():
            return value
        case bool():
            return message(f"difference.{'yes' if value else 'no'}")
        case dict():
            return ", ".join(str(_said(each)) for each in value.values())
        case list():
            return "; ".join(str(_said(each)) for each in value)
        case _:
            return str(value)


def _rows(table: str, one: Sequence[Row], two: Sequence[Row]) -> Iterator[Change]:
    """Yield rows that came, went or changed, and their order where it isn't the same any more."""
    key = KEYED[table]
    was, now = _by_name(one, key), _by_name(two, key)
    for name in _names(was, now):
        if name in was and name in now:
            yield from _fields(table, was[name], now[name], name=name)
        else:
            yield _row(table, name, was.get(name), now.get(name), key)
    stayed = [name for name in was if name in now]
    ordered = [name for name in now if name in was]
    if stayed != ordered:
        yield _change(f"{table}.order", stayed, ordered)


def _by_name(rows: Sequence[Row], key: str) -> dict[str, Row]:
    """Return rows by what names them; the second of a name, as water in two phases, says so."""
    found: dict[str, Row] = {}
    times: dict[str, int] = {}
    for row in rows:
        name = row.get(key, "")
        times[name] = times.get(name, 0) + 1
        found[name if times[name] == 1 else f"{name} ({times[name]})"] = row
    return found


def _row(table: str, name: str, was: Row | None, now: Row | None, key: str) -> Change:
    place = message(f"difference.{table}.{'removed' if now is None else 'added'}", name=name)
    return Change(place, _without(was, key), _without(now, key))


def _without(row: Row | None, key: str) -> Said:
    """Return a row without the field that names it, or all of it where there is no other."""
    if row is None:
        return ""
    others = {name: value for name, value in row.items() if name != key}
    return _said(others or dict(row))


def _steps(one: Sequence[Row], two: Sequence[Row]) -> Iterator[Change]:
    """Yield steps that came, went or changed, numbered as they stand now, else as they stood."""
    for was, now in _paired(
        [each.get("text", "") for each in one], [each.get("text", "") for each in two]
    ):
        if was is not None and now is not None:
            yield from _fields("step", one[was], two[now], number=now + 1)
        elif now is not None:
            place = message("difference.step.added", number=now + 1)
            yield Change(place, "", two[now].get("text", ""))
        elif was is not None:
            place = message("difference.step.removed", number=was + 1)
            yield Change(place, one[was].get("text", ""), "")


def _paired(one: Sequence[str], two: Sequence[str]) -> Iterator[tuple[int | None, int | None]]:
    """Yield pairs of positions: the same or nearly the same text, each text once and in order."""
    free = 0
    for now, text in enumerate(two):
        found = next((i for i in range(free, len(one)) if _alike(one[i], text)), None)
        if found is None:
            yield None, now
            continue
        yield from ((gone, None) for gone in range(free, found))
        yield found, now
        free = found + 1
    yield from ((gone, None) for gone in range(free, len(one)))


def _alike(one: str, two: str) -> bool:
    return one == two or SequenceMatcher(None, one, two, autojunk=False).ratio() >= ALIKE
