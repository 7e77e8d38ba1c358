"""People: those who work here, and the patients and prescribers behind opaque ids."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Post(StrEnum):
    """What somebody does here."""

    PHARMACIST = "pharmacist"
    TECHNICIAN = "technician"
    READER = "reader"
    ADMINISTRATOR = "administrator"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works here and signs acts."""

    id: str
    name: str
    post: Post
    revision: int = 0


class Part(StrEnum):
    """What an outside person is to a preparation."""

    PATIENT = "patient"
    PRESCRIBER = "prescriber"


@dataclass(frozen=True, slots=True)
class Identity:
    """A patient's or prescriber's name, kept apart so that it can be erased alone."""

    id: str
    part: Part
    name: str
    revision: int = 0
