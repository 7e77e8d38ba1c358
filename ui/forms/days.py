"""How far away a day is, in words."""

from __future__ import annotations

from datetime import date

from formulary.clock import legal_date
from formulary.messages import Message, message
from ui.context import Context


def distance(today: date, day: date) -> Message:
    """Return "in 12 days", "today" or "12 days ago"."""
    days = (day - today).days
    if not days:
        return message("ui_forms.today")
    return message("ui_forms.in_days" if days > 0 else "ui_forms.days_ago", n=abs(days))


def today(context: Context) -> date:
    """Return the legal date of the house, without asking the store."""
    return legal_date(context.desk.clock.now(), context.house.zone)
