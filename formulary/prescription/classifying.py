"""Each piece of a prescription told apart: ingredient, instruction, directions and the rest."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.ingredient import Ingredient
from formulary.prescription.amounts import Tail, tail_of
from formulary.prescription.latin import Token, roman, term_at, tokens_of
from formulary.prescription.lines import Piece, Sort, pieces
from formulary.prescription.names import Fit, candidates

_DATE = re.compile(r"(?:\d{1,2}[./-]){2}(?:\d{4}|\d{2})|\d{4}-\d{2}-\d{2}")
_INSTRUCTING = frozenset({"instruction", "doses", "divide", "route", "sterile"})
_BY_TERM = {
    "signature": Sort.DIRECTIONS,
    "patient": Sort.PATIENT,
    "prescriber": Sort.PRESCRIBER,
    **dict.fromkeys(_INSTRUCTING, Sort.INSTRUCTION),
}


@dataclass(frozen=True, slots=True)
class Draft:
    """A piece with its sort; an ingredient's ``name`` and ``tail`` are what is written of it.

    ``group`` are the names that share an "aa", this one's among them.
    """

    piece: Piece
    sort: Sort
    name: str = ""
    tail: Tail | None = None
    group: tuple[str, ...] = ()


def classify(text: str, ingredients: Sequence[Ingredient] = ()) -> tuple[Draft, ...]:
    """Return every piece of a text with its sort, the lines of an "aa" holding its quantity.

    The strength in the name of one of these ingredients ("Ethanoli 70 %") is no quantity.
    """
    found: list[Draft] = []
    before, instructed = Sort.HEADING, False
    for piece in pieces(text):
        draft = _draft(piece, before, ingredients, instructed=instructed)
        found.append(draft)
        instructed = draft.sort is not Sort.HEADING and (
            instructed or draft.sort is Sort.INSTRUCTION
        )
        before = draft.sort if draft.sort in (Sort.DIRECTIONS, Sort.HEADING) else before
    return _grouped(_without_letterhead(found))


def _without_letterhead(drafts: Sequence[Draft]) -> Sequence[Draft]:
    """Return the drafts; what stands before "Rp." without a quantity is no ingredient."""
    sorts = [draft.sort for draft in drafts]
    begins = sorts.index(Sort.HEADING) if Sort.HEADING in sorts else 0
    return [
        Draft(draft.piece, Sort.UNKNOWN)
        if place < begins and draft.sort is Sort.INGREDIENT and draft.tail is None
        else draft
        for place, draft in enumerate(drafts)
    ]


def _draft(
    piece: Piece, before: Sort, ingredients: Sequence[Ingredient], *, instructed: bool
) -> Draft:
    tokens = tokens_of(piece.text)
    split = tail_of(piece.text)
    sort = _sort_by_term(tokens, has_quantity=split is not None)
    if sort is None and _DATE.fullmatch(piece.text):
        sort = Sort.DATE
    if sort is None and before is Sort.DIRECTIONS:
        sort = Sort.DIRECTIONS
    if sort is not None:
        return Draft(piece, sort)
    if split is not None:
        name, tail = split
        if tail.unit == "%" and _is_named(piece.text, tail, ingredients):
            return Draft(piece, Sort.INGREDIENT, piece.text)
        return Draft(piece, Sort.INGREDIENT if name else Sort.QUANTITY, name, tail)
    nameless = instructed or not any(token.is_word for token in tokens)
    return Draft(piece, Sort.UNKNOWN) if nameless else Draft(piece, Sort.INGREDIENT, piece.text)


def _is_named(text: str, tail: Tail, ingredients: Sequence[Ingredient]) -> bool:
    """Tell whether a per cent is the strength in an ingredient's own name."""
    found = candidates(text, ingredients)
    return bool(found) and found[0].fit <= Fit.INFLECTED and tail.number in found[0].name


def _sort_by_term(tokens: Sequence[Token], *, has_quantity: bool) -> Sort | None:
    """Return the sort that the first term, or all of them together, make certain."""
    found = term_at(tokens, 0)
    if _says_how_many(tokens):
        return Sort.INSTRUCTION
    if found is None:
        return None
    if found.term.kind == "heading":
        rest = tokens[found.after :]
        return None if any(each.is_word for each in rest) else Sort.HEADING
    one_letter = found.after == 1 and len(tokens[0].word) == 1
    if one_letter and has_quantity and found.term.kind == "instruction":
        return None
    return _BY_TERM.get(found.term.kind)


def _says_how_many(tokens: Sequence[Token]) -> bool:
    """Tell whether a piece is nothing but known terms and a number of units ("Caps. No. XX")."""
    at, counted = 0, False
    while at < len(tokens):
        found = term_at(tokens, at)
        if found is not None:
            counted = counted or found.term.kind == "number"
            at = found.after
        elif counted and is_figure(tokens[at]):
            at += 1
        else:
            return False
    return counted


def is_figure(token: Token) -> bool:
    """Tell whether a token is a whole number, in Arabic or Roman figures."""
    return count_of(token) is not None


def count_of(token: Token) -> int | None:
    """Return the whole number that a token writes in Arabic or Roman figures."""
    figures = token.written.rstrip(".")
    if figures.isascii() and figures.isdigit():
        return int(figures)
    return roman(figures)


def _grouped(drafts: Sequence[Draft]) -> tuple[Draft, ...]:
    """Return the drafts with the quantity of each "aa" at all the lines above that wait for it."""
    result = list(drafts)
    waiting: list[int] = []
    for place, draft in enumerate(drafts):
        if _waits(draft):
            waiting.append(place)
        elif _ends_group(draft):
            own = [place] if draft.sort is Sort.INGREDIENT else []
            members = [*waiting, *own]
            names = tuple(drafts[each].name for each in members)
            for each in {*members, place}:
                result[each] = replace(drafts[each], tail=draft.tail, group=names)
            waiting = []
        elif draft.sort in (Sort.INGREDIENT, Sort.QUANTITY, Sort.HEADING):
            waiting = []
    return tuple(result)


def _waits(draft: Draft) -> bool:
    """Tell whether an ingredient has no quantity of its own, or only an "aa"."""
    if draft.sort is not Sort.INGREDIENT:
        return False
    return draft.tail is None or (draft.tail.each and not draft.tail.measures)


def _ends_group(draft: Draft) -> bool:
    return draft.tail is not None and draft.tail.each and draft.tail.measures
