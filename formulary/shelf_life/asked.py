"""What is dated, and one limit of it with its last day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from formulary.formula.content import Content, Period
from formulary.messages import Message
from formulary.shelf_life.materials import Ending
from formulary.shelf_life.rules import RuleSet
from formulary.use_by import Counting, last_day
from formulary.working import Working


class Kind(StrEnum):
    """What sort of limit it is."""

    RULE = "rule"
    EVIDENCE = "evidence"
    CEILING = "ceiling"
    FORMULA = "formula"
    LOT = "lot"
    INTERMEDIATE = "intermediate"
    OPENED = "opened"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One limit with its last day; one that doesn't count is shown beside those that do.

    ``kept_at_most`` is the warmest storage in °C for which it holds, None where it holds for any.
    """

    kind: Kind
    said: Message
    last_day: date
    source: Message | None = None
    counts: bool = True
    kept_at_most: int | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A formula to date: made when, by which rules, whether signed, and what went into it.

    ``counting`` is the house's own where the rule set doesn't say how days are counted.
    """

    content: Content
    made_on: date
    rules: RuleSet
    signed: bool = False
    counting: Counting | None = None
    materials: tuple[Ending, ...] = ()

    def last_day(self, period: Period) -> Working[date]:
        """Return the last day of a period, counted as the set says, else as the house does."""
        return last_day(self.made_on, period, self.rules.counting or self.counting)
