"""``misce transcribe``: a blank that was written on, entered from standard input line by line."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

from formulary.bench import events
from formulary.bench.events import Answer, Event
from formulary.bench.joining import SideTemperature
from formulary.bench.original import Original
from formulary.bench.reading import Reading
from formulary.bench.stages import named
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import BadText, FormularyError, Refusal, WrongUsage
from formulary.formula.content import Asked
from formulary.messages import message
from formulary.quantity.parsing import parse_amount
from formulary.quantity.typed_number import parse_number
from formulary.verbs.enter_paper import PaperEntry, enter_line, person_called
from formulary.verbs.reserve_blanks import enter_blank
from formulary.verbs.work_at_bench import AtBench, at_bench

Fields = Mapping[str, Any]


def asked(desk: Desk, options: Namespace, pin: str, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Mark the blank as written on paper if it isn't yet, then enter each line; say how far."""
    lines = _read(sys.stdin.read())
    work = at_bench(desk.store, options.lot)
    if not work.state.transcribed:
        if not options.made:
            raise WrongUsage(message("command.transcribe.day_missing"))
        work = enter_blank(desk, options.lot, _day(options.made), options.note)
    for place, fields in enumerate(lines, 1):
        try:
            work = enter_line(desk, options.lot, _entry(desk, work, fields), pin)
        except FormularyError as trouble:
            said = message("command.transcribe.stopped", number=place, why=trouble.message)
            raise Refusal(said) from trouble
    data = {
        "lot": work.preparation.lot,
        "entered": len(lines),
        "from_paper": work.state.from_paper,
        "state": work.state.stage.value,
    }
    said = message(
        "command.transcribe.done",
        n=len(lines),
        lot=work.preparation.lot,
        stage=named(work.state.stage),
    )
    return data, [catalogue.text(said)]


def _read(text: str) -> list[Fields]:
    try:
        found = json.loads(text or "[]")
    except ValueError as trouble:
        raise BadText(message("command.transcribe.not_json")) from trouble
    if not isinstance(found, list) or not all(isinstance(each, dict) for each in found):
        raise BadText(message("command.transcribe.not_json"))
    return found


def _entry(desk: Desk, work: AtBench, fields: Fields) -> PaperEntry:
    """Return one line of the paper. Raises BadText for one that makes no sense."""
    does = str(fields.get("does", ""))
    if does not in _EVENTS:
        raise BadText(message("command.transcribe.unknown", does=does, known=tuple(_EVENTS)))
    try:
        event = _EVENTS[does](work, fields)
        at = datetime.fromisoformat(str(fields["at"]))
        person = person_called(desk.store, str(fields["by"]))
    except KeyError as lacking:
        raise BadText(message("command.transcribe.lacking", name=str(lacking.args[0]))) from lacking
    except ValueError as trouble:
        raise BadText(message("command.transcribe.no_time", at=str(fields["at"]))) from trouble
    if at.tzinfo is None:
        raise BadText(message("command.transcribe.no_time", at=str(fields["at"])))
    return PaperEntry(event, Original(at, person.id, person.name))


def _weighed(work: AtBench, fields: Fields) -> Event:
    reading = Reading(
        parse_amount(str(fields["amount"])),
        str(fields["balance"]),
        str(fields["container"]),
        manual=True,
        typed_container=True,
        raw=str(fields["amount"]),
    )
    return events.LineWeighed(_line(work, fields), reading)


def _line(work: AtBench, fields: Fields) -> int:
    name = str(fields["ingredient"]).casefold()
    for each in work.state.lines:
        if each.ingredient.casefold() == name:
            return each.position
    raise BadText(message("command.transcribe.no_line", ingredient=str(fields["ingredient"])))


def _step(work: AtBench, fields: Fields) -> Event:
    asks = work.state.job.method.steps[int(fields["step"]) - 1].asks
    answers = [Answer(each.what, text="seen") for each in asks if each.what is Asked.TICK]
    answers.extend(
        Answer(what, parse_number(str(fields[what.value]), "."))
        for what in (Asked.TIME, Asked.TEMPERATURE, Asked.PH)
        if what.value in fields
    )
    return events.StepDone(int(fields["step"]) - 1, tuple(answers))


def _joined(_work: AtBench, fields: Fields) -> Event:
    sides = (
        SideTemperature(side, parse_number(str(degrees), "."))
        for side, degrees in dict(fields["temperatures"]).items()
    )
    return events.PhasesJoined(int(fields["step"]) - 1, tuple(sides))


def _yielded(work: AtBench, fields: Fields) -> Event:
    from formulary.verbs.take_yield import yield_at_bench

    amount = parse_amount(str(fields["amount"]))
    return events.YieldTaken(amount, yield_at_bench(work.state, amount).result.inside)


_EVENTS: dict[str, Callable[[AtBench, Fields], Event]] = {
    "plan checked": lambda *_: events.PlanChecked(),
    "bench cleared": lambda work, _: events.BenchCleared(work.job.clearance),
    "vessel tared": lambda _, fields: events.VesselTared(
        str(fields["vessel"]),
        parse_amount(str(fields["tare"])),
        str(fields.get("balance", "")),
        phase=str(fields.get("phase", "")),
    ),
    "line weighed": _weighed,
    "line checked": lambda work, fields: events.LineChecked(
        _line(work, fields), str(fields["container"]), parse_amount(str(fields["amount"]))
    ),
    "end reached": lambda work, fields: events.EndReached(
        _line(work, fields), str(fields["found"])
    ),
    "step done": _step,
    "phases joined": _joined,
    "yield taken": _yielded,
    "quality tested": lambda _, fields: events.QualityTested(
        str(fields["test"]), str(fields["found"]), bool(fields["passed"])
    ),
    "containers filled": lambda _, fields: events.ContainersFilled(
        tuple(parse_amount(str(each)) for each in fields["nets"])
    ),
}
"""What a line of the paper may say, and the event that it is."""


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as trouble:
        raise BadText(message("command.transcribe.no_day", typed=text)) from trouble
