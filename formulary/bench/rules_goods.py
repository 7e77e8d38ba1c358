"""Yield, tests, containers, labels, release and hand-over."""

from __future__ import annotations

from dataclasses import replace

from formulary.bench.applying import (
    Now,
    apply,
    deviating,
    exempted,
    made_by,
    moved,
    refuse,
    require_nothing_over,
    require_signed,
    require_stage,
    require_text,
)
from formulary.bench.events import (
    Category,
    ContainersFilled,
    HandedOver,
    QualityTested,
    Rejected,
    Released,
    SentForRelease,
    Surplus,
    YieldTaken,
)
from formulary.bench.stages import WITH_GOODS, Stage
from formulary.bench.state import Jar, State, Tested
from formulary.bench.weighing import is_finished
from formulary.errors import Forbidden
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.signing import Meaning


@apply.register
def yield_taken(event: YieldTaken, now: Now) -> State:
    """What there is, taken once everything is made; outside its limits it opens a deviation."""
    state = now.state if now.state.stage is Stage.PACKED else _made(now)
    if event.amount.number <= 0:
        refuse("goods.no_yield")
    state = replace(state, yielded=event.amount, last_work=now.recorded)
    if event.inside:
        return state
    said = message("bench.deviation.yield", amount=event.amount)
    return deviating(state, now, Category.YIELD, said, impact=event.note)


@apply.register
def quality_tested(event: QualityTested, now: Now) -> State:
    """A test's last finding counts; one that fails opens a deviation."""
    require_stage(now.state, *WITH_GOODS)
    require_text(event.found, "goods.nothing_found")
    others = tuple(each for each in now.state.tests if each.test != event.test)
    state = replace(now.state, tests=(*others, Tested(event.test, event.found, event.passed)))
    if event.passed:
        return state
    said = message("bench.deviation.test", test=event.test, found=event.found)
    return deviating(state, now, Category.TEST, said, impact=event.note)


@apply.register
def containers_filled(event: ContainersFilled, now: Now) -> State:
    """Jars are numbered from 1 and hold no more than there is; another number than ordered is said.

    The yield comes first, so that nothing is topped up to fill a jar. A surplus that was to go into
    an extra jar may fill some more than ordered.
    """
    state = _made(now)
    if state.yielded is None:
        refuse("goods.yield_first")
    if not event.nets or any(net.number <= 0 for net in event.nets):
        refuse("goods.empty_container")
    _require_enough(state.yielded, event.nets)
    jars = tuple(Jar(number, net) for number, net in enumerate(event.nets, start=1))
    state = replace(moved(state, Stage.PACKED), jars=jars, last_work=now.recorded)
    more = len(jars) > state.job.containers and state.surplus is Surplus.EXTRA_JAR
    if more or len(jars) == state.job.containers:
        return state
    said = message("bench.deviation.containers", filled=len(jars), ordered=state.job.containers)
    return deviating(state, now, Category.CONTAINERS, said)


@apply.register
def sent_for_release(_event: SentForRelease, now: Now) -> State:
    """Every test that the formula asks for is done."""
    state = moved(now.state, Stage.AWAITING_RELEASE)
    done = {each.test for each in state.tests}
    for test in state.job.tests:
        if test not in done:
            refuse("goods.test_missing", test=test)
    return state


@apply.register
def released(_event: Released, now: Now) -> State:
    """The releaser signs, isn't a maker, and finds no deviation open; a trial is never released."""
    state = moved(now.state, Stage.RELEASED)
    require_signed(now, Meaning.RELEASED)
    if state.job.trial:
        refuse("release.trial")
    for deviation in state.open_deviations:
        refuse("release.deviation_open", number=deviation.number, what=deviation.what)
    if now.recorded.person_id not in state.makers:
        return state
    if not now.alone_because:
        raise Forbidden(message("bench.release.same_person", person=now.recorded.person))
    return exempted(state, now, "released")


@apply.register
def rejected(event: Rejected, now: Now) -> State:
    """A rejection is signed, has its reason, and says what becomes of the goods."""
    state = moved(now.state, Stage.REJECTED)
    require_signed(now, Meaning.REJECTED)
    require_text(event.reason, "reason_missing")
    require_text(event.fate, "fate_missing")
    return replace(state, fate=event.fate)


@apply.register
def handed_over(event: HandedOver, now: Now) -> State:
    """Each jar goes to one patient or ward, after release and only once."""
    state = now.state
    if state.stage is not Stage.RELEASED:
        refuse("handing_over.not_released")
    jar = state.jar(event.jar)
    if jar is None:
        refuse("no_such_jar", number=event.jar)
    if jar.recipient is not None:
        refuse("handing_over.gone", number=event.jar)
    require_text(event.recipient_id, "handing_over.to_nobody")
    gone = replace(
        jar,
        recipient=event.recipient,
        recipient_id=event.recipient_id,
        handed_at=now.recorded.at,
    )
    jars = tuple(gone if each is jar else each for each in state.jars)
    state = replace(state, jars=jars)
    left = any(each.recipient is None for each in jars)
    return state if left else moved(state, Stage.HANDED_OVER)


def _made(now: Now) -> State:
    """Return the state if all is weighed and every step done."""
    state = now.state
    require_stage(state, Stage.IN_WORK)
    require_nothing_over(state)
    for line in state.lines:
        if not is_finished(line):
            refuse("step.line_unfinished", ingredient=line.ingredient)
    for step in state.job.method.steps:
        if step.position not in state.done_steps:
            refuse("goods.step_open", number=step.position + 1, step=step.step.text)
    return made_by(state, now.recorded)


def _require_enough(yielded: Amount, nets: tuple[Amount, ...]) -> None:
    """Refuse jars that hold more than there is, where both are of one kind."""
    kinds = {units.dimension(each.unit) for each in (yielded, *nets)}
    if len(kinds) > 1:
        return
    filled = nets[0]
    for net in nets[1:]:
        filled += net
    if filled > yielded:
        refuse("goods.more_than_yield", filled=filled, amount=yielded)
