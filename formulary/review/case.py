"""What a review looks at: a formula as written, and what the house knows beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from functools import cached_property

from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.formula.content import Content, Line, Route
from formulary.formula.justifying import SpecialRisk
from formulary.formula.kinds import ToEndPoint, ToTotal
from formulary.house import Balance, Pack
from formulary.ingredient import Ingredient
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.units import Dimension
from formulary.review.reading import percentages, ph_range
from formulary.review.substances import folded, groups_of, is_called, known_names
from formulary.scaling.balance_sheet import BalanceSheet, balance_sheet
from formulary.scaling.masses import mass_of_line
from formulary.stock.lot import LotStrength, Source, SupplyLot
from formulary.use_by import Counting
from formulary.wording.label_profile import Profile

HUNDRED = 100
_PIECES = Dimension.PIECES


@dataclass(frozen=True, slots=True)
class Limit:
    """The last day that a rule set allows for what is made today, and who says so.

    ``at_best`` is how long it would allow if the formula told what it leaves open, None where that
    is no later; ``counting`` is how that set, or else the house, counts days. ``left_open`` says
    what the formula leaves open and which limit counts meanwhile.
    """

    until: date
    citation: Message
    at_best: date | None = None
    counting: Counting | None = None
    left_open: Finding | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """A formula as it was made before: under which lot, by which content."""

    lot: str
    content: Content


@dataclass(frozen=True)
class Facts:
    """What a review knows beside the formula; what isn't known is left empty.

    ``made_here`` are the house's own formulas by the name of what they make, ``lots`` the accepted
    ones by the id of their ingredient, ``titles`` those of other formulas. ``before`` is the
    version in use until now, ``made`` what was made last, newest first. ``limit`` comes from a
    rule set for shelf life, and ``undated`` is what of its date the formula is to mend;
    ``review_due`` is the last day on which the version counts as reviewed, ``profile`` holds the
    house's rules for labels. ``permissions`` are the classes of special risk that the house may
    make, empty where it lists none. ``in_use`` is whether it is a version in use that is looked at
    again.
    """

    today: date | None = None
    ingredients: tuple[Ingredient, ...] = ()
    balances: tuple[Balance, ...] = ()
    packs: tuple[Pack, ...] = ()
    made_here: Mapping[str, Content] = field(default_factory=dict)
    lots: Mapping[str, tuple[SupplyLot, ...]] = field(default_factory=dict)
    titles: tuple[str, ...] = ()
    before: Content | None = None
    made: tuple[Made, ...] = ()
    limit: Limit | None = None
    undated: tuple[Finding, ...] = ()
    review_due: date | None = None
    profile: Profile | None = None
    permissions: tuple[SpecialRisk, ...] = ()
    in_use: bool = False

    @cached_property
    def by_name(self) -> Mapping[str, Ingredient]:
        """The ingredients by every name they have, case aside; by their ids as well."""
        found: dict[str, Ingredient] = {}
        for each in self.ingredients:
            found[each.id] = each
            for name in filter(None, (each.name, each.latin, *each.synonyms)):
                found.setdefault(name.casefold(), each)
        return found

    @cached_property
    def _titles(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for each in self.titles:
            found.setdefault(folded(each)[:1], []).append(each)
        return {letter: tuple(titles) for letter, titles in found.items()}

    def titles_from(self, letter: str) -> tuple[str, ...]:
        """Return the titles of other formulas that begin with a letter."""
        return self._titles.get(letter, ())

    def record_of(self, line: Line) -> Ingredient | None:
        """Return the house's record of a line's ingredient."""
        return self.by_name.get(line.ingredient_id) or self.by_name.get(line.ingredient.casefold())

    def made_of(self, part: Part) -> Content | None:
        """Return the house's own formula of a base or intermediate."""
        if part.record is None or part.record.source not in (Source.BASE, Source.INTERMEDIATE):
            return None
        named = (made for name, made in self.made_here.items() if is_called(part.names, name))
        return next(named, None)


NOTHING_KNOWN = Facts()


@dataclass(frozen=True)
class Part:
    """An ingredient in the formula as written.

    ``share`` is its mass in g in 100 g or 100 mL of the whole; None where that can't be told.
    """

    position: int
    line: Line
    record: Ingredient | None
    amount: Amount | None
    share: Fraction | None

    @property
    def name(self) -> str:
        """The name as the formula gives it."""
        return self.line.ingredient

    @property
    def field(self) -> str:
        """The field to go to for its name."""
        return f"ingredient.{self.position}.name"

    @property
    def quantity_field(self) -> str:
        """The field to go to for its quantity."""
        return f"ingredient.{self.position}.quantity"

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Every name it has, folded for comparing."""
        known = self.record
        more = (known.name, known.latin, *known.synonyms) if known is not None else ()
        return known_names((self.line.ingredient, *more))

    def is_a(self, called: str) -> bool:
        """Tell whether it is that substance, or belongs to that group of substances."""
        return called in groups_of(self.names)

    @property
    def strength(self) -> LotStrength | None:
        """What its record says that it holds, as a concentrate does."""
        return self.record.strength if self.record is not None else None

    @property
    def content(self) -> Fraction:
        """Which part of its mass is the substance it is named after: 1 where it is pure."""
        declared = percent_of(self.strength)
        if declared is None:
            named = percentages(self.line.ingredient)
            return named[0] / HUNDRED if named else Fraction(1)
        kind, number = declared
        if kind == "w/v" and self.line.density is not None:
            return number / HUNDRED / self.line.density.g_per_mL
        return number / HUNDRED

    @property
    def pure(self) -> Fraction | None:
        """Its share counted as pure substance."""
        return None if self.share is None else self.share * self.content


def percent_of(strength: LotStrength | None) -> tuple[str, Fraction] | None:
    """Return the kind of per cent and the figure of a strength by mass or volume, else None."""
    if strength is None or isinstance(strength, Amount):
        return None
    percent = strength if isinstance(strength, Concentration) else strength.as_percent()
    if percent.unit in units.PERCENTS:
        return percent.unit.removeprefix("% "), percent.number
    part, whole = units.split_concentration(percent.unit)
    if units.dimension(part) != Dimension.MASS:
        return None
    kind = "w/w" if units.dimension(whole) == Dimension.MASS else "w/v"
    per = "g" if kind == "w/w" else "mL"
    grams = percent.number * units.factor(part, "g") / units.factor(whole, per)
    return kind, grams * HUNDRED


@dataclass(frozen=True)
class Case:
    """A formula under review: its content completed from the house's records, and the facts."""

    content: Content
    facts: Facts = NOTHING_KNOWN

    @cached_property
    def sheet(self) -> BalanceSheet:
        """The sums of the formula as written."""
        return balance_sheet(self.content)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The ingredients with their shares."""
        lines = self.content.lines
        amounts = self.sheet.lines or (None,) * len(lines)
        return tuple(
            Part(i, line, self.facts.record_of(line), amount, _share(line, amount, self.whole))
            for i, (line, amount) in enumerate(zip(lines, amounts, strict=True))
        )

    @cached_property
    def whole(self) -> Amount | None:
        """What the formula as written makes, as a mass or a volume; None for dose units."""
        total = self.sheet.total
        if total is None:
            return Amount(Fraction(HUNDRED), "g") if self.sheet.lines else None
        if units.dimension(total.unit) == _PIECES:
            return None
        return total.to("g" if units.dimension(total.unit) == Dimension.MASS else "mL")

    @property
    def is_mass(self) -> bool:
        """Whether the whole is a mass."""
        return self.whole is not None and self.whole.unit == "g"

    def those(self, called: str) -> tuple[Part, ...]:
        """Return the parts that are a substance or belong to a group."""
        return tuple(each for each in self.parts if each.is_a(called))

    @cached_property
    def is_watery(self) -> bool:
        """Whether water is in it, as such or in a base."""
        return bool(self.those("water") or self.those("watery base"))

    @cached_property
    def ph(self) -> tuple[Fraction, Fraction] | None:
        """The pH that its test allows or an end point asks for."""
        texts = [each.limits for each in self.content.tests if each.name.strip() == "pH"]
        texts += [
            line.quantity.end_point.replace("pH", "")
            for line in self.content.lines
            if isinstance(line.quantity, ToEndPoint) and "pH" in line.quantity.end_point
        ]
        return next((found for text in texts if (found := ph_range(text)) is not None), None)

    @property
    def is_external(self) -> bool:
        """Whether it is put on the skin."""
        return self.content.route in (Route.SKIN, Route.SCALP)


def _share(line: Line, amount: Amount | None, whole: Amount | None) -> Fraction | None:
    if amount is None or whole is None or not whole.number:
        return None
    if whole.unit == "mL" and isinstance(line.quantity, ToTotal):
        # It is made up to the mark: how much of it goes in isn't known.
        return None
    if amount.unit == "mL" and whole.unit == "mL" and line.density is None:
        return amount / whole * HUNDRED
    try:
        mass = mass_of_line(line, amount).result
    except Refusal:
        return None
    return mass.to("g").number / whole.number * HUNDRED
