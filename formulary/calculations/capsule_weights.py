"""Powders and capsules by weighing: packing, filler by weighed trial capsules, fill weights."""

from __future__ import annotations

from fractions import Fraction

from formulary.calculating.brief import brief_number
from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.lists import require_equal_lengths
from formulary.calculating.numeric import square_root
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.calculations.uniformity import FORMS, limit_for, unit_unsaid, weights_in
from formulary.errors import Refusal
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.writing import convenient

AREA = "capsule_weights"
TEXTS = {
    "input": {
        "mass": "Mass of the powder",
        "bulk_volume": "Volume as poured",
        "tapped_volume": "Volume after tapping",
        "capsules": "Capsules ordered",
        "spare": "Spare capsules",
        "doses": "Active in one capsule",
        "full_of_drug": "Powder in a capsule filled with that active alone",
        "full_of_filler": "Powder in a capsule filled with the filler alone",
        "weights": "Weights of filled capsules",
        "shell": "Mean weight of an empty capsule, or that of each capsule in turn",
        "unit": "Unit of weights typed without one",
        "theoretical": "Powder meant for one capsule",
    },
    "result": {
        "bulk_density": "Bulk density",
        "tapped_density": "Tapped density",
        "compressibility": "Compressibility index",
        "hausner_ratio": "Hausner ratio",
        "part": "Part of the capsule that the active fills",
        "drug": "Active",
        "filler_each": "Filler in one capsule",
        "filler": "Filler",
        "mixture": "Mixture",
        "mean": "Mean content",
        "lightest": "Lightest content",
        "heaviest": "Heaviest content",
        "standard_deviation": "Standard deviation",
        "relative_deviation": "Relative standard deviation",
        "deviation": "Greatest deviation from the mean",
        "limit": "Limit for one capsule",
        "outside": "Capsules outside the limit",
        "outside_twice": "Capsules outside twice the limit",
        "of_theoretical": "Mean content, of what was meant",
    },
    "powder_packing": {
        "title": "Packing of a powder",
        "words": "bulk density, tapped density, Carr, Hausner, compressibility, flow, settling",
        "about": "Bulk and tapped density, and how much a powder packs and how it flows.",
        "source": "Ph. Eur. 2.9.34 and 2.9.36, from memory: compressibility index = 100 x (V0 − "
        "Vf) / V0; Hausner ratio = V0 / Vf.",
        "limits": "One powder, tapped until its volume no longer falls.",
        "caution": "For filling by volume, use the tapped density of the lot at hand.",
    },
    "capsule_filler_by_weight": {
        "title": "Filler from weighed trial capsules",
        "words": "capsules, lactose, excipient, diluent, packing statistics, fill weight",
        "about": "Filler by the weights of a capsule full of each active and of one full of "
        "filler, without any density.",
        "source": "Each active fills dose / (capsule full of it) of the room; the filler the rest.",
        "limits": "One capsule size, all filled and tapped alike.",
        "caution": "Weigh several trial capsules and take the mean.",
    },
    "fill_weights": {
        "title": "Fill weights of capsules",
        "words": "capsules, weight variation, standard deviation, RSD, uniformity",
        "about": "Mean, spread and deviations of the contents of weighed capsules.",
        "source": "Limits of Ph. Eur. 2.9.5, see the table of tolerances: 10 % below 300 mg of "
        "content, 7.5 % from 300 mg on.",
        "limits": "The pharmacopoeia judges twenty capsules; fewer inform only. Standard deviation "
        "of a sample (n − 1), rounded to 12 digits.",
        "caution": "Even weights do not prove a good mix of the active.",
    },
    "step": {
        "bulk": "{mass} / {volume} = {density} g/mL as poured",
        "tapped": "{mass} / {volume} = {density} g/mL tapped",
        "index": "100 x ({bulk} − {tapped}) / {bulk} = {index} %; {bulk} / {tapped} = {ratio}",
        "part": "Active {place}: {dose} / {full} = {part} of the room",
        "filler_each": "(1 − {parts}) x {full} = {filler} of filler in one capsule",
        "filler": "{number} x {each} = {filler} of filler in all",
        "contents": "Each weight − {shell} = content; their mean is {mean}",
        "own_contents": "Each weight − that of its own shell = content; their mean is {mean}",
        "deviation": "Greatest deviation: {deviation} % of the mean",
        "spread": "Standard deviation {deviation}, {relative} % of the mean",
        "limit": "Limit {limit} %: {outside} outside, {twice} outside twice the limit",
        "theoretical": "{mean} / {theoretical} = {percent} % of what was meant",
    },
    "not_tapped": "The volume after tapping can’t be more than that as poured.",
    "overfilled": "Overfilled: the actives take more than the whole capsule.",
    "shells_differ": "Give one mean weight of an empty capsule, or one for each: {shells} for "
    "{capsules} capsules.",
    "two_weights": "Weigh at least two capsules.",
    "shell_heavy": "A filled capsule must weigh more than the empty one.",
    "fewer": "Only {count} capsules were weighed; the pharmacopoeia judges twenty.",
}
say = speaker(AREA)
WHOLE = 100
JUDGED = 20


def pack(given: Given) -> Outcome:
    """Return densities, compressibility index and Hausner ratio."""
    mass = given.amount("mass").to("g")
    bulk, tapped = (given.amount(name).to("mL") for name in ("bulk_volume", "tapped_volume"))
    if tapped > bulk:
        raise Refusal(say("not_tapped"))
    loose, dense = mass.number / bulk.number, mass.number / tapped.number
    ratio = bulk / tapped
    index = (1 - 1 / ratio) * WHOLE
    results = (
        Result("compressibility", Number(index, "%")),
        Result("hausner_ratio", Number(ratio)),
        Result("bulk_density", Number(loose, "g/mL")),
        Result("tapped_density", Number(dense, "g/mL")),
    )
    steps = (
        say("step.bulk", mass=mass, volume=bulk, density=loose),
        say("step.tapped", mass=mass, volume=tapped, density=dense),
        say("step.index", bulk=bulk, tapped=tapped, index=index, ratio=ratio),
    )
    return Outcome(results, steps)


def fill_by_weight(given: Given) -> Outcome:
    """Return the filler from the weights of capsules full of each powder."""
    require_equal_lengths(given, "doses", "full_of_drug")
    number = given.count("capsules") + given.count("spare")
    doses, fulls = given.amounts("doses"), given.amounts("full_of_drug")
    parts = [dose / full for dose, full in zip(doses, fulls, strict=True)]
    taken = sum(parts, Fraction(0))
    if taken > 1:
        raise Refusal(say("overfilled"))
    full = given.amount("full_of_filler").to("g")
    each = full * (1 - taken)
    filler, drugs = each * number, [dose.to("g") * number for dose in doses]
    results = (
        Result("filler", convenient(filler)),
        *numbered("drug", map(convenient, drugs)),
        Result("mixture", convenient(sum(drugs, filler))),
        Result("filler_each", convenient(each)),
        *numbered("part", (Number(part * WHOLE, "%") for part in parts)),
    )
    rows = enumerate(zip(doses, fulls, parts, strict=True), 1)
    steps = (
        *(say("step.part", place=i, dose=d, full=f, part=p) for i, (d, f, p) in rows),
        say("step.filler_each", parts=taken, full=full, filler=each),
        say("step.filler", number=number, each=each, filler=filler),
    )
    return Outcome(results, steps)


def weigh(given: Given) -> Outcome:
    """Return mean, spread and deviations of the contents."""
    contents = _contents(given)
    mean = sum(contents, Amount(Fraction(0), "g")) * Fraction(1, len(contents))
    deviations = [abs(each.number - mean.number) / mean.number * WHOLE for each in contents]
    limit = limit_for(FORMS[0], mean)
    outside, twice = (sum(each > allowed for each in deviations) for allowed in (limit, 2 * limit))
    spread, relative = _spread(contents, mean)
    results = (
        Result("mean", convenient(mean)),
        Result("lightest", convenient(min(contents))),
        Result("heaviest", convenient(max(contents))),
        Result("deviation", Number(max(deviations), "%")),
        Result("standard_deviation", convenient(spread)),
        Result("relative_deviation", Number(relative, "%", rounded=True)),
        Result("limit", Number(limit, "%")),
        Result("outside", Amount(Fraction(outside), "piece")),
        Result("outside_twice", Amount(Fraction(twice), "piece")),
    )
    steps = (
        say("step.deviation", deviation=max(deviations)),
        say("step.spread", deviation=spread, relative=relative),
        say("step.limit", limit=limit, outside=outside, twice=twice),
        _contents_step(given, mean),
    )
    few = len(contents) < JUDGED
    fewer = (caution(say("fewer", count=len(contents)), "weights"),) if few else ()
    findings = (*fewer, *unit_unsaid(given, "weights", "shell"))
    return _against_theory(given, mean, Outcome(results, steps, findings))


def _contents(given: Given) -> list[Amount]:
    filled, shells = (weights_in(given, name) for name in ("weights", "shell"))
    if len(shells) == 1:
        shells *= len(filled)
    if len(shells) != len(filled):
        raise Refusal(say("shells_differ", shells=len(shells), capsules=len(filled)))
    pairs = zip(filled, shells, strict=True)
    contents = [full.to("g") - shell for full, shell in pairs]
    if len(contents) < 2:  # noqa: PLR2004 - the fewest that have a spread
        raise Refusal(say("two_weights"))
    if min(contents).number <= 0:
        raise Refusal(say("shell_heavy"))
    return contents


def _contents_step(given: Given, mean: Amount) -> Message:
    shells = weights_in(given, "shell")
    one = len(shells) == 1
    return (
        say("step.contents", shell=shells[0], mean=mean)
        if one
        else say("step.own_contents", mean=mean)
    )


def _spread(contents: list[Amount], mean: Amount) -> tuple[Amount, Fraction]:
    """Return the standard deviation of the sample, absolute and in per cent of the mean."""
    squares = sum(((each.number - mean.number) ** 2 for each in contents), Fraction(0))
    spread = square_root(squares / (len(contents) - 1))
    return Amount(brief_number(spread), mean.unit), brief_number(spread / mean.number * WHOLE)


def _against_theory(given: Given, mean: Amount, outcome: Outcome) -> Outcome:
    if not given.has("theoretical"):
        return outcome
    theoretical = given.amount("theoretical")
    percent = mean / theoretical * WHOLE
    step: Message = say("step.theoretical", mean=mean, theoretical=theoretical, percent=percent)
    results = (*outcome.results, Result("of_theoretical", Number(percent, "%")))
    return Outcome(results, (*outcome.steps, step), outcome.findings)


COUNT = (Kind.COUNT,)
MASS = (Kind.MASS,)
VOLUME = (Kind.VOLUME,)
WEIGHT = (Kind.MASS, Kind.NUMBER)
MOST_CAPSULES = Fraction(10_000)
CALCULATIONS = (
    Calculation(
        "powder-packing",
        AREA,
        (Input("mass", MASS), Input("bulk_volume", VOLUME), Input("tapped_volume", VOLUME)),
        pack,
        (("mass", "50 g"), ("bulk_volume", "100 mL"), ("tapped_volume", "80 mL")),
    ),
    Calculation(
        "capsule-filler-by-weight",
        AREA,
        (
            Input("capsules", COUNT, most=MOST_CAPSULES),
            Input("spare", COUNT, default="0", positive=False, most=MOST_CAPSULES),
            Input("doses", MASS, many=True),
            Input("full_of_drug", MASS, many=True),
            Input("full_of_filler", MASS),
        ),
        fill_by_weight,
        (
            ("capsules", "30"),
            ("spare", "1"),
            ("doses", "100 mg"),
            ("full_of_drug", "400 mg"),
            ("full_of_filler", "300 mg"),
        ),
    ),
    Calculation(
        "fill-weights",
        AREA,
        (
            Input("weights", WEIGHT, many=True, units=("mg", "g")),
            Input("shell", WEIGHT, many=True, units=("mg", "g")),
            Input("unit", (Kind.CHOICE,), default="mg", choices=("mg", "g")),
            Input("theoretical", MASS, optional=True),
        ),
        weigh,
        (
            ("weights", "371 mg; 366 mg; 375 mg; 369 mg"),
            ("shell", "76 mg"),
            ("theoretical", "295 mg"),
        ),
    ),
)
