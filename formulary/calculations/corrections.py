"""What a lot's certificate adds to a weighing: assay, water, loss on drying, form of the salt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.hydrates import own_water, says_hydrate
from formulary.calculating.outcome import Number, Outcome, Result, caution, note
from formulary.calculating.values import Given
from formulary.calculations.equivalence import form_factor
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.messages import Message
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "corrections"
TEXTS = {
    "input": {
        "assay": "Assay on the certificate",
        "basis": "The certificate states the assay",
        "water": "Water",
        "loss_on_drying": "Loss on drying",
        "threshold": "Correct when the content falls short by more than",
        "molar_mass_ordered": "Molar mass or formula of the form ordered",
        "molar_mass_supplied": "Molar mass or formula of the form supplied",
        "ordered_per_supplied": "Units of the form ordered in one formula of the form supplied",
        "ordered": "Amount ordered",
        "usual_least": "Least usual factor, if the house has one",
        "usual_most": "Greatest usual factor, if the house has one",
        "factor": "Correction factor on the container",
        "weighed": "Amount weighed",
    },
    "result": {
        "factor": "Correction factor",
        "factor_to_write": "Factor as written on the container, three decimals",
        "content": "Content of the lot as it stands",
        "corrected": "Assay and water are corrected",
        "lot_factor": "Factor for assay and water",
        "form_factor": "Factor for the form",
        "weigh": "Amount to weigh",
        "ordered": "Amount ordered",
    },
    "correction_factor": {
        "title": "Correction factor of a lot",
        "words": "assay, potency, purity, loss on drying, LOD, water content, certificate, "
        "anhydrous, salt, overage",
        "about": "By what an ordered amount is multiplied for the assay, water and form of the "
        "lot at hand.",
        "source": "f = 100 % / content, with content = assay x (1 - water) where the assay is on "
        "the dried or anhydrous substance: worksheet of the chamber of pharmacists "
        "Westphalia-Lippe and German formulary practice.",
        "limits": "An assay over 100 % counts as 100 %, so that assay and water never lower a "
        "weight. The threshold is for assay and water only; the form is always corrected.",
        "caution": "The factor belongs to one lot. The label states what was ordered, never the "
        "corrected weight.",
    },
    "weight_with_a_factor": {
        "title": "Weight by a known correction factor",
        "words": "correction factor, assay, weighing in, purity",
        "about": "The amount to weigh for an order, or the order that a weight stands for.",
        "source": "Weight = order x factor: chamber of pharmacists Westphalia-Lippe.",
        "limits": "The factor of the lot in hand.",
        "caution": "A new lot has a factor of its own.",
    },
    "basis": {
        "as is": "on the substance as is",
        "dried": "on the dried substance",
        "anhydrous": "on the anhydrous substance",
    },
    "step": {
        "capped": "An assay of {assay} % counts as 100 %",
        "as_is": "Content as it stands: {content} %",
        "on_basis": "{assay} % x (100 % − {loss} %) / 100 % = {content} % as it stands",
        "own_water": "By its formula the form supplied holds {own} % water itself: {held} % / "
        "(100 % − {own} %) = {content} % as it stands",
        "no_more": "Drier than its formula has it, the lot counts as {assay} %, no more",
        "corrected": "{gap} % off 100 % is more than {threshold} %: 100 % / {content} % = {factor}",
        "not_corrected": "{gap} % off 100 % isn’t more than {threshold} %: factor 1",
        "both": "{lot} x {form} = {factor} for lot and form",
        "weigh": "{ordered} x {factor} = {weigh} to weigh",
        "ordered": "{weighed} / {factor} = {ordered} ordered",
    },
    "loss_missing": "The assay is stated {basis}, so water or loss on drying is needed. Type 0 % "
    "if the certificate says there is none.",
    "nothing_left": "A loss of 100 % or more leaves nothing to weigh.",
    "loss_counted": "An assay on the substance as is already counts the water; it isn’t taken a "
    "second time.",
    "other_loss": "The certificate’s basis asks for {wanted}; {used} was taken for it.",
    "water": "water",
    "loss_on_drying": "loss on drying",
    "counted_twice": "The factor for the form is about the factor for the water. If that water is "
    "the water of crystallisation, it is now counted twice: give the anhydrous form as supplied.",
    "own_water_counted": "The form supplied holds {own} % water by its formula, and drying was "
    "taken to drive it off: only what goes beyond it is corrected.",
    "own_water_left": "The form supplied holds {own} % water by its formula, and a loss of {loss} "
    "% was taken to leave it in. If the certificate’s drying drives it off, give the assay on the "
    "anhydrous substance.",
    "own_water_short": "By its formula the form supplied holds {own} % water, but {loss} % was "
    "found. Make sure which form it is.",
    "hydrate_without_formula": "“{ingredient}” is ordered with its water of crystallisation, which "
    "the assay of this lot leaves out. Give its formula as supplied (such as C6H8O7.H2O), or keep "
    "it in the ingredient’s record, so that this water isn’t made up for as a loss.",
    "both_forms": "Give the molar masses of both forms, or of none.",
    "low_content": "The content is below 90 %. Check the certificate and its basis.",
    "no_range": "There is no range on file for this factor.",
    "in_range": "{factor} is inside the usual range of {least} to {most}.",
    "out_of_range": "{factor} is outside the usual range of {least} to {most}.",
    "range_needs_both": "Give both ends of the usual range, or none.",
    "concentrate_below_one": "A factor below 1 is right for a concentrate made in-house or another "
    "salt or hydrate, never for the assay or water of a plain substance.",
    "one_of_two": "Give either the amount ordered or the amount weighed.",
}
DEFAULT_THRESHOLD = Fraction(2)
LOW_CONTENT = 90
TWICE = Fraction(5, 1000)
"""How near the form's factor must be to the water's to suspect that one is the other."""
say = speaker(AREA)


class Basis(StrEnum):
    """What a certificate refers the assay to."""

    AS_IS = "as is"
    DRIED = "dried"
    ANHYDROUS = "anhydrous"


@dataclass(frozen=True, slots=True)
class Certificate:
    """What a lot's certificate says, in per cent.

    ``loss`` is the loss on drying or the water, as the basis asks; on the substance as is it is
    not used. ``own_water`` is the share of water that the form supplied holds by its formula; an
    assay that leaves water out leaves this out too. ``ordered`` and ``supplied`` are molar masses
    in g/mol where the forms differ.
    ``concentrate`` is an in-house concentrate, whose assay is its found over its nominal strength
    and whose factor may fall below 1.
    """

    assay: Fraction = Fraction(100)
    basis: Basis = Basis.AS_IS
    loss: Fraction = Fraction(0)
    own_water: Fraction = Fraction(0)
    ordered: Fraction | None = None
    supplied: Fraction | None = None
    count: int = 1
    threshold: Fraction = DEFAULT_THRESHOLD
    concentrate: bool = False

    @property
    def leaves_out_own_water(self) -> bool:
        """Whether the assay is on a substance without the water that its formula has.

        On the dried substance it is, where the loss is at least half of that water: drying either
        drives it off or leaves it in.
        """
        if not self.own_water or self.basis is Basis.AS_IS:
            return False
        return self.basis is Basis.ANHYDROUS or self.loss * 2 >= self.own_water


def content(lot: Certificate) -> Working[Fraction]:
    """Return what 100 parts of the lot hold as it stands; never over 100 for a substance."""
    steps: list[Message] = []
    assay = lot.assay
    if assay > 100 and not lot.concentrate:  # noqa: PLR2004  per cent
        steps.append(say("step.capped", assay=assay))
        assay = Fraction(100)
    if lot.basis is Basis.AS_IS:
        return Working(assay, (*steps, say("step.as_is", content=assay)))
    if lot.loss >= 100:  # noqa: PLR2004  per cent
        raise Refusal(say("nothing_left"))
    held = assay * (100 - lot.loss) / 100
    steps.append(say("step.on_basis", assay=assay, loss=lot.loss, content=held))
    if lot.leaves_out_own_water:
        whole = held * 100 / (100 - lot.own_water)
        steps.append(say("step.own_water", own=lot.own_water, held=held, content=whole))
        if whole > assay:
            steps.append(say("step.no_more", assay=assay))
        held = min(whole, assay)
    return Working(held, tuple(steps))


def lot_factor(lot: Certificate) -> Working[Fraction]:
    """Return the factor for assay and water: 1 while the gap isn't over the house's threshold."""
    held = content(lot)
    gap = abs(100 - held.result)
    said = {"gap": gap, "threshold": lot.threshold}
    if gap <= lot.threshold:
        return Working(Fraction(1), (*held.steps, say("step.not_corrected", **said)))
    factor = 100 / held.result
    step = say("step.corrected", content=held.result, factor=factor, **said)
    return Working(factor, (*held.steps, step))


def correction(lot: Certificate) -> Working[Fraction]:
    """Return by what an ordered amount is multiplied to weigh it from this lot.

    Raises :class:`formulary.errors.Refusal` for a loss of 100 % or only one of two molar masses.
    """
    of_lot, of_form = lot_factor(lot), _form(lot)
    source = say("correction_factor.source")
    if of_form is None:
        return Working(of_lot.result, of_lot.steps, source)
    factor = of_lot.result * of_form.result
    both = say("step.both", lot=of_lot.result, form=of_form.result, factor=factor)
    return Working(factor, (*of_lot.steps, *of_form.steps, both), source)


def _form(lot: Certificate) -> Working[Fraction] | None:
    if lot.ordered is None and lot.supplied is None:
        return None
    if lot.ordered is None or lot.supplied is None:
        raise Refusal(say("both_forms"))
    return form_factor(lot.ordered, lot.supplied, lot.count)


def correction_factor(given: Given) -> Outcome:
    """Return the factor of a lot, what it is made of, and the amount to weigh."""
    lot, doubts = _certificate(given)
    working, form = correction(lot), _form(lot)
    factor = working.result
    results = [
        Result("factor", Number(factor)),
        Result("factor_to_write", Number(round(factor, 3))),
        Result("content", Number(content(lot).result, "%")),
        Result("corrected", lot_factor(lot).result != 1),
        Result("lot_factor", Number(lot_factor(lot).result)),
    ]
    if form is not None:
        results.append(Result("form_factor", Number(form.result)))
    steps = working.steps
    if given.has("ordered"):
        ordered = given.amount("ordered")
        weigh = convenient(ordered * factor)
        results.insert(0, Result("weigh", weigh))
        steps = (*steps, say("step.weigh", ordered=ordered, factor=factor, weigh=weigh))
    findings = (*doubts, *_lot_doubts(lot, form), _usual(given, factor))
    return Outcome(tuple(results), steps, findings)


def _certificate(given: Given) -> tuple[Certificate, list[Finding]]:
    """Return what was typed as a certificate, and what is doubtful about the loss taken."""
    basis = Basis(given.text("basis"))
    loss, doubts = _loss(given, basis)
    water = water_by_formula(given.typed.get("molar_mass_supplied", ""))
    forms = [given.values.get(f"molar_mass_{each}") for each in ("ordered", "supplied")]
    certificate = Certificate(
        assay=given.number("assay"),
        basis=basis,
        loss=loss,
        own_water=water,
        ordered=forms[0],
        supplied=forms[1] if forms[0] is not None or not water else None,
        count=given.count("ordered_per_supplied"),
        threshold=given.number("threshold"),
    )
    return certificate, doubts


def water_by_formula(typed: str) -> Fraction:
    """Return the water of crystallisation of a formula, in per cent; a molar mass tells none."""
    plain = typed.strip().removesuffix("g/mol").strip()
    if not any(each.isalpha() for each in plain):
        return Fraction(0)
    return own_water(plain)


def _loss(given: Given, basis: Basis) -> tuple[Fraction, list[Finding]]:
    """Return the loss that the basis asks for. Raises Refusal where the certificate lacks it."""
    known = [name for name in ("water", "loss_on_drying") if given.has(name)]
    if basis is Basis.AS_IS:
        return Fraction(0), [note(say("loss_counted"), name) for name in known[:1]]
    if not known:
        raise Refusal(say("loss_missing", basis=say(f"basis.{basis.value}")))
    wanted = "water" if basis is Basis.ANHYDROUS else "loss_on_drying"
    if wanted in known:
        return given.number(wanted), []
    said = say("other_loss", wanted=say(wanted), used=say(known[0]))
    return given.number(known[0]), [note(said, known[0])]


def _lot_doubts(lot: Certificate, form: Working[Fraction] | None) -> list[Finding]:
    found = []
    if content(lot).result < LOW_CONTENT:
        found.append(caution(say("low_content"), "assay"))
    if lot.own_water and lot.basis is not Basis.AS_IS:
        found.append(_own_water_doubt(lot))
    elif form is not None and lot.basis is not Basis.AS_IS and lot.loss:
        dry = 100 / (100 - lot.loss)
        if abs(form.result / dry - 1) < TWICE:
            found.append(caution(say("counted_twice"), "molar_mass_supplied"))
    return found


def _own_water_doubt(lot: Certificate) -> Finding:
    said = {"own": round(lot.own_water, 2), "loss": lot.loss}
    if not lot.leaves_out_own_water:
        return caution(say("own_water_left", **said), "molar_mass_supplied")
    if lot.loss * 2 < lot.own_water:
        return caution(say("own_water_short", **said), "molar_mass_supplied")
    return note(say("own_water_counted", own=said["own"]), "molar_mass_supplied")


def require_formula(lot: Certificate, names: Sequence[str]) -> None:
    """Refuse an assay without water of what is called a hydrate, while its formula isn't known."""
    known = bool(lot.own_water) or lot.supplied is not None
    if known or lot.basis is Basis.AS_IS or lot.loss <= lot.threshold:
        return
    if says_hydrate(names):
        raise Refusal(say("hydrate_without_formula", ingredient=names[0]))


def doubts(lot: Certificate) -> tuple[Finding, ...]:
    """Return what is doubtful about a certificate: a low content, water counted twice."""
    return tuple(_lot_doubts(lot, _form(lot)))


def _usual(given: Given, factor: Fraction) -> Finding:
    """Return what the house's usual range says of the factor, or that there is none."""
    ends = [given.number(name) for name in ("usual_least", "usual_most") if given.has(name)]
    if len(ends) == 1:
        raise Refusal(say("range_needs_both"))
    return in_usual_range(factor, (ends[0], ends[1]) if ends else None)


def in_usual_range(factor: Fraction, usual: tuple[Fraction, Fraction] | None) -> Finding:
    """Return what a usual range says of a factor, or that there is none on file."""
    if usual is None:
        return note(say("no_range"))
    said = {"factor": factor, "least": usual[0], "most": usual[1]}
    if usual[0] <= factor <= usual[1]:
        return note(say("in_range", **said))
    return caution(say("out_of_range", **said))


def weight_with_factor(given: Given) -> Outcome:
    """Return what to weigh by a known factor, or what was ordered."""
    factor = given.number("factor")
    if given.has("ordered") == given.has("weighed"):
        raise Refusal(say("one_of_two"))
    findings = (note(say("concentrate_below_one"), "factor"),) if factor < 1 else ()
    if given.has("ordered"):
        ordered = given.amount("ordered")
        weigh = convenient(ordered * factor)
        step = say("step.weigh", ordered=ordered, factor=factor, weigh=weigh)
        return Outcome((Result("weigh", weigh),), (step,), findings)
    weighed = given.amount("weighed")
    back = convenient(weighed * (1 / factor))
    step = say("step.ordered", weighed=weighed, factor=factor, ordered=back)
    return Outcome((Result("ordered", back),), (step,), findings)


PERCENT, MOLAR = (Kind.PERCENT,), (Kind.MOLAR_MASS,)
CALCULATIONS = (
    Calculation(
        "correction-factor",
        AREA,
        (
            Input("assay", PERCENT, default="100 %", most=Fraction(120), assumed=Severity.REASON),
            Input("basis", (Kind.CHOICE,), choices=tuple(each.value for each in Basis)),
            Input("water", PERCENT, optional=True, positive=False, least=Fraction(0)),
            Input("loss_on_drying", PERCENT, optional=True, positive=False, least=Fraction(0)),
            Input("ordered", (Kind.MASS,), optional=True),
            Input("molar_mass_ordered", MOLAR, optional=True),
            Input("molar_mass_supplied", MOLAR, optional=True),
            Input(
                "ordered_per_supplied",
                (Kind.COUNT,),
                default="1",
                most=Fraction(20),
                assumed=Severity.REASON,
                matters_with=("molar_mass_ordered",),
            ),
            Input("threshold", PERCENT, default="2 %", positive=False, least=Fraction(0)),
            Input("usual_least", (Kind.NUMBER,), optional=True),
            Input("usual_most", (Kind.NUMBER,), optional=True),
        ),
        correction_factor,
        (("assay", "93.5 %"), ("basis", "dried"), ("loss_on_drying", "3.68 %"), ("ordered", "1 g")),
    ),
    Calculation(
        "weight-with-a-factor",
        AREA,
        (
            Input("factor", (Kind.NUMBER,)),
            Input("ordered", (Kind.MASS,), optional=True),
            Input("weighed", (Kind.MASS,), optional=True),
        ),
        weight_with_factor,
        (("factor", "1.11"), ("ordered", "0.5 g")),
    ),
)
