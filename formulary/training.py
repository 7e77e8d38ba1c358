"""Who is fit for which task at the bench, reviewed every so often."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from formulary.formula.content import Form
from formulary.house import BenchTask, Training
from formulary.messages import Message, message

_TASKS: Mapping[Form, BenchTask] = {
    **dict.fromkeys((Form.CREAM, Form.OINTMENT, Form.PASTE, Form.GEL), BenchTask.SEMISOLIDS),
    **dict.fromkeys((Form.POWDER, Form.POWDERS, Form.CAPSULES), BenchTask.UNITS),
    **dict.fromkeys((Form.SUPPOSITORIES, Form.PESSARIES), BenchTask.MOULDED),
}


def task_of(form: Form) -> BenchTask:
    """Return what somebody has to be trained for who makes this form."""
    return _TASKS.get(form, BenchTask.LIQUIDS)


def why_unfit(
    trainings: Iterable[Training], person_id: str, person: str, form: Form, today: date
) -> Message | None:
    """Return why somebody can't make this form alone, None where they can.

    Where nobody's training is on record, none is asked for.
    """
    known, task = tuple(trainings), task_of(form)
    if not known:
        return None
    named = message(f"equipment.task.{task.name.lower()}")
    days = [each.review_due for each in known if each.person_id == person_id and each.task is task]
    if not days:
        return message("equipment.untrained", person=person, task=named)
    if max(days) < today:
        return message("equipment.review_overdue", person=person, task=named, due=max(days))
    return None
