"""Start a preparation: the lot number is given, the plan and the use-by date are fixed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.bench.kept import BenchJob
from formulary.bench.quality import tests_beside
from formulary.bench.stages import Stage
from formulary.canonical import json_text
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.finding import Finding, Severity
from formulary.formula.version import State, Version
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.patient import PatientDetails
from formulary.people import Identity, Part
from formulary.preparation import Preparation
from formulary.scaling.making import filled
from formulary.scaling.plan import NO_CHOICES, Choices, Plan
from formulary.scaling.plan_json import plan_json
from formulary.store import Writing
from formulary.verbs.date_preparation import (
    date_version,
    require_datable,
    require_kept_as_dated,
    with_date,
)
from formulary.verbs.order_at_bench import begin_work
from formulary.verbs.plan import plan
from formulary.verbs.review_formula import require_passed
from formulary.wording.directions import Dosing


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made and, if known, for whom; names go into the identity table alone.

    With an ``order_id`` the people are those of that order.
    """

    target: str
    excess: str = ""
    choices: Choices = NO_CHOICES
    directions: str = ""
    patient: str = ""
    prescriber: str = ""
    order_id: str = ""
    language: str = ""
    dosing: Dosing | None = None


def start_preparation(desk: Desk, version_id: str, order: Order) -> Preparation:
    """Start what the order says of a version in use and return it with its lot number.

    Raises :class:`formulary.errors.Forbidden` for a version that isn't in use and
    :class:`formulary.errors.Refusal` where the plan or the review has a stop, a finding waits
    for a pharmacist's reason, or the formula has no shelf life.
    """
    ready = draw_up(desk, version_id, order)
    # All that can happen at the bench is loaded with the first preparation, not with the window.
    from formulary.verbs.work_at_bench import begin_at_bench

    with desk.writing("start_preparation") as writing:
        started, job = give_lot(desk, writing, ready)
        writing.tell(lot=started.lot)
        return begin_at_bench(desk, writing, started, ready.version.content, job).preparation


@dataclass(frozen=True, slots=True)
class DrawnUp:
    """What can be made, before it has a lot."""

    version: Version
    order: Order
    plan: Plan
    preparation: Preparation


def draw_up(desk: Desk, version_id: str, order: Order) -> DrawnUp:
    """Return an order ready for its lot. Raises as :func:`start_preparation` says."""
    version = desk.store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    _require_in_use(version)
    _require_ordered(version, order)
    require_passed(desk, version)
    if version.order_id:
        require_kept_as_dated(desk.house, version.content, desk.today)
    made = plan(desk.store, desk.house, version.content, order.target, order.excess, order.choices)
    _require_no_stop(made)
    return DrawnUp(version, order, made, _drawn_up(desk, version, made, order))


def give_lot(desk: Desk, writing: Writing, ready: DrawnUp) -> tuple[Preparation, BenchJob]:
    """Give a lot number and keep the requested preparation; its job is still to be kept."""
    # Somebody may have withdrawn it since it was read.
    _require_in_use(writing.get(Version, ready.version.id) or ready.version)
    started = writing.put(
        replace(
            _addressed(writing, ready),
            id=new_id(),
            lot=writing.allot_lot(ready.preparation.made_on.year),
            stage=Stage.REQUESTED,
        )
    )
    return started, _job(desk, started, ready)


def _addressed(writing: Writing, ready: DrawnUp) -> Preparation:
    """Return the preparation with its people; those of an order, which is then in work."""
    if ready.order.order_id:
        order = begin_work(writing, ready.order.order_id, ready.version)
        patient, prescriber = order.patient_id, order.prescriber_id
    else:
        patient = identify(writing, Part.PATIENT, ready.order.patient)
        prescriber = identify(writing, Part.PRESCRIBER, ready.order.prescriber)
    return replace(ready.preparation, patient_id=patient, prescriber_id=prescriber)


def looked_at_twice(made: Plan, ingredients: Sequence[Ingredient | None]) -> tuple[int, ...]:
    """Return the positions of the lines that a second person checks: ingredient or line ask."""
    return tuple(
        i
        for i, (line, kept) in enumerate(zip(made.lines, ingredients, strict=True))
        if line.line.double_check or (kept is not None and kept.double_check)
    )


def _job(desk: Desk, started: Preparation, ready: DrawnUp) -> BenchJob:
    house, made = desk.house, ready.plan
    known = {each.id: each for each in desk.store.every(Ingredient)}
    of_lines = [known.get(line.line.ingredient_id) for line in made.lines]
    return BenchJob(
        id=started.id,
        plan=made,
        containers=started.containers,
        workstation=desk.workstation,
        balances=house.balances,
        measures=house.measures,
        clearance=house.clearance,
        high_alert=tuple(i for i, each in enumerate(of_lines) if each and each.high_alert),
        needs_check=looked_at_twice(made, of_lines),
        controlled=tuple(i for i, each in enumerate(of_lines) if each and each.controlled),
        tests=tests_beside(ready.version.content),
    )


def stops(made: Plan) -> tuple[Finding, ...]:
    """Return the findings that keep a plan from being made."""
    every = (*made.findings, *(each for line in made.lines for each in line.findings))
    return tuple(each for each in every if each.severity is Severity.STOP)


def identify(writing: Writing, part: Part, name: str, details: PatientDetails | None = None) -> str:
    """Keep a name behind an opaque id, with what is known beyond it; no name, no id."""
    if not name.strip():
        return ""
    return writing.put(Identity(new_id(), part, name.strip(), details)).id


def _require_in_use(version: Version) -> None:
    if version.state is not State.IN_USE:
        raise Forbidden(
            message(
                "verbs.not_in_use",
                title=version.content.title,
                number=version.number,
                state=message(f"formula.state.{version.state.name.lower()}"),
            )
        )


def _require_ordered(version: Version, order: Order) -> None:
    """Refuse a one-off for anybody but the patient whose order it was composed for."""
    if version.order_id and version.order_id != order.order_id:
        raise Forbidden(message("verbs.one_off_of_another", title=version.content.title))


def _require_no_stop(made: Plan) -> None:
    found = stops(made)
    if found:
        raise Refusal(found[0].said)


def _drawn_up(desk: Desk, version: Version, made: Plan, order: Order) -> Preparation:
    house, content = desk.house, version.content
    catalogue = Catalogue(house.language, house.decimal_sign)
    today = desk.today
    lasts = require_datable(date_version(house, version, today))
    preparation = Preparation(
        id=new_id(),
        lot="",
        version_id=version.id,
        formula_id=version.formula_id,
        code=content.code,
        title=content.title,
        version_number=version.number,
        target=catalogue.text(made.target.said()),
        plan=json_text(plan_json(made, catalogue)),
        containers=made.target.count,
        fill=filled(content, made.target.each),
        made_on=today,
        use_by=lasts.use_by,
        started_at=desk.act().at,
        started_by=desk.person.name,
        directions=order.directions.strip(),
        sample=house.sample,
        order_id=order.order_id,
        language=order.language,
        dosing=order.dosing,
        workstation=desk.workstation,
    )
    return with_date(preparation, lasts, house)
