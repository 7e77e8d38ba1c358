"""What stays as it was signed or kept among the records of the review, and of the dossier."""

from __future__ import annotations

from dataclasses import replace

from formulary.dossier import DossierItem
from formulary.formula.read_mark import ReadMark
from formulary.review.house_rules import HouseRule
from formulary.review.overriding import Overriding
from formulary.store import Record


def fixed(record: Record, stored: Record) -> str:
    """Return the key of the sentence that says why a record may not change so; none, no text."""
    match record, stored:
        case DossierItem(), DossierItem():
            return "store.dossier_is_fixed"
        case ReadMark(), ReadMark():
            return "store.mark_is_fixed"
        case Overriding(), Overriding():
            return "store.overriding_is_fixed"
        case HouseRule(), HouseRule() if not _only_ended(record, stored):
            return "store.house_rule_is_fixed"
        case _:
            return ""


def _only_ended(record: HouseRule, stored: HouseRule) -> bool:
    """Tell whether a rule that stood was taken back, and nothing else."""
    return stored.stands and not record.stands and record == replace(stored, ended=record.ended)
