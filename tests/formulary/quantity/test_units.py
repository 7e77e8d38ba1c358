"""Conversions against the SI prefixes, as the SI Brochure (BIPM, 9th edition, table 7) has them."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest

from formulary.errors import UnitMismatch
from formulary.quantity import units
from formulary.quantity.amount import Amount


@pytest.mark.parametrize(
    ("have", "want", "power_of_ten"),
    [
        ("kg", "g", 3),
        ("g", "mg", 3),
        ("g", "microgram", 6),
        ("mg", "microgram", 3),
        ("microgram", "nanogram", 3),
        ("kg", "nanogram", 12),
        ("L", "mL", 3),
        ("mL", "microlitre", 3),
        ("drop", "drop", 0),
        ("international unit", "international unit", 0),
        ("piece", "piece", 0),
    ],
)
def test_factors_are_the_si_prefixes_exactly(have: str, want: str, power_of_ten: int) -> None:
    assert units.factor(have, want) == Fraction(10) ** power_of_ten
    assert units.factor(want, have) == Fraction(10) ** -power_of_ten


@pytest.mark.parametrize("symbol", units.SYMBOLS)
def test_every_unit_converts_to_itself_and_names_its_dimension(symbol: str) -> None:
    assert units.factor(symbol, symbol) == 1
    assert units.dimension(symbol) in units.Dimension


@pytest.mark.parametrize("have", units.SYMBOLS)
@pytest.mark.parametrize("want", units.SYMBOLS)
def test_the_factors_kept_ready_are_those_of_the_registry(have: str, want: str) -> None:
    if units.dimension(have) is units.dimension(want):
        assert units.factor(have, want) == units.by_registry(have, want)
    else:
        with pytest.raises(UnitMismatch):
            units.factor(have, want)


def test_the_dimensions_part_the_units() -> None:
    assert units.dimension("mg") is units.MASS
    assert units.dimension("microlitre") is units.VOLUME
    assert units.dimension("international unit") is units.ACTIVITY
    assert units.dimension("drop") is units.DROPS
    assert units.dimension("piece") is units.PIECES


@pytest.mark.parametrize(
    ("have", "want"), [("g", "mL"), ("mg", "international unit"), ("drop", "mL")]
)
def test_nothing_crosses_dimensions_without_a_bridge(have: str, want: str) -> None:
    with pytest.raises(UnitMismatch) as refused:
        Amount(Fraction(1), have).to(want)
    assert refused.value.message.key == "quantity.unit_mismatch"
    assert dict(refused.value.message.parameters) == {"have": have, "want": want}


def test_a_unit_that_the_program_never_writes_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="no unit"):
        units.require("mcg")
    with pytest.raises(ValueError, match="no unit"):
        units.dimension("stone")


@pytest.mark.parametrize("unit", ["% w/w", "% w/v", "% v/v", "mg/mL", "international unit/g"])
def test_a_concentration_has_a_kind_or_two_units(unit: str) -> None:
    units.require_concentration(unit)
    assert unit in units.PERCENTS or "/".join(units.split_concentration(unit)) == unit


@pytest.mark.parametrize("unit", ["%", "mg", "% w", "mg/", "mg/mL/g", ""])
def test_a_bare_per_cent_is_no_concentration(unit: str) -> None:
    with pytest.raises(ValueError, match="no unit"):
        units.require_concentration(unit)


@pytest.mark.parametrize(
    "typed",
    [
        "mcg",
        "MCG",
        "ug",
        "\u00b5g",
        "\u03bcg",
        "microgram",
        "Micrograms",
        "microgram.",
        "Mikrogramm",
    ],
)
def test_micro_sign_greek_mu_and_words_are_one_microgram(typed: str) -> None:
    assert units.canonical(typed) == "microgram"


@pytest.mark.parametrize(
    ("typed", "symbol"),
    [
        ("G", "g"),
        ("Gramm", "g"),
        ("KG", "kg"),
        ("mg.", "mg"),
        ("ng", "nanogram"),
        ("l", "L"),
        ("ML", "mL"),
        ("millilitres", "mL"),
        ("\u00b5L", "microlitre"),
        ("ul", "microlitre"),
        ("IU", "international unit"),
        ("I.U.", "international unit"),
        ("I.E.", "international unit"),
        ("units", "international unit"),
        ("international  units", "international unit"),
        ("gtt.", "drop"),
        ("Tropfen", "drop"),
        ("pcs", "piece"),
        ("St\u00fcck", "piece"),
    ],
)
def test_what_people_type_is_understood(typed: str, symbol: str) -> None:
    assert units.canonical(typed) == symbol
    assert units.refusal(typed) is None


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("u", "u"),
        ("U", "u"),
        ("gr", "gr"),
        ("gr.", "gr"),
        ("cc", "cc"),
        ("gamma", "gamma"),
        ("M", "m"),
        ("Mg", "capital_mg"),
        ("grains", "apothecary"),
        ("minims", "apothecary"),
        ("fl oz", "apothecary"),
        ("oz", "apothecary"),
    ],
)
def test_error_prone_units_are_refused_with_their_own_reason(typed: str, reason: str) -> None:
    """ISMP's list of error-prone abbreviations: U, cc, apothecary measures."""
    assert units.canonical(typed) is None
    assert units.refusal(typed) == f"quantity.unit.{reason}"


def test_an_unknown_unit_is_neither_understood_nor_explained() -> None:
    assert units.canonical("furlong") is None
    assert units.refusal("furlong") is None


def test_everyday_work_never_waits_for_the_unit_library() -> None:
    program = (
        "import sys\n"
        "from formulary.catalogue import Catalogue\n"
        "from formulary.quantity import parsing\n"
        "Catalogue().written(parsing.parse_quantity('1.5 g'))\n"
        "parsing.parse_amount('1.5 g').to('mg')\n"
        "assert 'pint' not in sys.modules\n"
        "parsing.parse_amount('1.5 mol').to('mmol')\n"
        "assert 'pint' in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", program], check=False, capture_output=True)
    assert done.returncode == 0, done.stderr
