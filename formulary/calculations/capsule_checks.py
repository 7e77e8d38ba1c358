"""In-process checks of hard capsules: the batch's loss of mass and the spread of its fills."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.brief import brief_speaker
from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.numeric import square_root
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.calculations.uniformity import mean_of, unit_unsaid, weights_in
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.working import Working

AREA = "capsule_checks"
TEXTS = {
    "input": {
        "batch": "Mass of the powder mixture",
        "filled": "Contents of all capsules together",
        "contents": "Contents of single capsules",
        "unit": "Unit of contents typed without one",
        "limit_loss": "Greatest loss allowed",
        "limit_spread": "Greatest relative standard deviation allowed",
    },
    "result": {
        "complies": "Complies",
        "loss": "Loss of mass",
        "mean": "Mean content",
        "rsd": "Relative standard deviation",
    },
    "capsule_in_process_check": {
        "title": "In-process check of capsules",
        "words": "IPC, weight variation, RSD, relative standard deviation, loss, quality control",
        "about": "Loss of mass over the whole batch, and how evenly the capsules are filled.",
        "source": "Loss not above 3 %, relative standard deviation of 10 or 20 contents not above "
        "5 %: German pharmacy portal on in-process checks of capsules, December 2025.",
        "limits": "Sample standard deviation (n − 1). Limits of the house where it has its own.",
        "caution": "Even fills don’t prove an even mixture.",
    },
    "step": {
        "loss": "({batch} − {filled}) / {batch} = {loss} %, allowed {limit} %",
        "mean": "Mean of {count} contents: {mean}",
        "rsd": "√(sum of squared deviations / {degrees}) / mean = {rsd} %, allowed {limit} %",
        "passes": "Complies",
        "fails": "Doesn’t comply",
    },
    "gained": "The contents weigh more than the mixture they came from: {filled} from {batch}.",
    "too_few": "The spread needs at least two contents.",
    "few": "The rule is meant for 10 or 20 contents; {count} were given.",
    "loss_over": "More powder was lost than allowed: each capsule holds too little.",
    "spread_over": "The capsules are filled too unevenly.",
}
COUNTS = (10, 20)
say = brief_speaker(AREA)


def relative_variance(weights: tuple[Amount, ...]) -> Fraction:
    """Return the square of the relative standard deviation (n - 1), exactly."""
    mean = mean_of(weights)
    squares = sum(((each / mean - 1) ** 2 for each in weights), Fraction(0))
    return squares / (len(weights) - 1)


def relative_deviation(weights: tuple[Amount, ...]) -> Fraction:
    """Return the relative standard deviation in per cent; the root errs by less than 1e-14."""
    return square_root(relative_variance(weights)) * 100


def in_process_check(given: Given) -> Outcome:
    """Return the loss and the spread of a capsule batch, and whether both are allowed."""
    contents = weights_in(given, "contents")
    if len(contents) <= 1:
        raise Refusal(say("too_few"))
    limit = given.number("limit_spread")
    loss, deviation = _loss(given), relative_deviation(contents)
    over = {
        "loss_over": loss.result > given.number("limit_loss"),
        # Compared as squares, so that no root decides a verdict.
        "spread_over": relative_variance(contents) > (limit / 100) ** 2,
    }
    complies = not any(over.values())
    results = (
        Result("complies", complies),
        Result("loss", Number(loss.result, "%")),
        Result("mean", mean_of(contents)),
        Result("rsd", Number(deviation, "%", rounded=True)),
    )
    steps = (*loss.steps, *_spread_steps(contents, deviation, limit), _verdict(passes=complies))
    return Outcome(
        results, steps, (*_findings(over, len(contents)), *unit_unsaid(given, "contents"))
    )


def _loss(given: Given) -> Working[Fraction]:
    batch, filled = given.amount("batch"), given.amount("filled")
    if filled > batch:
        raise Refusal(say("gained", batch=batch, filled=filled))
    loss = (1 - filled / batch) * 100
    said = {"batch": batch, "filled": filled, "loss": loss}
    return Working(loss, (say("step.loss", limit=given.number("limit_loss"), **said),))


def _spread_steps(
    contents: tuple[Amount, ...], deviation: Fraction, limit: Fraction
) -> tuple[Message, ...]:
    count = len(contents)
    return (
        say("step.mean", count=count, mean=mean_of(contents)),
        say("step.rsd", degrees=count - 1, rsd=deviation, limit=limit),
    )


def _verdict(*, passes: bool) -> Message:
    return say("step.passes" if passes else "step.fails")


def _findings(over: dict[str, bool], count: int) -> tuple[Finding, ...]:
    found = [caution(say(key), "contents") for key, true in over.items() if true]
    if count not in COUNTS:
        found.append(caution(say("few", count=count), "contents"))
    return tuple(found)


CALCULATIONS = (
    Calculation(
        "capsule-in-process-check",
        AREA,
        (
            Input("batch", (Kind.MASS,)),
            Input("filled", (Kind.MASS,)),
            Input("contents", (Kind.MASS, Kind.NUMBER), many=True, units=("mg", "g")),
            Input("unit", (Kind.CHOICE,), default="mg", choices=("mg", "g")),
            Input("limit_loss", (Kind.PERCENT,), default="3 %"),
            Input("limit_spread", (Kind.PERCENT,), default="5 %"),
        ),
        in_process_check,
        (
            ("batch", "18 g"),
            ("filled", "17.7 g"),
            ("contents", "292; 295; 288; 290; 301; 297; 285; 293; 296; 288"),
        ),
    ),
)
