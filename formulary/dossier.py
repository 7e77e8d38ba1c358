"""The dossier of a formula: specification, stability, validation and the like, kept as files."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from formulary.messages import Message, message
from formulary.stock.lot import Attachment


class DossierKind(StrEnum):
    """What a part is (Council of Europe CM/Res(2016)1 asks for a dossier of stock preparations)."""

    SPECIFICATION = "specification"
    STABILITY = "stability"
    VALIDATION = "validation"
    BATCH_HISTORY = "batch history"
    REFERENCE = "reference"
    SAMPLE_LABEL = "sample label"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class DossierItem:
    """One part, never changed once kept: a file, or of a sample label its text.

    ``version_number`` is that of the version which was newest then, or was put in use with it;
    ``label`` is the canonical text of what a label says of that version.
    """

    id: str
    formula_id: str
    part: DossierKind
    title: str
    version_number: int
    at: datetime
    person_id: str
    person: str
    file: Attachment | None = None
    label: str = ""
    revision: int = 0

    @property
    def said(self) -> Message:
        """Return it in words: what it is, for which version, who kept it and when."""
        return message(
            "dossier.one",
            kind=message(f"dossier.kind.{self.part.name.lower()}"),
            title=self.title,
            number=self.version_number,
            person=self.person,
            at=self.at,
        )
