"""A prescription's text parted into pieces, and what each piece is read as."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from formulary.formula.content import Form, Role, Route
from formulary.formula.kinds import Kind
from formulary.messages import Message
from formulary.prescription.names import Candidate

# Where one line of text goes on with something else: an instruction, the signature, the next
# ingredient after a semicolon.
_PARTING = re.compile(
    r"(?<=;)\s+"
    r"|\s+(?=[Mm]\.?\s*(?:[Dd]\.\s*[Ss]\.|[Ff](?:t)?\.|isce\b))"
    r"|(?<![DdMm]\.)\s+(?=(?:[Dd]\.\s*)?S\.\s)"
    r"|\s+(?=(?:[Ss]ig\.|[Ss]igna:?)\s)"
    r"|\s+(?=[Dd]\.\s*t\.\s*d\.)"
    r"|(?<=^Rp\.)\s+|(?<=^Rx)\s+|(?<=^Rp)\s+|(?<=^Rx\.)\s+",
)


class Sort(StrEnum):
    """What a piece is."""

    HEADING = "heading"
    INGREDIENT = "ingredient"
    QUANTITY = "quantity"
    INSTRUCTION = "instruction"
    DIRECTIONS = "directions"
    PATIENT = "patient"
    PRESCRIBER = "prescriber"
    DATE = "date"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a text: all of line ``number`` (from 1), or where that goes on with another sort."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class ReadLine:
    """What one piece was read as: a proposal, until a person confirms it.

    ``written`` is the ingredient's name as prescribed, ``ingredient`` the house's name proposed for
    it (empty where none is), ``quantity`` the proposal as the formula's parser reads it.
    ``meaning`` says in words what was understood, ``doubts`` what wasn't or could be otherwise.
    """

    number: int
    text: str
    sort: Sort
    written: str = ""
    ingredient: str = ""
    ingredient_id: str = ""
    alternatives: tuple[Candidate, ...] = ()
    quantity: str = ""
    kind: Kind | None = None
    role: Role = Role.OTHER
    meaning: tuple[Message, ...] = ()
    doubts: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class Prescription:
    """A whole text as read: every piece in order, and what they say of the whole.

    ``units`` is the number of dose units; ``directions`` are the words after "S.". Form and route
    are proposals, None where the text doesn't say.
    """

    lines: tuple[ReadLine, ...]
    form: Form | None = None
    route: Route | None = None
    units: int | None = None
    directions: str = ""
    doubts: tuple[Message, ...] = ()


def pieces(text: str) -> Iterator[Piece]:
    """Yield the pieces of a text in order; put together again they hold all but the spaces."""
    for number, line in enumerate(text.splitlines(), 1):
        for part in _PARTING.split(line.strip()):
            if part.strip():
                yield Piece(number, part.strip())
