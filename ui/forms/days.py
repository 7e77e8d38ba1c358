"""Days as they are typed, and how far away one is, in words."""

from __future__ import annotations

from datetime import date

from formulary.clock import legal_date
from formulary.errors import BadText
from formulary.messages import Message, message
from ui.context import Context
from ui.widgets.quantity_edit import Meaning


def distance(today: date, day: date) -> Message:
    """Return "in 12 days", "today" or "12 days ago"."""
    days = (day - today).days
    if not days:
        return message("ui_forms.today")
    return message("ui_forms.in_days" if days > 0 else "ui_forms.days_ago", n=abs(days))


def today(context: Context) -> date:
    """Return the legal date of the house, without asking the store."""
    return legal_date(context.desk.clock.now(), context.house.zone)


def day_of(text: str) -> date:
    """Read a day such as 2026-03-10. Raises BadText for anything else."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadText(message("ui_forms.no_day", typed=text.strip())) from None


def typed_day(text: str) -> Meaning:
    """Take a day; with its month in letters it stands below."""
    return Meaning(message("ui_forms.that_is", day=day_of(text)))
