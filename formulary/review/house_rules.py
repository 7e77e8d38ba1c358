"""Rules of the house: findings it adds, and findings it no longer wants to hear, both signed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import message
from formulary.review.case import Case, Part
from formulary.review.substances import folded, is_called
from formulary.signing import Signature

_OF_HOUSE = "house "


@dataclass(frozen=True, slots=True)
class HouseRule:
    """One rule of the house, about the formulas that hold every one of ``substances``.

    One that ``silences`` a rule of the review keeps its findings from being told there; without
    substances everywhere. Any other adds ``sentence`` with its ``severity`` and ``citation``.
    ``because`` is why; ``signature`` is there once it is kept, ``ended`` once it was taken back.
    Raises :class:`formulary.errors.Refusal` where it says nothing, or adds to every formula.
    """

    id: str
    because: str
    substances: tuple[str, ...] = ()
    silences: str = ""
    severity: Severity = Severity.REASON
    sentence: str = ""
    citation: str = ""
    signature: Signature | None = None
    ended: Signature | None = None
    revision: int = 0

    def __post_init__(self) -> None:
        if bool(self.silences) == bool(self.sentence.strip()):
            raise Refusal(message("review.house.one_thing"))
        if not self.silences and not any(map(str.strip, self.substances)):
            raise Refusal(message("review.house.no_substance"))
        if not self.because.strip():
            raise Refusal(message("review.house.no_reason"))

    @property
    def stands(self) -> bool:
        """Whether it wasn't taken back."""
        return self.ended is None


def is_silenced(finding: Finding, case: Case, rules: Iterable[HouseRule]) -> bool:
    """Tell whether the house silenced a finding; what can't be right is never silent."""
    if finding.severity is Severity.STOP:
        return False
    return any(
        each.silences == finding.rule and _concerned(case, each) is not None
        for each in rules
        if each.silences
    )


def added(case: Case, rules: Iterable[HouseRule]) -> Iterator[Finding]:
    """Yield the findings that the house's own rules add."""
    for rule in rules:
        parts = None if rule.silences else _concerned(case, rule)
        if parts is not None:
            yield Finding(
                rule.severity,
                message("review.house.said", sentence=rule.sentence),
                parts[-1].field,
                message("review.source.house", source=rule.citation or rule.because),
                f"{_OF_HOUSE}{rule.id}",
            )


def is_of_house(finding: Finding) -> bool:
    """Tell whether a rule of the house found it."""
    return finding.rule.startswith(_OF_HOUSE)


def _concerned(case: Case, rule: HouseRule) -> tuple[Part, ...] | None:
    """Return the parts that a rule names, or None where one isn't in the formula."""
    found = []
    for substance in rule.substances:
        part = next((e for e in case.parts if is_called(e.names, folded(substance))), None)
        if part is None:
            return None
        found.append(part)
    return tuple(found)
