"""Labels counted: printed from a packed preparation, voided with a reason, and reconciled."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.applying import Now, apply, moved, refuse, require_stage, require_text
from formulary.bench.events import LabelsPrinted, LabelsReconciled, LabelsVoided
from formulary.bench.stages import Stage
from formulary.bench.state import JarLabels, State

PRINTED_AT = (Stage.PACKED, Stage.LABELLED, Stage.AWAITING_RELEASE, Stage.RELEASED)


@apply.register
def labels_printed(event: LabelsPrinted, now: Now) -> State:
    """A jar's first label is printed while packed; each further one has its reason."""
    require_stage(now.state, *PRINTED_AT)
    state = now.state
    for number in event.jars:
        if state.jar(number) is None:
            refuse("no_such_jar", number=number)
        count = _count(state, number)
        if count.printed > count.void or state.stage is not Stage.PACKED:
            require_text(event.reason, "labels.reason_missing", n=len(event.jars))
        state = _with_count(state, replace(count, printed=count.printed + 1))
    return state


@apply.register
def labels_voided(event: LabelsVoided, now: Now) -> State:
    """No more labels are destroyed than were printed."""
    require_stage(now.state, *PRINTED_AT)
    require_text(event.reason, "reason_missing")
    count = _count(now.state, event.jar)
    if not 0 < event.count <= count.printed - count.void:
        refuse("labels.not_so_many", number=event.jar, left=count.printed - count.void)
    return _with_count(now.state, replace(count, void=count.void + event.count))


@apply.register
def labels_reconciled(event: LabelsReconciled, now: Now) -> State:
    """Printed = used + destroyed + spare; each jar has one, and what was destroyed is on record."""
    state = moved(now.state, Stage.LABELLED)
    accounted = event.used + event.destroyed + event.spare
    if min(event.used, event.destroyed, event.spare) < 0 or accounted != state.labels_printed:
        refuse("labels.no_sum", printed=state.labels_printed, accounted=accounted)
    if event.used != len(state.jars):
        refuse("labels.other_than_jars", used=event.used, jars=len(state.jars))
    void = sum(each.void for each in state.labels)
    if event.destroyed != void:
        refuse("labels.other_than_void", destroyed=event.destroyed, void=void)
    for jar in state.jars:
        count = _count(state, jar.number)
        if count.printed == count.void:
            refuse("labels.jar_without", number=jar.number)
    return state


def _count(state: State, number: int) -> JarLabels:
    found = (each for each in state.labels if each.jar == number)
    return next(found, JarLabels(number))


def _with_count(state: State, count: JarLabels) -> State:
    others = tuple(each for each in state.labels if each.jar != count.jar)
    return replace(state, labels=(*others, count))
