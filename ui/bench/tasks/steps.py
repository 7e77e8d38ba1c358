"""A step of the method: its words, what it asks, its timer; and phases that meet at it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PySide6.QtWidgets import QApplication

from formulary.bench.events import Answer, PhasesJoined, StepDone, TimerStarted
from formulary.bench.joining import JoinRule, SideTemperature, rule_of, said_window
from formulary.bench.method import BenchStep
from formulary.bench.objections import NUMBERS
from formulary.bench.temperatures import Window
from formulary.bench.to_do import DoStep, JoinPhases
from formulary.errors import Refusal
from formulary.formula.content import Ask, Asked
from formulary.stock.certificate_file import require_picture
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.tasks.presenting import present
from ui.bench.tasks.vessels import phase_name
from ui.bench.typed import a_number, number
from ui.files import ask_to_open, read_file
from ui.signs import Sign

TIMER_KEYS = "Ctrl+T"


@present.register
def do_step(task: DoStep, scene: Scene) -> Shown:
    """What is done, and what is answered; Enter says that it is done."""
    step = scene.state.job.method.steps[task.step]
    timers = [each for each in scene.state.timers if each.step == task.step]
    if step.step.minutes is not None and not timers and not scene.state.transcribed:
        return _timer_first(step, scene)
    return _step(step, scene)


def _step(step: BenchStep, scene: Scene) -> Shown:
    excepting = DoStep(step.position) in scene.memo.excepting

    def run(values: Values) -> None:
        event = StepDone(step.position, answers_of(step, scene, values))
        photo = scene.memo.photos.get(step.position, b"")
        if excepting:
            event = replace(event, exception=values["exception"])
            scene.doing.except_step(event, photo, _excepted(scene, step))
        elif any(ask.what is Asked.SECOND_PERSON for ask in step.asks):
            meaning = scene.text("sign.beside", step=step.step.text)
            scene.doing.finish_step_with(
                event, photo, lambda person: _beside(event, person), meaning
            )
        else:
            scene.doing.finish_step(event, photo)

    return Shown(
        _heading(step, scene),
        notes=[step.step.text, *_details(step, scene)],
        sentences=list(_asked_by_hand(step, scene)),
        entries=[*_entries(step, scene), *_exception(scene, asked=excepting)],
        act=scene.text("step.done"),
        run=run,
        others=list(_others(step, scene)),
    )


def _heading(step: BenchStep, scene: Scene) -> str:
    total = len(scene.state.job.method.steps)
    phase = phase_name(scene, step.step.phase)
    if phase:
        return scene.text("step.of_phase", number=step.position + 1, total=total, phase=phase)
    return scene.text("step.heading", number=step.position + 1, total=total)


def _details(step: BenchStep, scene: Scene) -> Iterator[str]:
    said = step.step
    for name in ("temperature", "time", "speed", "equipment", "look_for"):
        value = getattr(said, name)
        if value:
            yield scene.text(f"step.{name}", value=value)


def _entries(step: BenchStep, scene: Scene) -> Iterator[Entry]:
    for place, ask in enumerate(step.asks):
        if ask.what in NUMBERS:
            yield Entry(f"ask{place}", _asked(ask, scene), a_number(scene.context))


def _asked(ask: Ask, scene: Scene) -> str:
    """Return what is asked, its unit and its limits in words."""
    words = ask.text or scene.text(f"step.ask.{ask.what.name.lower()}")
    if ask.lowest is None and ask.highest is None:
        return words
    window = said_window(Window(ask.lowest, ask.highest))
    return scene.text("step.limits", asked=words, limits=window)


def _asked_by_hand(step: BenchStep, scene: Scene) -> Iterator[tuple[Sign, str]]:
    """Yield what Enter says beside the figures: ticks, a photo, somebody who stood by."""
    for ask in step.asks:
        words = ask.text or scene.text(f"step.ask.{ask.what.name.lower()}")
        if ask.what is Asked.PHOTO:
            chosen = step.position in scene.memo.photos
            yield (Sign.TICK if chosen else Sign.TRIANGLE), words
        elif ask.what not in NUMBERS:
            yield Sign.DOT, words


def answers_of(step: BenchStep, scene: Scene, values: Values) -> tuple[Answer, ...]:
    """Return what was answered. Raises BadText for a figure that can't be read."""
    found = []
    for place, ask in enumerate(step.asks):
        if ask.what in NUMBERS:
            found.append(Answer(ask.what, number(scene.context, values[f"ask{place}"])))
        elif ask.what is Asked.PHOTO:
            found.append(Answer(ask.what))
        elif ask.what is Asked.TICK:
            found.append(Answer(ask.what, text=ask.text))
    return tuple(found)


def _beside(event: StepDone, person_id: str) -> StepDone:
    answer = Answer(Asked.SECOND_PERSON, person_id=person_id)
    return replace(event, answers=(*event.answers, answer))


# Timers, photos, exceptions


def _timer_first(step: BenchStep, scene: Scene) -> Shown:
    """Return the step with starting its timer as the accent act; until then it can't be done."""
    usual = _step(step, scene)
    return replace(
        usual,
        entries=(),
        act=scene.text("step.start_timer", minutes=step.step.minutes or 0),
        run=lambda _: _start_timer(step, scene),
        others=[each for each in usual.others if each.keys != TIMER_KEYS],
    )


def _start_timer(step: BenchStep, scene: Scene) -> None:
    minutes = step.minutes
    if minutes is not None:
        name = step.step.text.partition(".")[0]
        scene.doing.record(TimerStarted(name, minutes.shortest, step.position))


def _others(step: BenchStep, scene: Scene) -> Iterator[Other]:
    running = any(each.step == step.position for each in scene.state.open_timers)
    if step.minutes is not None and not running:
        words = scene.text("step.start_timer", minutes=step.minutes.shortest)
        yield Other(words, TIMER_KEYS, lambda _: _start_timer(step, scene))
    if any(ask.what is Asked.PHOTO for ask in step.asks):
        yield Other(scene.text("step.photo"), "Ctrl+O", lambda _: _choose_photo(step, scene))
    yield _exception_act(DoStep(step.position), scene)


def _choose_photo(step: BenchStep, scene: Scene) -> None:
    def chosen(path: Path) -> None:
        try:
            photo = read_file(path)
            require_picture(photo)
        except Refusal as refusal:
            scene.doing.refuse(refusal)
            return
        scene.memo.photos[step.position] = photo
        scene.again()

    title, kinds = scene.text("step.photo"), scene.text("step.photo_files")
    ask_to_open(QApplication.activeWindow(), title, chosen, kinds)


def _exception_act(task: DoStep | JoinPhases, scene: Scene) -> Other:
    def ask(_values: Values) -> None:
        scene.memo.excepting.symmetric_difference_update({task})
        scene.again()

    return Other(scene.text("step.exception"), "Ctrl+Shift+E", ask)


def _exception(scene: Scene, *, asked: bool) -> Iterator[Entry]:
    if asked:
        yield Entry("exception", scene.text("step.exception_reason"))


def _excepted(scene: Scene, step: BenchStep) -> str:
    return scene.text("sign.exception", step=step.step.text)


# Joins


@present.register
def join_phases(task: JoinPhases, scene: Scene) -> Shown:
    """The temperature of each side is typed; what is wrong with them is said."""
    step = scene.state.job.method.steps[task.step]
    rule = rule_of(scene.state.job.method, task.step, scene.state.job.join_difference)
    sides = rule.windows if rule is not None else ()
    excepting = task in scene.memo.excepting

    def run(values: Values) -> None:
        temperatures = tuple(
            SideTemperature(side, number(scene.context, values[side])) for side, _ in sides
        )
        event = PhasesJoined(task.step, temperatures, values.get("exception", ""))
        if excepting:
            scene.doing.except_join(event, _excepted(scene, step))
        else:
            scene.doing.record(event)

    entries = [
        Entry(side, _side(scene, side, window), a_number(scene.context), "°C")
        for side, window in sides
    ]
    return Shown(
        scene.text("join.heading"),
        notes=[step.step.text, *_differing(rule, scene)],
        entries=[*entries, *_exception(scene, asked=excepting)],
        act=scene.text("join.act"),
        run=run,
        others=[_exception_act(task, scene)],
    )


def _side(scene: Scene, side: str, window: Window) -> str:
    if window.lowest is None and window.highest is None:
        return scene.text("join.side", side=side)
    return scene.text("join.side_within", side=side, window=said_window(window))


def _differing(rule: JoinRule | None, scene: Scene) -> Iterator[str]:
    if rule is not None and rule.difference is not None:
        yield scene.text("join.difference", allowed=rule.difference)
