"""Instructions: what is to be made, how often, how it is divided, in known terms and their rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from formulary.formula.content import Form, Route
from formulary.messages import Message, message
from formulary.prescription.classifying import Draft, count_of
from formulary.prescription.latin import Found, Term, Token, term_at, terms_in, tokens_of
from formulary.prescription.lines import Sort

ROUTES = {
    Form.SUPPOSITORIES: Route.RECTAL,
    Form.PESSARIES: Route.VAGINAL,
    Form.CAPSULES: Route.ORAL,
    Form.POWDERS: Route.ORAL,
    Form.SYRUP: Route.ORAL,
    Form.MOUTHWASH: Route.MOUTH,
    Form.LINIMENT: Route.SKIN,
    Form.OINTMENT: Route.SKIN,
    Form.CREAM: Route.SKIN,
    Form.PASTE: Route.SKIN,
    Form.GEL: Route.SKIN,
    Form.LOTION: Route.SKIN,
}
"""The way of use proposed for a form; what goes by several is asked (common practice)."""

_IN_DIRECTIONS = ("direction", "error-prone", "drops", "half")


@dataclass(frozen=True, slots=True)
class Instructions:
    """What the instructions say of the whole; ``doses`` means each line is for one unit."""

    form: Form | None = None
    route: Route | None = None
    units: int | None = None
    doses: bool = False
    doubts: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """A piece in words: the terms understood, and the doubts about the rest."""

    meaning: tuple[Message, ...]
    doubts: tuple[Message, ...]


def term_said(term: Term) -> Message:
    """Return a term's meaning as a message."""
    return message(f"prescription.term.{term.code}")


def in_words(text: str) -> Words:
    """Return an instruction in words; words that aren't known are each a doubt."""
    tokens = tokens_of(text)
    meaning: list[Message] = []
    unknown: list[str] = []
    for part in _parts(tokens):
        if isinstance(part, Term):
            meaning.append(term_said(part))
        elif isinstance(part, int):
            meaning.append(message("prescription.meaning.count", n=part))
        else:
            unknown.append(part.written)
    doubts = (message("prescription.doubt.words", words=" ".join(unknown)),) if unknown else ()
    return Words(tuple(meaning), doubts)


def directions_of(text: str) -> tuple[str, Words]:
    """Return the directions after their "S.", with one doubt for each term nobody should print."""
    tokens = tokens_of(text)
    marker = term_at(tokens, 0, ("signature",))
    start = 0 if marker is None else tokens[marker.after - 1].end
    directions = text[start:].strip(" :")
    after = tokens_of(directions)
    doubts = dict.fromkeys(
        message(
            f"prescription.doubt.{_doubt_about(found.term)}",
            written=_as_written(directions, after, found),
            meaning=term_said(found.term),
        )
        for found in terms_in(after, _IN_DIRECTIONS)
    )
    meaning = () if marker is None else (term_said(marker.term),)
    return directions, Words(meaning, tuple(doubts))


def error_prone_in(name: str) -> tuple[Message, ...]:
    """Return a doubt for each writing in a name that is known to be misread."""
    tokens = tokens_of(name)
    return tuple(
        message(
            "prescription.doubt.error_prone",
            written=_as_written(name, tokens, found),
            meaning=term_said(found.term),
        )
        for found in terms_in(tokens, ("error-prone",))
    )


def instructions_of(drafts: Iterable[Draft], *, doses: bool | None = None) -> Instructions:
    """Return what all instructions together say of the whole, with what they leave open.

    ``doses`` settles whether quantities are for one unit, where somebody found out.
    """
    texts = [draft.piece.text for draft in drafts if draft.sort is Sort.INSTRUCTION]
    parts = [part for text in texts for part in _parts(tokens_of(text))]
    terms = [part for part in parts if isinstance(part, Term)]
    counts = [part for part in parts if isinstance(part, int)]
    forms = list(dict.fromkeys(Form(term.form) for term in terms if term.form))
    kinds = {term.kind for term in terms}
    if doses is not None:
        kinds = kinds - {"doses", "divide"} | {"doses" if doses else "divide"}
    units = counts[0] if len(set(counts)) == 1 and counts[0] > 0 else None
    form = _form(forms, divided=units is not None)
    return Instructions(
        form=form,
        route=_route(terms, form),
        units=units,
        doses="doses" in kinds,
        doubts=tuple(_left_open(forms, kinds, counts)),
    )


def _as_written(text: str, tokens: Sequence[Token], found: Found) -> str:
    return text[tokens[found.first].start : tokens[found.after - 1].end]


def _doubt_about(term: Term) -> str:
    return "error_prone" if term.kind == "error-prone" else "latin"


def _parts(tokens: Sequence[Token]) -> Iterator[Term | int | Token]:
    """Yield terms, the numbers after "No." and everything else that isn't a mere sign."""
    at, number_next = 0, False
    while at < len(tokens):
        found = term_at(tokens, at)
        # "div." are Roman figures too; a term of one letter ("D.") gives way to them.
        may_count = number_next and (found is None or len(tokens[at].word) == 1)
        count = count_of(tokens[at]) if may_count else None
        if count is not None:
            yield count
        elif found is not None:
            yield found.term
        elif tokens[at].written[0].isalnum():
            yield tokens[at]
        number_next = found is not None and found.term.kind in ("number", "doses", "divide")
        at = found.after if found is not None and count is None else at + 1


def _form(forms: Sequence[Form], *, divided: bool) -> Form | None:
    if len(forms) != 1:
        return None
    return Form.POWDERS if forms[0] is Form.POWDER and divided else forms[0]


def _route(terms: Sequence[Term], form: Form | None) -> Route | None:
    said = list(dict.fromkeys(Route(term.route) for term in terms if term.route))
    if said:
        return said[0] if len(said) == 1 else None
    return None if form is None else ROUTES.get(form)


def _left_open(forms: Sequence[Form], kinds: set[str], counts: Sequence[int]) -> Iterator[Message]:
    if len(forms) > 1:
        names = tuple(message(f"formula.form.{form.name.lower()}") for form in forms)
        yield message("prescription.doubt.forms", forms=names)
    elif not forms:
        yield message("prescription.doubt.no_form")
    if "sterile" in kinds:
        yield message("prescription.doubt.sterile")
    if len(set(counts)) > 1:
        yield message("prescription.doubt.counts", counts=tuple(counts))
    if {"doses", "divide"} <= kinds:
        yield message("prescription.doubt.doses_and_divided")
    elif counts and not kinds & {"doses", "divide"}:
        yield message("prescription.doubt.doses_or_divided", n=counts[0])
    elif kinds & {"doses", "divide"} and not counts:
        yield message("prescription.doubt.no_count")
