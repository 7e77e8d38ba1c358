"""Price of a preparation by a tariff: substances, container, work, fixed charge, tax."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from formulary.calculating.describing import Calculation, Input, Kind, speaker, written_sum
from formulary.calculating.outcome import Outcome, Result, caution, note
from formulary.calculating.tariffs import Tariff, Work, mark_ups, tariff, tariff_names
from formulary.calculating.values import Given
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.money import Money
from formulary.working import Working

AREA = "pricing"
TEXTS = {
    "input": {
        "tariff": "Tariff",
        "work": "Kind of work",
        "quantity": "Quantity made",
        "substances": "Purchase prices of the substances used, without tax",
        "containers": "Purchase prices of containers and packing, without tax",
        "pack_prices": "Purchase prices of packs, for the substances used",
        "pack_sizes": "Sizes of these packs",
        "used": "Used of each of them",
        "density": "Density, where the tariff counts grams and a volume was made",
    },
    "result": {
        "price": "Price with tax",
        "net": "Price without tax",
        "substances": "Substances",
        "containers": "Containers and packing",
        "markup": "Mark-up",
        "work": "Fee for the work",
        "fixed": "Fixed charge",
        "tax": "Tax",
    },
    "price_of_a_preparation": {
        "title": "Price of a preparation",
        "words": "cost, tariff, charge, fee, tax, VAT, invoice, compounding fee",
        "about": "What a preparation costs by a tariff: substances, container, work, fixed charge "
        "and tax.",
        "source": "The tariff chosen; it names its own source.",
        "limits": "Rounded as the tariff says. Sums of money have the tariff’s currency.",
        "caution": "A tariff is a matter of law and contract: check the text in force. A price "
        "never changes a weighed amount.",
    },
    "step": {
        "tariff": "{title} ({source}); sums in {currency}",
        "packs": "{price} x {used} / {size} = {share}",
        "materials": "Substances {substances} + containers {containers} = {sum}",
        "marked_up": "Mark-up on {on}: {part} x {percent} % = {added}",
        "markup": "Mark-up in all: {parts} = {markup}",
        "no_markup": "Mark-up on them: {markup}",
        "mass": "{volume} x {density} g/mL = {mass}",
        "work": "Work: {fee} up to {base}",
        "further": "Work: {base_fee} up to {base}, and {count} further started base quantities of "
        "{percent} % each: {fee}",
        "fixed": "Fixed charge: {fixed}",
        "net": "{sum} + {markup} + {work} + {fixed} = {net} without tax",
        "least": "The tariff’s least price without tax is {least}",
        "tax": "{net} x {percent} % = {tax} tax",
        "price": "{net} + {tax} = {price}",
    },
    "unknown_tariff": "There is no tariff “{name}”. There are {known}.",
    "no_work": "This tariff has no fee for “{work}”. It has fees for {known}.",
    "other_measure": "This tariff counts {work} in {unit}; {quantity} doesn’t tell how many. A "
    "volume needs its density.",
    "no_prices": "Give the purchase prices of the substances, or packs with what was used.",
    "lists_differ": "Pack prices, pack sizes and amounts used must be of one number.",
    "other_pack": "{used} can’t be taken from a pack of {size}.",
    "invented": "This tariff is an invented example. It binds nobody.",
    "doubtful": "The tariff isn’t fully confirmed: {why}",
}
KINDS_OF_WORK = (
    "ointment, cream, paste or gel",
    "suspension or emulsion",
    "undivided powder",
    "divided powders",
    "liquid mixed cold",
    "liquid made warm",
    "capsules",
    "suppositories or pessaries",
    "pills or tablets",
    "tea mixture",
    "sterile preparation",
    "preparation from substances, otherwise",
)
say = speaker(AREA)


def work_fee(work: Work, quantity: Amount, name: str) -> tuple[Fraction, int]:
    """Return the fee for a quantity, and how many further base quantities were started."""
    if units.dimension(quantity.unit) is not units.dimension(work.base.unit):
        refused = {"work": name, "unit": work.base.unit, "quantity": quantity}
        raise Refusal(say("other_measure", **refused))
    further = max(ceil(quantity / work.base) - 1, 0)
    return work.fee * (1 + further * work.further_percent / 100), further


def price(given: Given) -> Outcome:
    """Return the price of a preparation, line by line."""
    rules = _tariff(given)
    substances, first = _substances(given, rules)
    containers = rules.line(sum(_prices(given, "containers"), Fraction(0)))
    markup = _marked_up(rules, substances, containers)
    work = _work(given, rules)
    lines = {"sum": substances + containers, "markup": markup.result, "work": work.result}
    net = sum(lines.values(), rules.fixed)
    parts = {"substances": substances, "containers": containers}
    shown = _shown(rules, net=net, fixed=rules.fixed, **lines, **parts)
    steps = (
        say("step.tariff", title=rules.title, source=rules.source, currency=rules.currency),
        *first,
        say("step.materials", **{name: shown[name] for name in (*parts, "sum")}),
        *markup.steps,
        *work.steps,
        say("step.fixed", fixed=shown["fixed"]),
        say("step.net", **{name: shown[name] for name in (*lines, "fixed", "net")}),
    )
    sums = {**parts, "markup": markup.result, "work": work.result, "fixed": rules.fixed}
    results, last = _taxed(rules, net, sums)
    further = work.steps[-1].key.endswith("further")
    return Outcome(results, (*steps, *last), _doubts(rules, further=further))


def _marked_up(rules: Tariff, substances: Fraction, containers: Fraction) -> Working[Fraction]:
    """Return the mark-up, with its rate on each part of the sums."""
    found = [
        (say(f"result.{name}"), each)
        for name, money, tiers in (
            ("substances", substances, rules.substances),
            ("containers", containers, rules.containers),
        )
        for each in mark_ups(money, tiers)
        if each.percent
    ]
    markup = rules.line(sum((each.added for _, each in found), Fraction(0)))
    if not found:
        return Working(markup, (say("step.no_markup", markup=rules.money(markup)),))
    steps = [
        say(
            "step.marked_up",
            on=on,
            percent=each.percent,
            **_shown(rules, part=each.part, added=each.added),
        )
        for on, each in found
    ]
    parts = written_sum([rules.money(each.added) for _, each in found])
    steps.append(say("step.markup", parts=parts, markup=rules.money(markup)))
    return Working(markup, tuple(steps))


def _shown(rules: Tariff, **sums: Fraction) -> dict[str, Money]:
    return {name: rules.money(each) for name, each in sums.items()}


def _taxed(
    rules: Tariff, net: Fraction, sums: dict[str, Fraction]
) -> tuple[tuple[Result, ...], tuple[Message, ...]]:
    """Return the results with the price first, and the steps for least price and tax."""
    steps: tuple[Message, ...] = ()
    if net < rules.least_price:
        net = rules.least_price
        steps = (say("step.least", least=rules.money(net)),)
    tax = rules.rounded(rules.line(net) * rules.tax_percent / 100)
    total = rules.rounded(net) + tax
    named = {"price": total, "net": rules.rounded(net), **sums, "tax": tax}
    results = tuple(Result(name, rules.money(each)) for name, each in named.items())
    shown = _shown(rules, net=net, tax=tax)
    taxed = say("step.tax", percent=rules.tax_percent, **shown)
    price = say("step.price", price=rules.money(total), **shown)
    return results, (*steps, taxed, price)


def _tariff(given: Given) -> Tariff:
    name = given.text("tariff").casefold()
    if name not in tariff_names():
        raise Refusal(say("unknown_tariff", name=name, known=", ".join(tariff_names())))
    return tariff(name)


def _prices(given: Given, name: str) -> tuple[Fraction, ...]:
    return given.numbers(name) if given.has(name) else ()


def _substances(given: Given, rules: Tariff) -> tuple[Fraction, tuple[Message, ...]]:
    """Return the purchase prices of what was used: as given, and by shares of packs."""
    prices = _prices(given, "pack_prices")
    sizes, used = _amounts(given, "pack_sizes"), _amounts(given, "used")
    if not len(prices) == len(sizes) == len(used):
        raise Refusal(say("lists_differ"))
    if not prices and not given.has("substances"):
        raise Refusal(say("no_prices"))
    total, steps = sum(_prices(given, "substances"), Fraction(0)), []
    for whole, size, part in zip(prices, sizes, used, strict=True):
        if units.dimension(size.unit) is not units.dimension(part.unit):
            raise Refusal(say("other_pack", used=part, size=size))
        share = rules.line(whole * (part / size))
        total += share
        steps.append(
            say("step.packs", used=part, size=size, **_shown(rules, price=whole, share=share))
        )
    return rules.line(total), tuple(steps)


def _amounts(given: Given, name: str) -> tuple[Amount, ...]:
    return given.amounts(name) if given.has(name) else ()


def _work(given: Given, rules: Tariff) -> Working[Fraction]:
    kind = given.text("work")
    work = rules.work_of(kind)
    if work is None:
        known = "; ".join(each for fee in rules.work for each in fee.kinds)
        raise Refusal(say("no_work", work=kind, known=known))
    quantity, steps = _quantity(given, work)
    fee, further = work_fee(work, quantity, kind)
    fee = rules.line(fee)
    said = {"fee": rules.money(fee), "base": work.base}
    if not further:
        return Working(fee, (*steps, say("step.work", **said)))
    more = {"base_fee": rules.money(work.fee), "percent": work.further_percent}
    return Working(fee, (*steps, say("step.further", count=further, **more, **said)))


def _quantity(given: Given, work: Work) -> tuple[Amount, tuple[Message, ...]]:
    """Return the quantity as the tariff counts it: a volume by its density, if that was given."""
    quantity = given.amount("quantity")
    is_volume = units.dimension(quantity.unit) is units.VOLUME
    if (
        not is_volume
        or units.dimension(work.base.unit) is not units.MASS
        or not given.has("density")
    ):
        return quantity, ()
    density = given.number("density")
    mass = Amount(quantity.to("mL").number * density, "g")
    return mass, (say("step.mass", volume=quantity, density=density, mass=mass),)


def _doubts(rules: Tariff, *, further: bool) -> tuple[Finding, ...]:
    found = [note(say("invented"), "tariff")] if rules.invented else []
    if further and rules.further_doubtful:
        found.append(caution(say("doubtful", why=rules.further_doubtful), "tariff"))
    return tuple(found)


NUMBER = (Kind.NUMBER,)
QUANTITY = (Kind.MASS, Kind.VOLUME, Kind.PIECES)
CALCULATIONS = (
    Calculation(
        "price-of-a-preparation",
        AREA,
        (
            Input("tariff", (Kind.CHOICE,), choices=tariff_names()),
            Input("work", (Kind.CHOICE,), choices=KINDS_OF_WORK),
            Input("quantity", QUANTITY),
            Input("substances", NUMBER, many=True, optional=True),
            Input("containers", NUMBER, many=True, optional=True),
            Input("pack_prices", NUMBER, many=True, optional=True),
            Input("pack_sizes", QUANTITY, many=True, optional=True),
            Input("used", QUANTITY, many=True, optional=True),
            Input("density", (Kind.DENSITY,), optional=True),
        ),
        price,
        (
            ("tariff", "germany-section-5"),
            ("work", KINDS_OF_WORK[0]),
            ("quantity", "50 g"),
            ("substances", "12.00; 7.25"),
            ("containers", "1.25"),
        ),
    ),
)
