"""Hypothesis strategies for the trade's records: valid ones, whatever they say."""

from __future__ import annotations

import unicodedata
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction
from functools import partial

from hypothesis import strategies as st

from formulary.formula.content import (
    BatchLimits,
    Container,
    Content,
    Evidence,
    Form,
    LabelText,
    Line,
    MethodStep,
    Period,
    Phase,
    QualityTest,
    Role,
    Route,
    ShelfLife,
    Span,
    Storage,
)
from formulary.formula.justifying import Risk, SpecialRisk
from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.formula.moulding import Capsule, Convention, Displacement, Mould
from formulary.formula.stability import (
    Closure,
    Factors,
    Packing,
    Preservation,
    Preserved,
    Water,
    WaterClass,
)
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.density import Density

_nfc = partial(unicodedata.normalize, "NFC")


def texts(max_size: int = 12) -> st.SearchStrategy[str]:
    """Text as the store keeps it: any script, in NFC, without NUL."""
    signs = st.characters(codec="utf-8", exclude_characters="\0")
    return st.text(signs, max_size=max_size).map(_nfc)


def names() -> st.SearchStrategy[str]:
    """A name: text that isn't blank."""
    return texts().filter(str.strip)


def exact_numbers() -> st.SearchStrategy[Fraction]:
    """Exact numbers over zero: decimals as people type them, and thirds."""
    decimals = st.builds(Fraction, st.integers(1, 10**9), st.sampled_from((1, 10, 1000, 10**6)))
    return decimals | st.fractions(min_value=Fraction(1, 1000), max_value=10**6)


def units_of_amounts() -> st.SearchStrategy[str]:
    """Any simple unit."""
    return st.sampled_from(units.SYMBOLS)


def amounts(unit: str | None = None) -> st.SearchStrategy[Amount]:
    """Amounts over zero, of one unit or of any."""
    of = units_of_amounts() if unit is None else st.just(unit)
    return st.builds(Amount, exact_numbers(), of)


def concentrations() -> st.SearchStrategy[Concentration]:
    """Percentages with their kind, and amounts in an amount."""
    per = st.builds("{}/{}".format, units_of_amounts(), st.sampled_from(("g", "mL")))
    return st.builds(Concentration, exact_numbers(), st.sampled_from(units.PERCENTS) | per)


def kinds() -> st.SearchStrategy[Kind]:
    """Every kind of quantity that a line can have."""
    one_in = st.builds(OneIn, exact_numbers(), st.sampled_from(units.KINDS))
    return st.one_of(
        st.builds(Fixed, amounts(), st.booleans()),
        st.builds(Share, concentrations() | one_in),
        st.builds(InParts, st.builds(Parts, exact_numbers())),
        st.builds(PerUnit, amounts()),
        st.builds(ToTotal, amounts(), st.booleans()),
        st.builds(ToEndPoint, texts(), st.none() | amounts()),
        st.just(ToFill()),
    )


def densities() -> st.SearchStrategy[Density]:
    """Densities with their source."""
    return st.builds(Density, exact_numbers(), names(), texts())


def displacements() -> st.SearchStrategy[Displacement]:
    """Displacements of either convention, with their source."""
    return st.builds(Displacement, exact_numbers(), names(), st.sampled_from(Convention))


def moulds() -> st.SearchStrategy[Mould]:
    """Calibrated moulds."""
    return st.builds(Mould, amounts("g"), texts(), st.integers(0, 20))


def capsules() -> st.SearchStrategy[Capsule]:
    """Capsules of some size."""
    return st.builds(Capsule, amounts("mL"), texts(), st.integers(0, 20))


def lines() -> st.SearchStrategy[Line]:
    """Lines of a formula."""
    return st.builds(
        Line,
        names(),
        kinds(),
        st.sampled_from(Role),
        phase=texts(2),
        grade=texts(),
        note=texts(),
        density=st.none() | densities(),
        drop=st.none() | amounts(),
        potency=st.none() | exact_numbers(),
        tolerance=st.none() | exact_numbers(),
        ingredient_id=st.sampled_from(("", "i-1", "i-2")),
        displacement=st.none() | displacements(),
    )


def periods() -> st.SearchStrategy[Period]:
    """Shelf lives in days, weeks or months."""
    return st.builds(Period, st.integers(1, 400), st.sampled_from(Span))


def storages() -> st.SearchStrategy[Storage]:
    """How something is kept."""
    degrees = st.none() | st.integers(-30, 40)
    return st.builds(
        Storage, degrees, degrees, st.booleans(), st.booleans(), st.booleans(), texts()
    )


def label_texts() -> st.SearchStrategy[LabelText]:
    """What a label says beyond what the program knows."""
    several = st.lists(texts(), max_size=2).map(tuple)
    return st.builds(LabelText, texts(), texts(), texts(), several, several)


def contents() -> st.SearchStrategy[Content]:
    """All that a version can say; it needn't add up."""
    amount = st.none() | amounts()
    return st.builds(
        Content,
        names(),
        names(),
        st.sampled_from(Form),
        st.sampled_from(Route),
        st.lists(lines(), max_size=4).map(tuple),
        total=amount,
        units=st.none() | st.integers(1, 1000),
        unit_name=texts(),
        dose=amount,
        density=st.none() | densities(),
        latin=texts(),
        synonyms=st.lists(texts(), max_size=2).map(tuple),
        phases=st.lists(st.builds(Phase, texts(1), texts()), max_size=2).map(tuple),
        steps=st.lists(st.builds(MethodStep, *[texts()] * 7), max_size=2).map(tuple),
        tests=st.lists(st.builds(QualityTest, texts(), texts(), texts()), max_size=2).map(tuple),
        container=st.none()
        | st.builds(
            Container,
            texts(),
            st.booleans(),
            st.none() | st.sampled_from(Packing),
            texts(),
            st.none() | st.sampled_from(Closure),
            st.booleans(),
        ),
        storage=st.none() | storages(),
        shelf_life=st.none()
        | st.builds(ShelfLife, periods(), st.none() | periods(), texts(), texts()),
        label=label_texts(),
        batch=st.builds(BatchLimits, amount, amount),
        purpose=texts(),
        cautions=texts(),
        source=texts(),
        mould=st.none() | moulds(),
        capsule=st.none() | capsules(),
        water=st.none() | waters(),
        preservation=st.none() | st.builds(Preservation, st.sampled_from(Preserved), texts()),
        evidence=st.none() | evidences(),
        marketed=texts(),
        marketed_checked=st.none() | dates(),
        adapted_from=texts(),
        special_risks=st.lists(st.sampled_from(SpecialRisk), max_size=2).map(tuple),
        risk=st.none() | st.builds(Risk, *[st.integers(1, 9)] * 5, texts()),
        factors=st.none() | st.builds(Factors, st.booleans(), *[texts()] * 7),
    )


def waters() -> st.SearchStrategy[Water]:
    """What is said of free water."""
    activities = st.none() | st.fractions(0, 1, max_denominator=100)
    return st.builds(Water, st.none() | st.sampled_from(WaterClass), activities, texts())


def evidences() -> st.SearchStrategy[Evidence]:
    """What a study shows."""
    return st.builds(Evidence, periods(), texts(), *[st.booleans()] * 4)


def moments() -> st.SearchStrategy[datetime]:
    """Aware moments in whole-minute offsets, as a house's zone gives them."""
    zones = st.integers(-12 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
    return st.datetimes(
        datetime(1990, 1, 2),  # noqa: DTZ001  the zone is drawn beside it
        datetime(2190, 1, 1),  # noqa: DTZ001
        timezones=zones | st.just(UTC),
    )


def dates() -> st.SearchStrategy[date]:
    """Calendar days of two centuries."""
    return st.dates(date(1990, 1, 1), date(2190, 1, 1))
