"""What holds of every formula and every target, whatever the figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Content, Line, Role
from formulary.formula.kinds import Fixed, InParts, Share, ToTotal
from formulary.house import House
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.density import Density
from formulary.scaling.masses import mass_of_line
from formulary.scaling.plan import Plan, scale
from formulary.scaling.plan_json import plan_json
from formulary.scaling.target import Excess, Target, parse_target
from tests.helpers.formulas import COARSE, FINE, MIDDLE, SYRINGE, a_balance, a_formula, a_house
from tests.helpers.strategies import amounts, contents, exact_numbers, kinds

DENSE = Density(Fraction(9, 10), "invented for this test")
# A house that can weigh and measure nearly anything, so that every line gets a reading.
HOUSE = a_house(
    balances=(
        a_balance("Micro", "1 g", "1 microgram", "1 microgram"),
        FINE,
        MIDDLE,
        COARSE,
        a_balance("Floor scale", "1000 kg", "1 g", "5 kg"),
    ),
    measures=(replace(SYRINGE, capacity=Amount(Fraction(1000), "L"), minimum=SYRINGE.readability),),
)


def numbers(most: int) -> st.SearchStrategy[Fraction]:
    """Numbers over zero up to ``most``: decimals, and thirds that no decimal holds."""
    return st.builds(Fraction, st.integers(1, most * 10), st.sampled_from((10, 30)))


def parts_of_a_hundred_grams() -> st.SearchStrategy[Line]:
    """Lines of which five can't fill a hundred grams."""
    quantity = st.one_of(
        st.builds(lambda n: Fixed(Amount(n, "g")), numbers(19)),
        st.builds(lambda n: Fixed(Amount(n * 1000, "mg"), each=True), numbers(19)),
        st.builds(lambda n: Fixed(Amount(n, "mL")), numbers(19)),
        st.builds(lambda n: Fixed(Amount(Fraction(n), "drop")), st.integers(1, 50)),
        st.builds(lambda n: Share(Concentration(n, "% w/w")), numbers(19)),
        st.builds(lambda n: Share(Concentration(n * 10, "mg/g")), numbers(19)),
        st.builds(lambda n: Share(OneIn(Fraction(n), "w/w")), st.integers(6, 10000)),
    )
    return st.builds(
        lambda kind, role: Line(
            "Ingredient", kind, role, density=DENSE, drop=Amount(Fraction(1, 50), "g")
        ),
        quantity,
        st.sampled_from(Role),
    )


def closing_formulas() -> st.SearchStrategy[Content]:
    """Formulas by mass that one line, or two that share, make up to 100 g."""
    total = Amount(Fraction(100), "g")
    one = st.just((Line("Base", ToTotal(total)),))
    two = st.just((Line("Base", ToTotal(total, True)), Line("Other base", ToTotal(total, True))))
    return st.builds(
        lambda lines, closing: a_formula(*lines, *closing),
        st.lists(parts_of_a_hundred_grams(), min_size=1, max_size=5),
        one | two,
    )


def plausible_formulas() -> st.SearchStrategy[Content]:
    """Formulas with all that any kind of quantity could need, closed by mass, by volume or not."""
    furnished = st.builds(
        lambda kind, drop: Line(
            "Ingredient", kind, Role.ACTIVE, density=DENSE, drop=drop, potency=Fraction(5000)
        ),
        kinds().filter(lambda kind: not isinstance(kind, ToTotal)),
        st.sampled_from((Amount(Fraction(1, 50), "g"), Amount(Fraction(1, 20), "mL"))),
    )
    whole = st.builds(Amount, exact_numbers(), st.sampled_from(("g", "mL", "kg", "L")))
    closing = st.builds(
        lambda total, shared, count: (Line("Base", ToTotal(total, shared)),) * count,
        whole,
        st.booleans(),
        st.integers(0, 2),
    )
    return st.builds(
        lambda lines, base, units_made, dose: a_formula(
            *lines, *base, units=units_made, dose=dose, density=DENSE
        ),
        st.lists(furnished, min_size=1, max_size=3),
        closing,
        st.none() | st.integers(1, 100),
        st.none() | whole,
    )


def masses() -> st.SearchStrategy[Amount]:
    """Sizes to make, from a milligram to a hundred kilograms."""
    return st.builds(Amount, numbers(1000), st.sampled_from(("g", "kg"))) | st.builds(
        Amount, st.integers(1, 10**6).map(Fraction), st.just("mg")
    )


def targets() -> st.SearchStrategy[Target]:
    """Containers of a size."""
    return st.builds(Target, st.integers(1, 20), masses())


def excesses() -> st.SearchStrategy[Excess]:
    """What is made beyond an order."""
    percent = st.just(Fraction(0)) | numbers(10)
    return st.builds(Excess, percent, st.none() | st.builds(Amount, numbers(10), st.just("g")))


def sum_required(plan: Plan) -> Amount:
    """Return the exact sum of the masses required."""
    together = Amount(Fraction(0), "g")
    for each in plan.lines:
        if each.required is not None:
            together += mass_of_line(each.line, each.required).result
    return together


def required(plan: Plan) -> list[Fraction | None]:
    """Return the exact numbers, each in its dimension's own unit."""
    base = {"mass": "g", "volume": "mL", "drops": "drop"}
    return [
        None
        if each.required is None
        else each.required.to(base[units.dimension(each.required.unit).value]).number
        for each in plan.lines
    ]


@given(closing_formulas(), targets(), excesses())
def test_the_exact_masses_add_up_to_what_is_made(
    content: Content, target: Target, excess: Excess
) -> None:
    plan = scale(content, target, excess)
    assert sum_required(plan) == plan.to_make.to("g")
    assert plan.total.to("g") == plan.to_make.to("g")


@given(closing_formulas(), targets())
def test_the_readings_add_up_within_the_reading_of_the_closing_lines(
    content: Content, target: Target
) -> None:
    plan = scale(content, target, house=HOUSE)
    allowed = Fraction(0)
    for each in plan.lines:
        if isinstance(each.line.quantity, ToTotal) and each.to_measure is not None:
            balance = next((b for b in HOUSE.balances if b.name == each.instrument), None)
            if balance is None or not each.to_measure.number:
                return  # no reading: the others alone are the total, or a trace over it
            allowed += balance.readability.to("g").number / 2
        elif each.to_measure is None:
            return  # no instrument can do a line: there is no plan to add up
    off = (plan.total.to("g") - plan.to_make.to("g")).number
    assert abs(off) <= allowed


@given(closing_formulas(), st.integers(1, 50), masses(), excesses())
def test_several_containers_are_one_of_the_whole(
    content: Content, count: int, each: Amount, excess: Excess
) -> None:
    several = scale(content, Target(count, each), excess)
    assert required(several) == required(scale(content, Target(1, each * count), excess))


@given(closing_formulas(), masses(), numbers(20))
def test_what_is_required_is_linear_in_the_target(
    content: Content, each: Amount, factor: Fraction
) -> None:
    once = required(scale(content, Target(1, each)))
    more = required(scale(content, Target(1, each * factor)))
    assert more == [number and number * factor for number in once]


@given(closing_formulas(), st.integers(1, 10**9))
def test_the_spelling_of_the_targets_unit_does_not_matter(content: Content, mg: int) -> None:
    whole = Fraction(mg)
    grams, kilograms = Amount(whole / 1000, "g"), Amount(whole / 10**6, "kg")
    plans = [scale(content, Target(1, each)) for each in (Amount(whole, "mg"), grams, kilograms)]
    assert required(plans[0]) == required(plans[1]) == required(plans[2])


def test_180_grams_in_three_spellings() -> None:
    content = a_formula(
        Line("A", Share(Concentration(Fraction(7), "% w/w"))),
        Line("B", ToTotal(Amount(Fraction(100), "g"))),
    )
    spellings = ("0.18 kg", "180 g", "180000 mg", "3 x 60 g")
    plans = [required(scale(content, parse_target(each))) for each in spellings]
    assert all(each == plans[0] for each in plans)


@given(st.lists(numbers(100), min_size=1, max_size=6), masses())
def test_parts_add_up_to_the_target(parts: list[Fraction], each: Amount) -> None:
    content = a_formula(*(Line("A", InParts(Parts(number))) for number in parts))
    assert sum_required(scale(content, Target(1, each))) == each.to("g")


@given(closing_formulas(), targets(), excesses())
def test_no_excess_changes_a_declared_strength(
    content: Content, target: Target, excess: Excess
) -> None:
    plain, more = scale(content, target), scale(content, target, excess)
    assert [each.declared for each in plain.strengths] == [each.declared for each in more.strengths]


@given(closing_formulas(), targets())
def test_the_true_strength_is_what_is_read_in_what_is_made(
    content: Content, target: Target
) -> None:
    plan = scale(content, target, house=HOUSE)
    actives = [
        each for each in plan.lines if each.line.role is Role.ACTIVE and each.required is not None
    ]
    for line, strength in zip(actives, plan.strengths, strict=True):
        assert line.required is not None
        held = line.sub_plan.contains if line.sub_plan else line.to_measure
        reading = held or line.required
        mass = mass_of_line(line.line, reading).result
        declared = strength.declared.number
        exact = mass_of_line(line.line, line.required).result
        share = (mass / plan.total) / (exact / plan.to_make)
        assert strength.actual.number == declared * share


def everything_in(value: object) -> Iterator[object]:
    """Return a value and all that is in it, at any depth."""
    yield value
    if is_dataclass(value):
        for each in fields(value):
            yield from everything_in(getattr(value, each.name))
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from everything_in(inner)


@given(closing_formulas(), targets(), excesses())
def test_there_is_no_float_in_a_plan(content: Content, target: Target, excess: Excess) -> None:
    plan = scale(content, target, excess, HOUSE)
    assert not [each for each in everything_in(plan) if isinstance(each, float)]


@given(
    contents() | plausible_formulas(),
    st.builds(Target, st.integers(1, 20), amounts("g") | amounts("mL"))
    | st.builds(
        Target, st.just(1), st.integers(1, 500).map(lambda n: Amount(Fraction(n), "piece"))
    ),
    st.builds(Excess, exact_numbers() | st.just(Fraction(0)), st.none() | amounts()),
    st.sampled_from((HOUSE, None)),
)
def test_any_formula_gives_a_plan_or_a_refusal_with_a_sentence(
    content: Content, target: Target, excess: Excess, house: House | None
) -> None:
    catalogue = Catalogue()
    try:
        plan = scale(content, target, excess, house)
    except Refusal as refusal:
        catalogue.text(refusal.message)  # fails for an unknown key or a missing parameter
        return
    assert len(plan.lines) == len(content.lines)
    assert plan_json(plan, catalogue)["lines"]


@given(st.text(max_size=60), st.sampled_from((".", ",")))
def test_any_text_is_a_target_or_a_refusal(text: str, sign: str) -> None:
    try:
        target = parse_target(text, sign)
    except Refusal as refusal:
        Catalogue().text(refusal.message)
        return
    assert target.ordered.number > 0
