"""What is wrong with a layout of the house, before anything is printed by it.

Each doubt is a finding at its element; nothing that can't be right goes into use.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import combinations

from formulary.finding import Finding, Severity
from formulary.labels.barcode import code_width_mm
from formulary.labels.data_matrix import largest_module_mm, matrix_side_mm
from formulary.labels.design import (
    ALWAYS,
    ESSENTIALS,
    NO_TEXT,
    Box,
    Design,
    Thing,
    unplaced,
)
from formulary.labels.designed import floor_of, least_height, least_size
from formulary.labels.jar_code import JarCode
from formulary.labels.page import dot_mm
from formulary.labels.parts import FIELDS
from formulary.labels.pictogram import DIAMOND_MM, SIGN_MM
from formulary.messages import Message, Parameter, message
from formulary.wording.label_profile import Profile

PRINTERS = (203, 300, 600)
"""The dots per inch that label printers come with; a layout holds for each."""

_ACROSS = 0.9
# Said only where a profile asks for it.
_ON_DEMAND = frozenset({Thing.FORM, Thing.ROUTE, Thing.TARGET, Thing.COMPOSITION, Thing.COMPOUNDED})
# What nobody must miss where a label says it, under any profile.
_EVERYWHERE = tuple(
    each for each in Thing if each in ESSENTIALS - _ON_DEMAND - {*ALWAYS, Thing.BESIDE}
)
_HAIR = 1e-6
_ORDER = (Severity.STOP, Severity.REASON, Severity.NOTE)


def design_findings(design: Design, profile: Profile, jar: JarCode) -> tuple[Finding, ...]:
    """Return all doubts about a layout, stops first; ``jar`` is the longest code it has to hold.

    ``field`` of each is the element it is about.
    """
    found = (
        *_outside(design),
        *_overlapping(design),
        *_twice(design),
        *_type(design, profile),
        *_lines(design, profile),
        *_across(design),
        *_first(design),
        *_codes(design, jar),
        *_missing(design, profile),
        *_without_place(design, profile),
    )
    return tuple(sorted(found, key=lambda each: _ORDER.index(each.severity)))


def stops(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return those that keep a layout from being put in use."""
    return tuple(each for each in findings if each.severity is Severity.STOP)


def _outside(design: Design) -> Iterator[Finding]:
    for box in design.boxes:
        if not box.place.within(design.inside):
            yield _stop(box.thing, "outside", margin=_mm(design.stock.margin_mm))
        if min(box.width, box.height) <= 0:
            yield _stop(box.thing, "no_size")


def _overlapping(design: Design) -> Iterator[Finding]:
    for one, other in combinations(design.boxes, 2):
        if one.place.overlaps(other.place) and not _goes_round(design, one, other):
            key = (
                "quiet_zone" if {one.thing, other.thing} & {Thing.SQUARE, Thing.BARS} else "overlap"
            )
            yield _stop(other.thing, key, other=one.thing.called)


def _goes_round(design: Design, one: Box, other: Box) -> bool:
    """Tell whether one is the rest, whose lines end before the code in its corner."""
    square = Thing.SQUARE in {one.thing, other.thing}
    return square and any(design.corner_of(each) is not None for each in (one, other))


def _twice(design: Design) -> Iterator[Finding]:
    for one, other in combinations(design.boxes, 2):
        if one.thing is other.thing:
            yield _stop(one.thing, "twice")


def _type(design: Design, profile: Profile) -> Iterator[Finding]:
    """Yield a stop for type smaller than the jurisdiction or the size of the stock asks for."""
    for box in _texts(design):
        least = least_size(design.stock, box.thing, floor_of(profile, design.stock))
        if box.size_pt < least:
            yield Finding(
                Severity.STOP,
                _said("small_type", box.thing, least=_mm(least), size=_mm(box.size_pt)),
                box.thing.value,
                _source(profile, profile.sizes_source) if profile.sizes_source else None,
            )


def _lines(design: Design, profile: Profile) -> Iterator[Finding]:
    for box in _texts(design):
        least = least_size(design.stock, box.thing, floor_of(profile, design.stock))
        if 0 < box.height < least_height(least) - _HAIR:
            yield _stop(box.thing, "low", least=_up(least_height(least)))


def _across(design: Design) -> Iterator[Finding]:
    """Yield a stop for a stamp that doesn't stand across the label's whole face."""
    for box in design.boxes:
        if box.thing is Thing.STAMP and box.width < _ACROSS * design.inside.width:
            yield _stop(box.thing, "not_across")


def _first(design: Design) -> Iterator[Finding]:
    """Yield a stop where something stands before what must not be missed, in reading or in place.

    The name is read first of all, under the stamp.
    """
    read = [each for each in _texts(design) if each.thing is not Thing.STAMP]
    named = [each for each in read if each.thing is Thing.NAME]
    for name in named:
        above = next((each for each in read if each.top < name.top - _HAIR), None)
        if above is not None or read[0] is not name:
            first = above or read[0]
            yield _stop(first.thing, "name_first")
    seen: list[Box] = []
    for box in read:
        if box.thing not in ESSENTIALS:
            seen.append(box)
            continue
        before = next((each for each in seen if each.thing is not box.thing), None)
        higher = next((each for each in read if _stands_above(each, box)), None)
        late = before or higher
        if late is not None:
            yield _stop(late.thing, "essentials_first", other=box.thing.called)


def _stands_above(one: Box, essential: Box) -> bool:
    """Tell whether small print stands above an essential, in its way."""
    beside = one.left >= essential.left + essential.width or essential.left >= one.left + one.width
    return one.thing not in ESSENTIALS and one.top < essential.top - _HAIR and not beside


def _codes(design: Design, jar: JarCode) -> Iterator[Finding]:
    """Yield a stop for a code that some printer's dots don't fit into its box, and its module."""
    for box in design.boxes:
        if box.thing is Thing.SQUARE:
            yield from _square(box, jar, design.stock.dots_per_inch)
        elif box.thing is Thing.BARS:
            widths = {dots: code_width_mm(jar.lot, dots) + dot_mm(dots) for dots in PRINTERS}
            yield from _too_small(box.thing, box.width, widths)
        elif box.thing is Thing.PICTOGRAMS:
            yield from _pictograms(box)


def _pictograms(box: Box) -> Iterator[Finding]:
    if box.height < SIGN_MM - _HAIR:
        yield _stop(box.thing, "low", least=_up(SIGN_MM))
    elif box.height < DIAMOND_MM - _HAIR:
        said = _said("diamond", box.thing, least=_up(DIAMOND_MM))
        yield Finding(Severity.REASON, said, box.thing.value)


def _square(box: Box, jar: JarCode, printer: int) -> Iterator[Finding]:
    side = min(box.width, box.height)
    yield from _too_small(
        box.thing, side, {dots: matrix_side_mm(jar, dots) + dot_mm(dots) for dots in PRINTERS}
    )
    module = largest_module_mm(jar, side, printer)
    if module:
        dots = round(module / dot_mm(printer))
        said = _said("module", box.thing, n=dots, printer=printer, side=_mm(module))
        yield Finding(Severity.NOTE, said, box.thing.value)


def _too_small(thing: Thing, has: float, needs: dict[int, float]) -> Iterator[Finding]:
    short = {dots: need for dots, need in needs.items() if has + _HAIR < need}
    if short:
        dots = max(short, key=lambda each: short[each])
        yield _stop(thing, "code_small", least=_up(short[dots]), has=_mm(has), printer=dots)


def _missing(design: Design, profile: Profile) -> Iterator[Finding]:
    """Yield a stop for what every label or the profile asks for, and for an essential, unplaced."""
    for thing in ALWAYS:
        if thing not in design.things and not design.says(thing.field):
            yield _stop(thing, "always")
    for each in profile.requires:
        field = FIELDS[each.element]
        if not design.says(field) and Thing(field.value) not in ALWAYS:
            thing = Thing(field.value)
            source = _source(profile, each.source)
            yield Finding(Severity.STOP, _said("missing", thing), thing.value, source)
    required = {FIELDS[each.element] for each in profile.requires}
    for thing in unplaced(design, _EVERYWHERE):
        if thing.field not in required:
            yield _stop(thing, "essential")


def _without_place(design: Design, profile: Profile) -> Iterator[Finding]:
    """Yield what labels could say and have no place for: those that do are refused."""
    asked = {FIELDS[each] for each in profile.elements}
    known = {*ALWAYS, *_EVERYWHERE, *_ON_DEMAND, *NO_TEXT, Thing.REST}
    others = (each for each in Thing if each.field not in asked and each not in known)
    lost = unplaced(design, others)
    if Thing.PICTOGRAMS not in design.things:
        said = message("layouts.finding.no_pictograms")
        yield Finding(Severity.REASON, said, Thing.PICTOGRAMS.value)
    if lost:
        named = tuple(each.called for each in lost)
        yield Finding(Severity.REASON, message("layouts.finding.no_place", things=named), "")


def _texts(design: Design) -> Iterator[Box]:
    return (each for each in design.boxes if each.thing not in NO_TEXT)


def _stop(thing: Thing, key: str, **parameters: Parameter) -> Finding:
    return Finding(Severity.STOP, _said(key, thing, **parameters), thing.value)


def _said(key: str, thing: Thing, **parameters: Parameter) -> Message:
    return message(f"layouts.finding.{key}", thing=thing.called, **parameters)


def _source(profile: Profile, source: str) -> Message:
    return message("label.profile_source", source=source, profile=profile.title)


def _mm(number: float) -> Fraction:
    return Fraction(str(round(number, 2)))


def _up(number: float) -> Fraction:
    """Return a least measure to the tenth of a millimetre above it."""
    return Fraction(-int(-number * 10 // 1), 10)
