"""What stays as it was signed or kept among the records of the review, and of the dossier."""

from __future__ import annotations

from dataclasses import replace

from formulary.dossier import DossierItem
from formulary.formula.read_mark import ReadMark
from formulary.house_layout import HouseLayout
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
        case HouseLayout(), HouseLayout() if not _may_become(record, stored):
            return "store.layout_is_fixed"
        case _:
            return ""


def _only_ended(record: HouseRule, stored: HouseRule) -> bool:
    """Tell whether a rule that stood was taken back, and nothing else."""
    return stored.stands and not record.stands and record == replace(stored, ended=record.ended)


def _may_become(record: HouseLayout, stored: HouseLayout) -> bool:
    """Tell whether a draft changed or was signed as it is, or a layout in use was ended."""
    if stored.is_draft and record.is_draft:
        return record == replace(stored, text=record.text)
    if stored.is_draft:
        return record == replace(stored, signature=record.signature)
    return stored.in_use and record == replace(stored, ended=record.ended)
