"""The fields of how the house keeps its backups, as texts and back."""

from __future__ import annotations

import re
from collections.abc import Mapping

from formulary.backups import BackupPlan
from formulary.errors import BadText
from formulary.house import House
from formulary.messages import message
from ui.forms.fields import NO, YES, FormField, Kind
from ui.widgets.quantity_edit import NO_MEANING, Meaning

COUNTS = ("newest", "days", "weeks", "months")
MOST = 1000
_TIME = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


def backup_fields() -> tuple[FormField, ...]:
    """Return when backups are made, where, how many are kept, and for how long names are."""
    return (
        FormField("backup_every_hours", understand=_number, required=True, hint=True),
        FormField("backup_daily_at", understand=_time, hint=True),
        FormField("backup_at_closing", Kind.FLAG),
        FormField("backup_folder", hint=True),
        *(FormField(f"backup_{each}", understand=_number, required=True) for each in COUNTS),
        FormField("backup_remind_days", understand=_number, required=True, hint=True),
        FormField("people_years", understand=_number, required=True, hint=True),
    )


def backup_texts(house: House) -> dict[str, str]:
    """Return how backups are kept as texts."""
    plan = house.backups or BackupPlan()
    numbers = ("every_hours", *COUNTS, "remind_days")
    return {
        **{f"backup_{name}": str(getattr(plan, name)) for name in numbers},
        "backup_daily_at": plan.daily_at,
        "backup_at_closing": YES if plan.at_closing else NO,
        "backup_folder": plan.folder,
    }


def backup_plan(texts: Mapping[str, str], before: House) -> BackupPlan | None:
    """Return the plan that the texts say, None where it is the one that every house begins with.

    Raises :class:`formulary.errors.BadText`.
    """
    numbers = ("every_hours", *COUNTS, "remind_days")
    plan = BackupPlan(
        **{name: number_of(texts[f"backup_{name}"]) for name in numbers},
        daily_at=texts["backup_daily_at"].strip(),
        at_closing=texts["backup_at_closing"] == YES,
        folder=texts["backup_folder"].strip(),
    )
    return None if before.backups is None and plan == BackupPlan() else plan


def number_of(typed: str) -> int:
    """Return a whole number from 0 on. Raises BadText for what is none."""
    text = typed.strip()
    if not (text.isascii() and text.isdecimal() and int(text) <= MOST):
        raise BadText(message("ui_settings.bad_number", typed=typed, most=MOST))
    return int(text)


def _number(text: str) -> Meaning:
    number_of(text)
    return NO_MEANING


def _time(text: str) -> Meaning:
    if text.strip() and not _TIME.fullmatch(text.strip()):
        raise BadText(message("ui_settings.bad_time", typed=text))
    return NO_MEANING
