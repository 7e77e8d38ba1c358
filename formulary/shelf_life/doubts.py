"""What a pharmacist should know of a date: a set that doesn't hold, facts missing, a habit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.finding import Finding, Severity
from formulary.messages import message
from formulary.shelf_life.asked import Asked, Candidate
from formulary.shelf_life.choosing import Choice
from formulary.shelf_life.limits import by_formula, limit_said
from formulary.shelf_life.rules import citation, cited

RULE_SET = "rule_set"
_FACTS_MISSING = "shelf_life.finding.facts_missing"


def of_set(asked: Asked) -> Iterator[Finding]:
    """Yield why the set doesn't hold on the day of making."""
    rules, day = asked.rules, asked.made_on
    if rules.is_valid_on(day):
        return
    key = "set_too_new" if rules.is_too_new(day) else "set_over"
    limit = rules.valid_from if rules.is_too_new(day) else rules.valid_to
    said = message(f"shelf_life.finding.{key}", title=rules.title, made=day, day=limit or day)
    yield Finding(Severity.STOP, said, RULE_SET, citation(rules))


def of_choice(asked: Asked, choice: Choice, by_rule: Iterable[Candidate]) -> Iterator[Finding]:
    """Yield which facts are missing, and why no limit of the set holds."""
    rules, storage = asked.rules, asked.content.storage
    by_rule = tuple(by_rule)
    counting = [each for each in by_rule if each.counts]
    if choice.missing and counting:
        facts = tuple(message(f"shelf_life.fact.{each.value}") for each in choice.missing)
        meanwhile = min(counting, key=lambda each: each.last_day)
        said = message(
            _FACTS_MISSING,
            facts=facts,
            limit=meanwhile.said,
            end=meanwhile.last_day,
        )
        yield Finding(Severity.NOTE, said, choice.missing[0].value, citation(rules))
    if choice.limits or counting:
        return
    if choice.misfits and storage is not None and storage.highest is not None:
        coldest = min(choice.misfits, key=lambda each: each.kept_at_most or 0)
        said = message(
            "shelf_life.finding.kept_too_warm",
            limit=limit_said(coldest),
            highest=storage.highest,
            needed=coldest.kept_at_most or 0,
        )
        yield Finding(Severity.STOP, said, "storage.highest", cited(coldest))
        return
    said = message("shelf_life.finding.no_limit", title=rules.title)
    yield Finding(Severity.STOP, said, "shelf_life.unopened", citation(rules))


def left_open_in(findings: Iterable[Finding]) -> Finding | None:
    """Return the finding that says which facts are missing, if it is among these."""
    return next((each for each in findings if each.said.key == _FACTS_MISSING), None)


def of_habit(asked: Asked, by_rule: tuple[Candidate, ...]) -> Iterator[Finding]:
    """Yield that the formula's own shelf life reaches past the rule's limit, which then counts."""
    own = next(by_formula(asked), None)
    counting = [each for each in by_rule if each.counts]
    if own is None or not counting:
        return
    bound = min(counting, key=lambda each: each.last_day)
    if own.last_day > bound.last_day:
        said = message(
            "shelf_life.finding.past_the_rule",
            own=own.said,
            own_end=own.last_day,
            limit=bound.said,
            end=bound.last_day,
        )
        yield Finding(Severity.REASON, said, "shelf_life.unopened", bound.source)
