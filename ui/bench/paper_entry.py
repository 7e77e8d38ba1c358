"""What is entered from a paper worksheet: each thing with the time and person that stand there.

The fields are those of the bench itself; the time is asked for anew with each thing to do. The
person is proposed as the last one who made something; nobody is proposed where a second one checks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from formulary.bench.original import Original
from formulary.bench.to_do import (
    CheckLine,
    CheckPlan,
    ClearBench,
    CountDrops,
    DecideLine,
    DoStep,
    DoTest,
    FillContainers,
    JoinPhases,
    MakeMixture,
    TakeYield,
    TareVessel,
    Task,
    WeighLine,
)
from formulary.errors import BadText
from formulary.messages import message
from ui.bench.acts import BenchAct
from ui.bench.scene import Scene
from ui.bench.shown import Entry, Other, Shown, Values
from ui.bench.typed import a_moment, moment
from ui.signs import Sign

_ON_PAPER = (
    CheckPlan,
    ClearBench,
    DecideLine,
    TareVessel,
    WeighLine,
    CountDrops,
    MakeMixture,
    CheckLine,
    JoinPhases,
    DoStep,
    TakeYield,
    DoTest,
    FillContainers,
)
"""What a worksheet has room for; the rest is done with the program again."""
_ACTS_ON_PAPER = ("measure", "weigh_vessel", "water")
_CHECKS = (CheckPlan, CheckLine)
"""What a second person does."""
WHEN, WHO = "paper_when", "paper_who"


def as_on_paper(what: Task | BenchAct, shown: Shown, scene: Scene) -> Shown:
    """Return what asks for something and, where it was done on paper, when and by whom."""
    if not scene.state.transcribed or not _is_on_paper(what):
        return shown
    run = shown.run

    def entered(values: Values) -> None:
        _take(values, what, scene)
        if run is not None:
            run(values)

    return replace(
        shown,
        sentences=[(Sign.DOT, _said(scene)), *shown.sentences],
        entries=[*shown.entries, *_entries(what, scene)] if run is not None else shown.entries,
        run=entered if run is not None else None,
        others=[_backed(each, what, scene, entries=run is not None) for each in shown.others],
    )


def _is_on_paper(what: Task | BenchAct) -> bool:
    if isinstance(what, BenchAct):
        return what.name in _ACTS_ON_PAPER
    return isinstance(what, _ON_PAPER)


def _said(scene: Scene) -> str:
    return scene.text("paper.from", sheet=scene.state.transcribed[-1])


def _entries(what: Task | BenchAct, scene: Scene) -> list[Entry]:
    memo, made_on = scene.memo, scene.work.at.preparation.made_on
    when = memo.paper_when if memo.on_paper == what else ""
    proposed = "" if isinstance(what, _CHECKS) else memo.paper_who
    return [
        Entry(WHEN, scene.text("paper.when"), a_moment(scene.context, made_on), at_first=when),
        Entry(
            WHO, scene.text("paper.who"), at_first=proposed, choices=_people(what, scene, proposed)
        ),
    ]


def _people(what: Task | BenchAct, scene: Scene, proposed: str) -> list[tuple[str, str]]:
    """Return whom to choose from; who would check their own work stands last, as alone."""
    makers = _makers(what, scene)
    others = [(each.name, each.id) for each in scene.context.people if each.id not in makers]
    alone = [
        (scene.text("paper.alone", person=each.name), each.id)
        for each in scene.context.people
        if each.id in makers
    ]
    nobody = [] if proposed else [(scene.text("paper.choose"), "")]
    return [*nobody, *others, *alone]


def _makers(what: Task | BenchAct, scene: Scene) -> frozenset[str]:
    """Return who made what is to be checked."""
    match what:
        case CheckPlan():
            return frozenset({scene.state.planner})
        case CheckLine():
            return frozenset(scene.state.lines[what.line].weighed_by)
        case _:
            return frozenset()


def _take(values: Values, what: Task | BenchAct, scene: Scene) -> None:
    """Take down when and by whom; raises BadText without one."""
    memo, context = scene.memo, scene.context
    names = {each.id: each.name for each in context.people}
    if not values[WHO]:
        raise BadText(message("ui_bench.paper.nobody"))
    memo.on_paper, memo.paper_when = what, values[WHEN]
    if not isinstance(what, _CHECKS):
        memo.paper_who = values[WHO]
    at = moment(context, values[WHEN], scene.work.at.preparation.made_on)
    scene.doing.original = Original(at, values[WHO], names.get(values[WHO], ""))


def _backed(other: Other, what: Task | BenchAct, scene: Scene, *, entries: bool) -> Other:
    """Return another act that is backed by what the paper says, where that is typed already."""
    run: Callable[[Values], None] = other.run

    def entered(values: Values) -> None:
        try:
            _take(values, what, scene)
        except (BadText, KeyError):
            scene.doing.original = None  # what only turns a page needs no time
        run(values)

    # A letter alone would be typed into the time.
    keys = f"Ctrl+Shift+{other.keys}" if len(other.keys) == 1 and entries else other.keys
    return replace(other, keys=keys, run=entered)
