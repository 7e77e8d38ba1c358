"""A prescription read line by line into proposals; nothing is dropped, nothing is settled here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from formulary.formula.content import Content, Form, Role
from formulary.formula.fields_of import kind_text
from formulary.formula.kind_text import said as quantity_said
from formulary.formula.kinds import Fixed, Kind, PerUnit, ToTotal
from formulary.ingredient import Ingredient
from formulary.messages import Message, message
from formulary.prescription.amounts import read_quantity
from formulary.prescription.classifying import Draft, classify
from formulary.prescription.instructing import (
    Instructions,
    directions_of,
    error_prone_in,
    in_words,
    instructions_of,
)
from formulary.prescription.lines import Prescription, ReadLine, Sort
from formulary.prescription.names import Fit, candidates, chosen

NO_ROLES: Mapping[str, Role] = MappingProxyType({})

_SEMISOLID = frozenset({Form.OINTMENT, Form.CREAM, Form.PASTE, Form.GEL})
_OF_BASES = _SEMISOLID | {Form.SUPPOSITORIES, Form.PESSARIES}
_FILLED = frozenset({Form.CAPSULES, Form.POWDER, Form.POWDERS})


@dataclass(frozen=True, slots=True)
class _Setting:
    """What every line is read with: the house's ingredients and sign, and the instructions.

    ``roles`` are what the house's ingredients usually are in its formulas, by their ids.
    """

    ingredients: Sequence[Ingredient]
    decimal_sign: str
    roles: Mapping[str, Role]
    instructions: Instructions


def read(
    text: str,
    ingredients: Sequence[Ingredient],
    decimal_sign: str = ".",
    roles: Mapping[str, Role] = NO_ROLES,
    *,
    doses: bool | None = None,
) -> Prescription:
    """Return a prescription as read; whatever the text, nothing is raised and no line is lost.

    ``doses`` is what a person found out where the text leaves it open: whether each quantity is
    for one unit, or the whole is divided. ``roles`` are those of :func:`roles_of`.
    """
    drafts = classify(text, ingredients)
    said = instructions_of(drafts, doses=doses)
    setting = _Setting(ingredients, decimal_sign, roles, said)
    lines = tuple(_line(draft, setting) for draft in drafts)
    directions = " ".join(filter(None, (_directions(draft) for draft in drafts)))
    return Prescription(
        lines=lines,
        form=said.form,
        route=said.route,
        units=said.units,
        directions=directions,
        doubts=(*said.doubts, *_of_whole(drafts, directions)),
    )


def roles_of(house: Iterable[Content]) -> Mapping[str, Role]:
    """Return what each ingredient is in most of the house's formulas, by id; active if it's even.

    The formulas' lines are completed with their ingredients' ids.
    """
    counted: dict[str, Counter[Role]] = {}
    for line in (line for content in house for line in content.lines if line.ingredient_id):
        counted.setdefault(line.ingredient_id, Counter())[line.role] += 1
    return {each: _most(roles) for each, roles in counted.items()}


def _most(roles: Counter[Role]) -> Role:
    return max(Role, key=lambda role: (roles[role], role is Role.ACTIVE))


def without_people(prescription: Prescription, also: Collection[int] = ()) -> str:
    """Return the text to be kept with an order: without the lines that name anybody.

    ``also`` are the positions of further lines that a person found a name in.
    """
    kept = [
        line.text
        for position, line in enumerate(prescription.lines)
        if line.sort not in (Sort.PATIENT, Sort.PRESCRIBER) and position not in also
    ]
    return "\n".join(kept)


def _directions(draft: Draft) -> str:
    return directions_of(draft.piece.text)[0] if draft.sort is Sort.DIRECTIONS else ""


def _of_whole(drafts: Sequence[Draft], directions: str) -> tuple[Message, ...]:
    sorts = [draft.sort for draft in drafts]
    open_questions = {
        "no_ingredients": Sort.INGREDIENT not in sorts,
        "several": sorts.count(Sort.HEADING) > 1,
        "no_directions": not directions,
    }
    return tuple(
        message(f"prescription.doubt.{key}") for key, is_so in open_questions.items() if is_so
    )


def _line(draft: Draft, setting: _Setting) -> ReadLine:
    piece = draft.piece
    plain = ReadLine(piece.number, piece.text, draft.sort)
    if draft.sort is Sort.INGREDIENT:
        return _ingredient(plain, draft, setting)
    if draft.sort is Sort.QUANTITY:
        return _bare_quantity(plain, draft)
    if draft.sort is Sort.INSTRUCTION:
        words = in_words(piece.text)
        return replace(plain, meaning=words.meaning, doubts=words.doubts)
    if draft.sort is Sort.DIRECTIONS:
        directions, words = directions_of(piece.text)
        said = (message("prescription.meaning.directions", text=directions),) if directions else ()
        meaning = (*words.meaning, *said)
        return replace(
            plain, meaning=meaning, doubts=words.doubts or _if_empty(piece.text, meaning)
        )
    key = f"prescription.meaning.{draft.sort.value}"
    if draft.sort is Sort.UNKNOWN:
        return replace(plain, doubts=(message("prescription.doubt.words", words=piece.text),))
    return replace(plain, meaning=(message(key),))


def _if_empty(text: str, meaning: tuple[Message, ...]) -> tuple[Message, ...]:
    return () if meaning else (message("prescription.doubt.words", words=text),)


def _bare_quantity(plain: ReadLine, draft: Draft) -> ReadLine:
    if draft.group:
        said = message("prescription.meaning.for_group", names=draft.group)
        return replace(plain, meaning=(said,))
    return replace(plain, doubts=(message("prescription.doubt.no_name"),))


def _ingredient(plain: ReadLine, draft: Draft, setting: _Setting) -> ReadLine:
    named = _named(replace(plain, written=draft.name), setting)
    measured = _measured(named, draft, setting)
    role = setting.roles.get(measured.ingredient_id) or _usual_role(
        measured.kind, setting.instructions.form
    )
    return replace(measured, role=role)


def _named(line: ReadLine, setting: _Setting) -> ReadLine:
    found = candidates(line.written, setting.ingredients)
    one = chosen(found)
    doubts = error_prone_in(line.written)
    if one is None:
        names = tuple(each.name for each in found)
        key = "which" if names else "not_known"
        unsure = message(f"prescription.doubt.{key}", written=line.written, names=names)
        return replace(line, alternatives=found, doubts=(unsure, *doubts))
    if one.fit in (Fit.ABBREVIATED, Fit.SHORT):
        key = "abbreviated" if one.fit is Fit.ABBREVIATED else "shorter"
        taken = {"written": line.written, "name": one.name}
        doubts = (message(f"prescription.doubt.{key}", beyond=one.beyond, **taken), *doubts)
    return replace(
        line,
        ingredient=one.name,
        ingredient_id=one.ingredient_id,
        alternatives=tuple(each for each in found if each != one),
        doubts=doubts,
    )


def _measured(line: ReadLine, draft: Draft, setting: _Setting) -> ReadLine:
    if draft.tail is None:
        said = message("prescription.doubt.no_quantity")
        return replace(line, doubts=(*line.doubts, said))
    percent = "w/w" if setting.instructions.form in _SEMISOLID else None
    proposal = read_quantity(line.written, draft.tail, setting.decimal_sign, percent)
    doubts = [*line.doubts, *proposal.doubts]
    if len(draft.group) == 1:
        doubts.append(message("prescription.doubt.each_alone"))
    kind = proposal.kind
    if kind is None:
        return replace(line, doubts=tuple(doubts))
    of_unit = _of_each_unit(kind, setting.instructions)
    if isinstance(of_unit, ToTotal) and of_unit != kind:
        doubts.append(message("prescription.doubt.total_of_units", total=of_unit.total))
    return replace(
        line,
        kind=of_unit,
        quantity=kind_text(of_unit, setting.decimal_sign),
        meaning=(_meaning(of_unit, draft.group),),
        doubts=tuple(doubts),
    )


def _of_each_unit(kind: Kind, said: Instructions) -> Kind:
    """Return a quantity written for one unit ("d.t.d.") as the formula's for all of them."""
    if not said.doses or said.units is None:
        return kind
    if isinstance(kind, Fixed):
        return PerUnit(kind.amount)
    if isinstance(kind, ToTotal):
        return ToTotal(kind.total * said.units, kind.shared)
    return kind


def _meaning(kind: Kind, group: tuple[str, ...]) -> Message:
    quantity = quantity_said(kind)
    if isinstance(kind, ToTotal):
        key = "shares_rest" if kind.shared else "up_to"
        return message(f"prescription.meaning.{key}", total=kind.total, names=group)
    if isinstance(kind, Fixed) and kind.each:
        return message("prescription.meaning.of_each", amount=kind.amount, names=group)
    return message("prescription.meaning.quantity", quantity=quantity)


def _usual_role(kind: Kind | None, form: Form | None) -> Role:
    """Return what a line most likely is: what makes up to the total is the base or vehicle."""
    if not isinstance(kind, ToTotal):
        return Role.ACTIVE
    if form in _FILLED:
        return Role.FILLER
    return Role.BASE if form in _OF_BASES else Role.VEHICLE
