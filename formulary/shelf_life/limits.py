"""Every limit that a preparation has: by rule, by evidence, by its formula and by its materials."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from formulary.finding import Finding, Severity
from formulary.formula.periods import said as period_said
from formulary.messages import Message, message
from formulary.shelf_life.asked import Asked, Candidate, Kind
from formulary.shelf_life.choosing import Choice
from formulary.shelf_life.materials import Ending
from formulary.shelf_life.proof import objections
from formulary.shelf_life.rules import Limit, cited


def by_rule(asked: Asked, choice: Choice) -> tuple[tuple[Candidate, ...], tuple[Finding, ...]]:
    """Return the rule's limits, the shortest counting, and evidence where it takes their place."""
    limits = [
        Candidate(
            Kind.RULE,
            limit_said(each),
            asked.last_day(each.period).result,
            cited(each),
            kept_at_most=each.kept_at_most,
        )
        for each in choice.limits
    ]
    evidence = asked.content.evidence
    if evidence is None:
        return _shortest_counts(limits), ()
    end = asked.last_day(evidence.period).result
    said = message("shelf_life.limit.evidence", period=period_said(evidence.period))
    shown = Candidate(
        Kind.EVIDENCE, said, end, message("shelf_life.seen", source=evidence.citation)
    )
    against = tuple(objections(evidence, asked.content, asked.rules, signed=asked.signed))
    if not against:
        return (*_none_count(limits), shown, *_ceiling(asked)), ()
    shorter = bool(limits) and end < min(each.last_day for each in limits)
    doubt = message("shelf_life.finding.evidence_lifts_nothing", why=against)
    findings = () if shorter else (Finding(Severity.REASON, doubt, "evidence"),)
    return (*_shortest_counts(limits), *((shown,) if shorter else _none_count([shown]))), findings


def limit_said(limit: Limit) -> Message:
    """Return a rule's limit in words, with the storage for which it holds in numbers."""
    period = period_said(limit.period)
    if limit.kept_at_most is None:
        return message("shelf_life.limit.rule", name=limit.name, period=period)
    return message(
        "shelf_life.limit.rule_kept", name=limit.name, period=period, highest=limit.kept_at_most
    )


def _shortest_counts(limits: list[Candidate]) -> tuple[Candidate, ...]:
    """Return the limits, of which only the first of the shortest counts."""
    if not limits:
        return ()
    shortest = min(limits, key=lambda each: each.last_day)
    return tuple(each if each is shortest else _none_count([each])[0] for each in limits)


def _none_count(limits: list[Candidate]) -> tuple[Candidate, ...]:
    return tuple(replace(each, counts=False) for each in limits)


def _ceiling(asked: Asked) -> Iterator[Candidate]:
    rules = asked.rules
    if rules.ceiling is not None:
        said = message("shelf_life.limit.ceiling", period=period_said(rules.ceiling))
        source = message("shelf_life.seen", source=rules.ceiling_source)
        yield Candidate(Kind.CEILING, said, asked.last_day(rules.ceiling).result, source)


def by_formula(asked: Asked) -> Iterator[Candidate]:
    """Yield the formula's own shelf life, where it has one."""
    life = asked.content.shelf_life
    if life is not None:
        said = message("shelf_life.limit.formula", period=period_said(life.unopened))
        reference = life.reference or life.reason
        source = message("shelf_life.seen", source=reference) if reference else None
        yield Candidate(Kind.FORMULA, said, asked.last_day(life.unopened).result, source)


def by_materials(materials: Iterable[Ending]) -> Iterator[Candidate]:
    """Yield the date of each material; nobody can lift one."""
    for each in materials:
        said = message(f"shelf_life.limit.{each.sort.value}", name=each.name, number=each.number)
        yield Candidate(Kind(each.sort.value), said, each.last_day)
