"""The papers' sentences in the house's language."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from formulary.catalogue import Catalogue
from formulary.house import House
from formulary.messages import Message, Parameter, message


@dataclass(frozen=True, slots=True)
class Words:
    """What a paper says, by the last parts of its keys."""

    catalogue: Catalogue

    def __call__(self, key: str, **parameters: Parameter) -> str:
        """Return a text of the papers."""
        return self.catalogue.text(message(f"papers.{key}", **parameters))

    def text(self, said: Message) -> str:
        """Return what another part of the program says."""
        return self.catalogue.text(said)

    def written(self, value: Parameter) -> str:
        """Return a value as it stands in a table."""
        return self.catalogue.written(value)

    def signed(self, name: str, at: datetime) -> str:
        """Return who and when."""
        return self("who_when", who=name, at=at)


def words_of(house: House) -> Words:
    """Return the words of a house's papers."""
    return Words(Catalogue(house.language, house.decimal_sign))
