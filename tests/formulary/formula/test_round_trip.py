"""A content as fields and as a file, and back: nothing is lost."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.exchange.formula_text import read_formula, read_formula_file, write_formula
from formulary.formula.content import (
    Ask,
    Asked,
    BatchLimits,
    Container,
    Content,
    Form,
    LabelText,
    Line,
    MethodStep,
    Phase,
    QualityTest,
    Role,
    Route,
    ShelfLife,
    Storage,
)
from formulary.formula.fields import content_from_fields
from formulary.formula.fields_of import fields_of
from formulary.formula.moulding import Capsule, Convention, Displacement, Mould
from formulary.quantity.density import Density
from formulary.resources import sample_path
from tests.helpers.examples import costly
from tests.helpers.strategies import periods
from tests.helpers.typed import SIZES, kinds, named, numbers, said, sizes

FILES = sorted(
    path
    for folder in (sample_path() / "formulas", Path(__file__).parents[2] / "published")
    for path in folder.glob("*.toml")
    if not path.name.endswith(".lines.toml")
)
CODES = ("A", "B")


def densities() -> st.SearchStrategy[Density | None]:
    """Densities with their source and their temperature."""
    return st.none() | st.builds(Density, numbers(), named(), said())


def lines(codes: tuple[str, ...]) -> st.SearchStrategy[Line]:
    """Ingredients, of a phase that there is."""
    return st.builds(
        Line,
        named(),
        kinds(),
        st.sampled_from(Role),
        phase=st.sampled_from(("", *codes)),
        grade=said(),
        note=said(),
        density=densities(),
        drop=st.none() | sizes(),
        potency=st.none() | numbers(),
        tolerance=st.none() | numbers(),
        displacement=st.none()
        | st.builds(Displacement, numbers(), named(), st.sampled_from(Convention)),
    )


def windows() -> st.SearchStrategy[tuple[Fraction | None, Fraction | None]]:
    """Limits, where there are two the lower one first."""
    one = st.none() | st.just(Fraction(0)) | numbers()
    two = st.tuples(numbers(), numbers()).map(lambda pair: (min(pair), max(pair)))
    return two | st.tuples(one, st.none()) | st.tuples(st.none(), one)


@st.composite
def asks(draw: st.DrawFn) -> Ask:
    """Anything that a step can ask."""
    lowest, highest = draw(windows())
    return Ask(draw(st.sampled_from(Asked)), draw(said()), lowest, highest)


@st.composite
def steps(draw: st.DrawFn, codes: tuple[str, ...], ingredients: tuple[str, ...]) -> MethodStep:
    """A step, with all that the bench can hold it to."""
    lowest, highest = draw(windows())
    some = st.lists(st.sampled_from(codes), max_size=2) if codes else st.just([])
    return MethodStep(
        draw(named()),
        draw(st.sampled_from(("", *codes))),
        temperature=draw(said()),
        time=draw(said()),
        speed=draw(said()),
        equipment=draw(said()),
        look_for=draw(said()),
        lowest=lowest,
        highest=highest,
        minutes=draw(st.none() | numbers()),
        joins=tuple(draw(some)),
        adds=tuple(draw(st.lists(st.sampled_from(ingredients), max_size=2))),
        asks=tuple(draw(st.lists(asks(), max_size=2))),
    )


def storages() -> st.SearchStrategy[Storage | None]:
    """How something is kept; a storage that says nothing is none."""
    degrees = st.none() | st.integers(-80, 100)
    flags = [st.booleans()] * 3
    some = st.builds(Storage, degrees, degrees, *flags, said())
    return some.map(lambda kept: None if kept == Storage() else kept)


def filled_into() -> st.SearchStrategy[tuple[Mould | None, Capsule | None]]:
    """A mould, a capsule or neither."""
    spare = st.integers(0, 20)
    mould = st.builds(Mould, sizes(("g", "mg")), said(), spare)
    capsule = st.builds(Capsule, sizes(("mL",)), said(), spare)
    return st.just((None, None)) | st.tuples(mould, st.none()) | st.tuples(st.none(), capsule)


@st.composite
def typed_contents(draw: st.DrawFn) -> Content:
    """All that a person can type of a formula; it needn't add up."""
    codes = draw(st.sampled_from(((), CODES)))
    size = st.none() | sizes()
    several = st.lists(named(), max_size=2).map(tuple)
    written = tuple(draw(st.lists(lines(codes), min_size=1, max_size=3)))
    ingredients = tuple(line.ingredient for line in written)
    limits = st.none() | sizes((*SIZES, "piece"))
    mould, capsule = draw(filled_into())
    return Content(
        title=draw(named()),
        code=draw(named()),
        form=draw(st.sampled_from(Form)),
        route=draw(st.sampled_from(Route)),
        lines=written,
        total=draw(size),
        units=draw(st.none() | st.integers(1, 1000)),
        unit_name=draw(said()),
        dose=draw(size),
        density=draw(densities()),
        latin=draw(said()),
        synonyms=draw(several),
        phases=tuple(Phase(code, draw(said())) for code in codes),
        steps=tuple(draw(st.lists(steps(codes, ingredients), max_size=2))),
        tests=tuple(draw(st.lists(st.builds(QualityTest, named(), named(), named()), max_size=2))),
        container=draw(st.none() | st.builds(Container, named(), st.booleans())),
        storage=draw(storages()),
        shelf_life=draw(
            st.none() | st.builds(ShelfLife, periods(), st.none() | periods(), said(), said())
        ),
        label=draw(st.builds(LabelText, said(), said(), said(), several, several)),
        batch=draw(st.builds(BatchLimits, limits, limits)),
        purpose=draw(said()),
        cautions=draw(said()),
        source=draw(said()),
        mould=mould,
        capsule=capsule,
        join_difference=draw(st.none() | st.just(Fraction(0)) | numbers()),
    )


@costly(40)
@given(typed_contents(), st.sampled_from((".", ",")))
def test_a_content_as_fields_reads_back_equal(content: Content, sign: str) -> None:
    assert content_from_fields(fields_of(content, sign), sign) == content


@costly(40)
@given(typed_contents())
def test_a_content_as_a_file_reads_back_equal(content: Content) -> None:
    assert read_formula(write_formula(content)) == content


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_real_formula_file_reads_writes_and_reads_the_same(path: Path) -> None:
    content = read_formula_file(path)
    text = write_formula(content)
    assert read_formula(text) == content
    assert write_formula(read_formula(text)) == text


def test_no_field_is_written_empty() -> None:
    content = read_formula_file(FILES[0])
    written = tomllib.loads(write_formula(content))
    assert written["format"] == 1
    assert all(value not in ("", [], {}) for value in written.values())
