"""Whether the method names each ingredient at the step at which the bench weighs it."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.bench.method import closing_step, method_of, opening_step
from formulary.finding import Finding
from formulary.review.case import Case, Part
from formulary.review.rule import Rule, note, reason, standard
from formulary.review.substances import folded


def named_elsewhere(case: Case) -> Iterator[Finding]:
    """Find an ingredient that the method names at other steps than the one it is weighed at.

    Named only before, the step asks for what isn't weighed yet; named only after, it waits in its
    boat longer than the method says. One that no step names goes in with its phase.
    """
    method = method_of(case.content)
    for part in case.parts:
        first, last = (each(method, part.position) for each in (opening_step, closing_step))
        named = _steps_naming(case, part)
        if first is None or last is None or not named:
            continue
        if any(first <= each <= last for each in named):
            continue
        early = named[0] < first
        # Water is named again where what evaporated is made up.
        if not early and part.is_a("water"):
            continue
        find = reason if early else note
        yield find(
            "named_before" if early else "named_after",
            f"step.{named[0]}.adds",
            standard("mfr"),
            ingredient=part.name,
            named=named[0] + 1,
            weighed=first + 1,
        )


def _steps_naming(case: Case, part: Part) -> list[int]:
    """Return the steps whose words name a part, and not only another one whose name holds its."""
    longer = {
        name
        for other in case.parts
        if other.position != part.position
        for name in other.names
        if any(f" {own} " in f" {name} " for own in part.names)
    }
    found = []
    for place, step in enumerate(case.content.steps):
        words = f" {folded(step.text)} "
        for name in longer:
            words = words.replace(f" {name} ", "  ")
        if any(f" {own} " in words for own in part.names):
            found.append(place)
    return found


RULES = (Rule("named_elsewhere", named_elsewhere),)
