"""What a study proves for a formula: whether it may lift the rule's limit, and why not."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.formula.content import Content, Evidence
from formulary.formula.stability import WaterClass
from formulary.messages import Message, message
from formulary.shelf_life.choosing import water_class
from formulary.shelf_life.rules import RuleSet


def objections(
    evidence: Evidence, content: Content, rules: RuleSet, *, signed: bool
) -> Iterator[Message]:
    """Yield why the evidence lifts nothing; where there is no reason, it does.

    ``signed`` is whether a pharmacist signed the version that it stands in.
    """
    if not signed:
        yield message("shelf_life.objection.unsigned")
    if rules.ceiling is None:
        yield message("shelf_life.objection.no_ceiling", rules=rules.title)
    for name in ("same_composition", "same_container", "same_storage"):
        if not getattr(evidence, name):
            yield message(f"shelf_life.objection.{name}")
    dry = water_class(content, rules.aqueous_from) is WaterClass.NON_AQUEOUS
    if not dry and not evidence.preservative_tested:
        yield message("shelf_life.objection.preservative_untested")
