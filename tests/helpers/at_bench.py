"""A preparation at the bench, driven event by event in a few words."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any, TypeAlias

from formulary.bench.events import (
    BenchCleared,
    ContainersFilled,
    Event,
    HandedOver,
    LabelsPrinted,
    LabelsReconciled,
    LineWeighed,
    PhasesJoined,
    PlanChecked,
    Planned,
    Recipient,
    Recorded,
    Released,
    SentForRelease,
    StepDone,
    VesselTared,
    YieldTaken,
)
from formulary.bench.fold import follow
from formulary.bench.joining import SideTemperature
from formulary.bench.original import Original
from formulary.bench.reading import Reading
from formulary.bench.state import State, begin
from formulary.formula.content import Content, MethodStep, Phase, Role
from formulary.house import House, Measure
from formulary.people import Post
from formulary.signing import Meaning, Signature
from tests.helpers.formulas import a_balance, a_formula, a_line, active, amount, scaled

NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)


def a_step(text: str, phase: str = "", **more: Any) -> MethodStep:  # noqa: ANN401  of many types
    """Return a step of a phase, or of none."""
    return MethodStep(text, phase, **more)


def a_cream(**more: Any) -> Content:  # noqa: ANN401  of many types
    """Return a cream of two hot phases, with a third that is added while the bulk cools."""
    given: dict[str, Any] = {
        "phases": (Phase("A", "Fat phase"), Phase("B", "Water phase"), Phase("C", "Late")),
        "steps": (
            a_step("Melt", "A", temperature="65 to 70 °C"),
            a_step("Heat", "B", temperature="65 to 70 °C"),
            a_step("Join", temperature="65 to 70 °C"),
            a_step("Cool", temperature="below 40 °C"),
            a_step("Rub smooth", "C"),
            a_step("Stir in", highest=Fraction(40)),
        ),
    } | more
    return a_formula(
        a_line("Wax", "20 g", Role.BASE, phase="A"),
        a_line("Water", "70 g", Role.VEHICLE, phase="B"),
        active("Urea", "10 g", phase="C"),
        **given,
    )


Who: TypeAlias = tuple[str, str, Post]


def a_person(name: str, post: Post = Post.PHARMACIST) -> Who:
    """Return a person as an event names one."""
    return name.lower(), name, post


ANNA = a_person("Anna", Post.TECHNICIAN)
BORIS = a_person("Boris")
CLARA = a_person("Clara")


HOUSE = House(
    "h-1",
    "Bench house",
    balances=(a_balance("Balance 1", "620 g", "0.01 g", "1 g"),),
    measures=(Measure("Cylinder 1", amount("100 mL"), amount("0.1 mL"), amount("1 mL")),),
)
"""Where the helper's readings come from."""


def at(side: str, degrees: str) -> SideTemperature:
    """Return a side's temperature."""
    return SideTemperature(side, Fraction(degrees))


def reading(typed: str, **more: Any) -> Reading:  # noqa: ANN401  of many types
    """Return a stable reading of "20 g"."""
    return Reading(amount(typed), "Balance 1", container="100", lot="L1", **more)


@dataclass
class Bench:
    """Records events one minute apart; a refused one leaves everything as it was."""

    state: State
    now: datetime = NINE
    followed: list[Recorded] = field(default_factory=list)

    def does(
        self,
        event: Event,
        who: Who = ANNA,
        meaning: Meaning | None = None,
        alone: str = "",
        original: Original | None = None,
    ) -> State:
        """Record an event by somebody, signed if a meaning is given."""
        person_id, person, post = who
        signature = None
        if meaning is not None:
            signature = Signature(person_id, person, post, meaning, self.now, alone_because=alone)
        number = self.state.events + 1
        recorded = Recorded(number, self.now, person_id, person, post, event, signature, original)
        self.state = follow(self.state, recorded)
        self.followed.append(recorded)
        self.now += timedelta(minutes=1)
        return self.state

    def cleared(self) -> Bench:
        """Plan, check and clear."""
        self.does(Planned("100 g"))
        self.does(PlanChecked(), BORIS, Meaning.CHECKED)
        self.does(BenchCleared(self.state.job.clearance))
        return self

    def weighs(self, line: int, typed: str, **more: Any) -> State:  # noqa: ANN401  of many types
        """Weigh a line."""
        return self.does(LineWeighed(line, reading(typed, **more)))

    def melted(self) -> Bench:
        """Bring both hot phases to where they can be joined."""
        self.cleared().does(VesselTared("Jar", amount("250 g")))
        self.weighs(0, "20 g", vessel="Jar")
        self.does(StepDone(0))
        self.weighs(1, "70 g")
        self.does(StepDone(1))
        return self

    def joined(self) -> Bench:
        """Join both hot phases."""
        self.melted().does(PhasesJoined(2, (at("A", "68"), at("B", "66"))))
        self.does(StepDone(2))
        return self

    def made(self) -> Bench:
        """Finish the method."""
        self.joined().does(StepDone(3))
        self.weighs(2, "10 g")
        self.does(StepDone(4))
        self.does(PhasesJoined(5, (at("A+B", "38"), at("C", "22"))))
        self.does(StepDone(5))
        return self

    def packed(self) -> Bench:
        """Fill two jars."""
        self.made().does(YieldTaken(amount("98 g"), inside=True))
        self.does(ContainersFilled((amount("48 g"), amount("48 g"))))
        return self

    def awaiting_release(self) -> Bench:
        """Label the jars and send them for release."""
        self.packed().does(LabelsPrinted((1, 2)))
        self.does(LabelsReconciled(used=2, destroyed=0, spare=0))
        self.does(SentForRelease())
        return self

    def released(self) -> Bench:
        """Release by somebody who didn't make it."""
        self.awaiting_release().does(Released(), CLARA, Meaning.RELEASED)
        return self

    def hands_over(self, jar: int) -> State:
        """Hand a jar to a ward."""
        return self.does(HandedOver(jar, Recipient.WARD, "ward-3"))


def a_bench(content: Content | None = None, target: str = "100 g", **more: Any) -> Bench:  # noqa: ANN401
    """Return a requested preparation of two containers."""
    formula = a_cream() if content is None else content
    given: dict[str, Any] = {"containers": 2, "house": HOUSE} | more
    return Bench(begin(formula, scaled(formula, target), **given))
