"""Fortifying or weakening what is at hand, and completing fixed amounts to a total."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Outcome, Result
from formulary.calculating.strengths import WHOLE, alike, require_fit, shown
from formulary.calculating.values import Given
from formulary.calculations.alligation import active_in, mixed, require_possible, volumes_add
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "fortifying"
TEXTS = {
    "input": {
        "amounts": "Amounts, in order",
        "strengths": "Their strengths, in the same order",
        "target_strength": "Strength wanted",
        "total": "Amount to make",
        "additive_strength": "Strength of what is added (0 for plain base or diluent)",
        "made_up_to": "Volume after making up, if a solid is dissolved",
        "fixed": "Amounts that must go in",
        "fixed_strengths": "Their strengths, in the same order",
        "adjustable": "Strengths of the two that make up the rest",
    },
    "result": {
        "total": "Whole mixture",
        "amount": "Amount",
        "additive": "To add",
    },
    "adding_to_reach_a_strength": {
        "title": "Fortifying or weakening what is at hand",
        "words": "fortify, increase strength, concentrate, spike, add drug, add base, dilute "
        "ointment, percent",
        "about": "How much of a stronger or weaker preparation, of pure drug or of plain base to "
        "add to what is there.",
        "source": "Conservation of the active and of the whole.",
        "limits": "The strength wanted lies between what is there and what is added.",
        "caution": "Pure drug added to a volume changes that volume: say what it is made up to.",
    },
    "mixing_to_a_total": {
        "title": "A total from fixed and adjustable parts",
        "words": "alligation, two sources, remaining, fixed amount, percent",
        "about": "How much of two sources completes fixed amounts to a total of a given strength.",
        "source": "Two equations: the whole and the active are conserved.",
        "limits": "Refused where one of the two would have to be less than nothing.",
        "caution": "Check that sources are compatible before mixing.",
    },
    "step": {
        "have": "At hand: {total} of {strength}",
        "distances": "({target} − {strength}) / ({additive} − {target}) = {factor}",
        "additive": "{total} x {factor} = {amount} to add",
        "wanted": "{made_up_to} of {target} holds {active}",
        "present": "At hand there is {present}",
        "solid": "{active} − {present} = {additive} to dissolve, made up to {made_up_to}",
        "room": "{total} − {fixed} = {room} is left for the two others",
        "missing": "{wanted} − {present} = {active} of active is left for them",
        "split": "({active} − {room} x {weak}) / ({strong} − {weak}) = {amount} of {strong}",
        "rest": "{room} − {amount} = {rest} of {weak}",
    },
    "lengths": "Give as many strengths as amounts.",
    "exactly_two": "Give exactly two strengths that make up the rest.",
    "between": "The strength wanted, {target}, isn’t between what is there ({have}) and what is "
    "added ({additive}).",
    "solid": "What is added has no strength in volume. Say the volume it is made up to, or work "
    "by mass.",
    "no_solid": "A volume to make up to goes with pure drug added to volumes, in strengths w/v.",
    "smaller": "The volume after making up can’t be less than what is there, {have}.",
    "enough": "There is already {present} of active, {active} is wanted.",
    "no_room": "The fixed amounts come to {fixed}, which is the whole of {total} or more.",
    "too_much": "This can’t be mixed: {needed} of {strong} would be needed, but only {room} of "
    "room is left.",
    "too_strong": "This can’t be mixed: the fixed amounts and {weak} alone are stronger than "
    "wanted.",
    "alike": "The two that make up the rest have the same strength.",
}
say = speaker(AREA)


def fortify(given: Given) -> Outcome:
    """Return how much to add to what is at hand so that a strength is reached."""
    names = ("strengths", "target_strength", "additive_strength")
    if given.has("made_up_to"):
        return _with_solid(given)
    (*numbers, target, additive), kind = alike(given, *names)
    require_possible([*numbers, additive, target], kind)
    amounts = _at_hand(given, numbers, kind)
    if _is_pure_solid(given, kind, amounts[0]):
        raise Refusal(say("solid"))
    have, total = mixed(amounts, numbers)
    if not (have < target < additive or additive < target < have):
        said = {"have": shown(have, kind), "additive": shown(additive, kind)}
        raise Refusal(say("between", target=shown(target, kind), **said))
    factor = (target - have) / (additive - target)
    amount = convenient(total * factor)
    whole = convenient(total + amount)
    shares = {"target": shown(target, kind), "strength": shown(have, kind)}
    return Outcome(
        (Result("additive", amount), Result("total", whole)),
        (
            say("step.have", total=total, strength=shown(have, kind)),
            say("step.distances", additive=shown(additive, kind), factor=factor, **shares),
            say("step.additive", total=total, factor=factor, amount=amount),
        ),
        volumes_add(whole),
    )


def _is_pure_solid(given: Given, kind: str, at_hand: Amount) -> bool:
    """Whether pure drug, which has no strength in volume, would go into a volume."""
    by_volume = units.dimension(at_hand.unit) == units.VOLUME
    return by_volume and kind != "v/v" and given.values["additive_strength"] == WHOLE


def _at_hand(given: Given, numbers: Sequence[Fraction], kind: str) -> tuple[Amount, ...]:
    amounts = given.amounts("amounts")
    if len(amounts) != len(numbers):
        raise Refusal(say("lengths"))
    require_fit(kind, *amounts)
    return amounts


def _with_solid(given: Given) -> Outcome:
    """Return the solid to dissolve in volumes at hand, made up to a volume."""
    (*numbers, target), kind = alike(given, "strengths", "target_strength")
    amounts = _at_hand(given, numbers, kind or "w/v")
    if kind not in ("", "w/v") or given.values["additive_strength"] != WHOLE:
        raise Refusal(say("no_solid"))
    have, at_hand = mixed(amounts, numbers)
    made_up_to = given.amount("made_up_to")
    if made_up_to < at_hand:
        raise Refusal(say("smaller", have=at_hand))
    active, present = active_in(made_up_to, target, "w/v"), active_in(at_hand, have, "w/v")
    if present >= active:
        raise Refusal(say("enough", present=present, active=active))
    additive = convenient(active - present)
    said = {"made_up_to": made_up_to, "active": active}
    return Outcome(
        (Result("additive", additive), Result("total", made_up_to)),
        (
            say("step.wanted", target=shown(target, "w/v"), **said),
            say("step.present", present=present),
            say("step.solid", present=present, additive=additive, **said),
        ),
    )


def mix_to_a_total(given: Given) -> Outcome:
    """Return how much of two sources completes fixed amounts to a total."""
    names = ("fixed_strengths",) if given.has("fixed_strengths") else ()
    numbers, kind = alike(given, "adjustable", "target_strength", *names)
    if len(given.values["adjustable"]) != len(("one", "the other")):
        raise Refusal(say("exactly_two"))
    require_possible(numbers, kind)
    strong, weak = max(numbers[:2]), min(numbers[:2])
    if strong == weak:
        raise Refusal(say("alike"))
    total = given.amount("total")
    require_fit(kind, total)
    steps: list[Message] = []
    room, active = _left_for_two(given, total, numbers[2], numbers[3:], steps)
    base = room.unit
    needed = Amount((active - room.number * weak) / (strong - weak), base)
    said = {"strong": shown(strong, kind), "weak": shown(weak, kind)}
    if needed > room:
        raise Refusal(say("too_much", needed=convenient(needed), room=room, strong=said["strong"]))
    if needed.number < 0:
        raise Refusal(say("too_strong", weak=said["weak"]))
    rest = convenient(room - needed)
    needed = convenient(needed)
    whole = convenient(Amount(active / 100, base))
    steps.append(say("step.split", active=whole, room=room, amount=needed, **said))
    steps.append(say("step.rest", room=room, amount=needed, rest=rest, weak=said["weak"]))
    in_order = (needed, rest) if numbers[0] == strong else (rest, needed)
    results = (*numbered("amount", in_order), Result("total", total))
    return Outcome(results, tuple(steps), volumes_add(total))


def _left_for_two(
    given: Given,
    total: Amount,
    target: Fraction,
    fixed_numbers: Sequence[Fraction],
    steps: list[Message],
) -> tuple[Amount, Fraction]:
    """Return the room that is left, and a hundred times the active that is to be in it."""
    base = "g" if units.dimension(total.unit) == units.MASS else "mL"
    fixed = given.amounts("fixed") if given.has("fixed") else ()
    if len(fixed) != len(fixed_numbers):
        raise Refusal(say("lengths"))
    taken = sum(fixed, Amount(Fraction(0), base))
    room = total.to(base) - taken
    if room.number <= 0:
        raise Refusal(say("no_room", fixed=taken, total=total))
    pairs = zip(fixed, fixed_numbers, strict=True)
    present = sum((each.to(base).number * number for each, number in pairs), Fraction(0))
    wanted = total.to(base).number * target
    steps.append(say("step.room", total=total, fixed=taken, room=room))
    figures = {"wanted": wanted, "present": present, "active": wanted - present}
    amounts = {name: Amount(each / 100, base) for name, each in figures.items()}
    steps.append(say("step.missing", **amounts))
    return room, wanted - present


AMOUNT, STRENGTH = (Kind.MASS, Kind.VOLUME), (Kind.STRENGTH, Kind.PERCENT)
_ZERO = Fraction(0)
_AMOUNTS = Input("amounts", AMOUNT, many=True)
_STRENGTHS = Input("strengths", STRENGTH, many=True, positive=False, least=_ZERO)
_TARGET_STRENGTH = Input("target_strength", STRENGTH)

CALCULATIONS = (
    Calculation(
        "adding-to-reach-a-strength",
        AREA,
        (
            _AMOUNTS,
            _STRENGTHS,
            _TARGET_STRENGTH,
            Input(
                "additive_strength",
                STRENGTH,
                default="100",
                positive=False,
                least=_ZERO,
                assumed=Severity.NOTE,
            ),
            Input("made_up_to", (Kind.VOLUME,), optional=True),
        ),
        fortify,
        (
            ("amounts", "240 g"),
            ("strengths", "0.25 %"),
            ("target_strength", "1 %"),
            ("additive_strength", "2.5 %"),
        ),
    ),
    Calculation(
        "mixing-to-a-total",
        AREA,
        (
            Input("total", AMOUNT),
            _TARGET_STRENGTH,
            Input("adjustable", STRENGTH, many=True, positive=False, least=_ZERO),
            Input("fixed", AMOUNT, many=True, optional=True),
            Input(
                "fixed_strengths",
                STRENGTH,
                many=True,
                optional=True,
                positive=False,
                least=_ZERO,
            ),
        ),
        mix_to_a_total,
        (
            ("total", "120 g"),
            ("target_strength", "2.5 %"),
            ("adjustable", "5 %; 0 %"),
            ("fixed", "30 g"),
            ("fixed_strengths", "5 %"),
        ),
    ),
)
