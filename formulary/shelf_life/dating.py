"""The last day of use: the earliest of every limit that counts, and which one that was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from formulary.finding import Finding, Severity
from formulary.formula.content import Period, Storage
from formulary.formula.periods import said as period_said
from formulary.messages import Message, Parameter, message
from formulary.shelf_life import doubts
from formulary.shelf_life.asked import Asked, Candidate, Kind
from formulary.shelf_life.choosing import choose
from formulary.shelf_life.doubts import RULE_SET
from formulary.shelf_life.limits import by_formula, by_materials, by_rule
from formulary.shelf_life.rules import RuleSet, citation
from formulary.shelf_life.storage_words import bare_terms
from formulary.use_by import Counting
from formulary.working import Working

MADE_ON = "made_on"
_BY_RULES = (Kind.RULE, Kind.EVIDENCE, Kind.CEILING)


@dataclass(frozen=True, slots=True)
class Dated:
    """How long a preparation made on a day lasts, and why.

    ``opened`` is how long it lasts once opened, beside the last day of use. A finding that stops
    means that there is no date to be trusted: nothing is made by it.
    """

    rules: RuleSet
    made_on: date
    candidates: tuple[Candidate, ...]
    steps: tuple[Message, ...]
    opened: Period | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def bound_by(self) -> Candidate:
        """The earliest limit that counts; of two on one day the first named."""
        counting = (each for each in self.candidates if each.counts)
        return min(counting, key=lambda each: each.last_day)

    @property
    def use_by(self) -> date:
        """The last day of use."""
        return self.bound_by.last_day

    @property
    def working(self) -> Working[date]:
        """The last day of use with the steps that led to it."""
        bound = self.bound_by
        last = message("shelf_life.step.result", end=bound.last_day, bound=bound.said)
        return Working(bound.last_day, (*self.steps, last), citation(self.rules))

    @property
    def stop(self) -> Finding | None:
        """What keeps anything from being dated so, if there is something."""
        return next((each for each in self.findings if each.severity is Severity.STOP), None)


def dated(asked: Asked) -> Dated:
    """Return the last day of use of what is asked.

    Raises :class:`ValueError` for a formula without a shelf life that no limit fits.
    """
    choice = choose(asked.content, asked.rules)
    ruled, of_evidence = by_rule(asked, choice)
    candidates = (*ruled, *by_formula(asked), *by_materials(asked.materials))
    if not any(each.counts for each in candidates):
        raise ValueError("a formula without a shelf life, for which there is no limit")
    life = asked.content.shelf_life
    found = Dated(
        rules=asked.rules,
        made_on=asked.made_on,
        candidates=candidates,
        steps=tuple(_steps(asked, candidates)),
        opened=life.opened if life else None,
    )
    findings = (
        *doubts.of_set(asked),
        *doubts.of_choice(asked, choice, ruled),
        *of_evidence,
        *doubts.of_habit(asked, ruled),
        *_end_doubts(found),
        *bare_terms(asked.content.storage),
    )
    return replace(found, findings=findings)


def allowed_by_rules(found: Dated) -> tuple[Candidate, Candidate] | None:
    """Return how long the rule set allows, and how long at best if what is left open were told.

    Evidence and ceiling are included, the formula's own limit and what goes into a batch aren't.
    None where the set says nothing that can be trusted.
    """
    ruled = [each for each in found.candidates if each.counts and each.kind in _BY_RULES]
    if not ruled or found.stop is not None:
        return None
    surely = min(ruled, key=_last_day)
    rules = [each for each in found.candidates if each.kind is Kind.RULE]
    return surely, max(rules, key=_last_day) if surely.kind is Kind.RULE else surely


def listed_as(found: Dated, own: Period) -> Message | None:
    """Return what a list says in place of a formula's ``own`` period, where that doesn't count."""
    if found.stop is not None:
        return message("shelf_life.listed.stopped")
    ends = [each.last_day for each in found.candidates if each.kind is Kind.FORMULA]
    if all(end <= found.use_by for end in ends):
        return None
    said: dict[str, Parameter] = {"end": found.use_by, "own": period_said(own)}
    if found.opened is None:
        return message("shelf_life.listed.sooner", **said)
    return message("shelf_life.listed.sooner_opened", **said, opened=period_said(found.opened))


def _last_day(limit: Candidate) -> date:
    return limit.last_day


def colder_than_kept(found: Dated, storage: Storage | None) -> Message | None:
    """Return why a date contradicts the storage: the limit that binds it holds only colder."""
    bound = found.bound_by
    highest = storage.highest if storage else None
    if bound.kept_at_most is None or (highest is not None and highest <= bound.kept_at_most):
        return None
    needed = bound.kept_at_most
    if highest is None:
        return message("shelf_life.no_storage", limit=bound.said, needed=needed)
    return message("shelf_life.colder_than_kept", limit=bound.said, highest=highest, needed=needed)


def of_formula(found: Dated, storage: Storage | None) -> tuple[Finding, ...]:
    """Return what of a date its formula is to mend: its stops, or that it is kept warmer.

    A set that doesn't hold that day is none of it. Kept warmer than the limit that binds is no
    stop: that may be the shortest of several while the formula leaves open which one holds.
    """
    stops = tuple(
        each
        for each in found.findings
        if each.severity is Severity.STOP and each.field not in (RULE_SET, MADE_ON)
    )
    warmer = None if stops else colder_than_kept(found, storage)
    if warmer is None:
        return stops
    return (Finding(Severity.REASON, warmer, "storage.highest", found.bound_by.source),)


def outlasts(found: Dated, days: int) -> Finding | None:
    """Return a finding where a treatment of so many days from the day of making outlasts the date.

    The day of making is the first day of treatment; every later start leaves a day less.
    """
    lasts = (found.use_by - found.made_on).days + 1
    if days <= lasts:
        return None
    said = message("shelf_life.finding.treatment_longer", n=days, lasts=lasts, end=found.use_by)
    return Finding(Severity.REASON, said, "treatment_days", found.bound_by.source)


def _steps(asked: Asked, candidates: Iterable[Candidate]) -> Iterator[Message]:
    rules = asked.rules
    yield message("shelf_life.step.rules", title=rules.title)
    counting = rules.counting or asked.counting or Counting.DAY_1
    who = "set" if rules.counting else "house" if asked.counting else "earlier"
    how = message(f"shelf_life.counting.{counting.name.lower()}")
    yield message(f"shelf_life.step.counted_by_{who}", how=how, made=asked.made_on)
    if not rules.asks_for_container:
        yield message("shelf_life.step.any_container")
    for each in candidates:
        key = "counts" if each.counts else "aside"
        yield message(f"shelf_life.step.{key}", limit=each.said, end=each.last_day)


def _end_doubts(found: Dated) -> Iterator[Finding]:
    if found.use_by < found.made_on:
        said = message(
            "shelf_life.finding.over_before_made",
            bound=found.bound_by.said,
            end=found.use_by,
            made=found.made_on,
        )
        yield Finding(Severity.STOP, said, MADE_ON)
