"""The sample pharmacy's orders, read from TOML: one in every state that an order can stand in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from functools import partial
from typing import Any

from formulary.exchange.sample_bench import Bench, Story
from formulary.formula.version import State
from formulary.orders.order import Order, Purpose
from formulary.orders.patient_text import read_patient
from formulary.orders.plausibility import Item, Judged, Opinion
from formulary.patient import PatientDetails
from formulary.people import Identity
from formulary.verbs.ask_prescriber import ask_prescriber
from formulary.verbs.cancel_order import cancel_order
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.make_order import make_order
from formulary.verbs.sign_plausibility import sign_plausibility
from formulary.verbs.take_order import Asked, take_order

Table = Mapping[str, Any]
Happening = tuple[datetime, Callable[[], object]]

TAKER, CHECKER = "odenholt", "corrander"


def happenings(
    bench: Bench, table: Table, at: Callable[[int], datetime], story: Story
) -> Iterator[Happening]:
    """Yield each order of the table with the moment at which it comes."""
    for entry in table["order"]:
        yield at(entry["days"]), partial(_happen, bench, entry, story)


def _happen(bench: Bench, entry: Table, story: Story) -> None:
    order = take_order(bench.desk(TAKER), _asked(bench, entry))
    bench.hours.pass_by()
    if "question" in entry:
        ask_prescriber(bench.desk(TAKER), order.id, entry["question"])
    if "cancelled" in entry:
        cancel_order(bench.desk(TAKER), order.id, entry["cancelled"])
    if entry.get("checked"):
        judged = tuple(Judged(item, Opinion.OK) for item in Item)
        sign_plausibility(bench.desk(CHECKER), order.id, judged, bench.crew.pins[CHECKER])
    if entry.get("started") or entry.get("finished"):
        _make(bench, order, story, finished=bool(entry.get("finished")))


def _make(bench: Bench, order: Order, story: Story, *, finished: bool) -> None:
    made = make_order(bench.desk(TAKER), order.id)
    if finished:
        bench.do(made.lot, story)
        bench.hours.pass_by()
        hand_over_jars(bench.desk(TAKER), made.lot, range(1, made.containers + 1))


def _asked(bench: Bench, entry: Table) -> Asked:
    return Asked(
        purpose=_purpose(entry),
        patient=entry.get("patient", ""),
        patient_id=_known(bench, entry.get("again", "")),
        details=read_patient(entry, ".", bench.desk(TAKER).today),
        ward=entry.get("ward", ""),
        prescriber=entry.get("prescriber", ""),
        prescriber_id=_known(bench, entry.get("prescriber_again", "")),
        prescriber_details=_reached(entry),
        version_id=_in_use(bench, entry["formula"]) if "formula" in entry else "",
        target=entry.get("target", ""),
        directions=entry.get("directions", ""),
        treatment_days=entry.get("treatment_days"),
        prescription=entry.get("prescription", "").strip(),
    )


def _purpose(entry: Table) -> Purpose:
    return Purpose(entry.get("purpose", "ward" if "ward" in entry else "patient"))


def _reached(entry: Table) -> PatientDetails | None:
    telephone = entry.get("prescriber_telephone", "")
    return PatientDetails(telephone=telephone) if telephone else None


def _known(bench: Bench, name: str) -> str:
    """Return the id of somebody of that name; of several the one of whom most is known."""
    if not name:
        return ""
    named = [each for each in bench.store.every(Identity) if each.name == name]
    return max(named, key=lambda each: (each.details is not None, each.id)).id


def _in_use(bench: Bench, code: str) -> str:
    formula = bench.store.formulas_named(code)[0]
    versions = bench.store.versions(formula.id)
    return next(each.id for each in versions if each.state is State.IN_USE)
