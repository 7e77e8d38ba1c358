"""Hazard diamonds and signs of storage: called for by what is said, and never in its way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.calculating.tables import table
from formulary.formula.content import Storage
from formulary.labels.content import LabelContent
from formulary.labels.drawing import pdf_bytes
from formulary.labels.layout import DoesNotFit, lay_out
from formulary.labels.page import Field, Page, Picture
from formulary.labels.pictogram import UNIT, names, shapes_of, side_mm
from formulary.labels.pictures import pictograms_for, pictograms_of
from formulary.labels.raster import rasterise
from formulary.labels.stock import label_stock, label_stocks
from formulary.labels.wording import require_warnings
from tests.formulary.labels.samples import FULL, USUAL, collisions, glyph_runs, scanned
from tests.helpers.code_reader import codes_in

COOL = replace(
    USUAL,
    storage=Storage(2, 8, protect_from_light=True, keep_dry=True),
    warnings=("flammable", "external_use"),
)


def shown(page: Page) -> list[str]:
    return [each.name for each in page.items if isinstance(each, Picture)]


@pytest.mark.parametrize(
    ("content", "called_for"),
    [
        (COOL, ["ghs02", "between", "light", "dry"]),
        (replace(USUAL, storage=Storage(highest=25)), ["not_above"]),
        (replace(USUAL, storage=Storage(lowest=15)), ["not_below"]),
        (replace(USUAL, storage=None, warnings=("external_use",)), []),
        (replace(USUAL, storage=None, warnings=("poison_not_for_patient",)), ["ghs06"]),
    ],
)
def test_warnings_and_storage_call_for_pictograms(
    content: LabelContent, called_for: list[str]
) -> None:
    assert [each.name for each in pictograms_for(content)] == called_for


@pytest.mark.parametrize(
    ("statements", "diamonds"),
    [
        # UN GHS, annex 1, from memory: label elements by hazard statement.
        (("H225 Highly flammable liquid", "H319"), ["ghs02", "ghs07"]),
        (("H271", "H302", "H314"), ["ghs03", "ghs05"]),
        (("H301", "H311", "H331", "H341"), ["ghs06", "ghs08"]),
        (("H361d",), ["ghs08"]),
        (("H410",), ["ghs09"]),
        (("H280",), ["ghs04"]),
        (("H241",), ["ghs01", "ghs02"]),
        (("flammable",), []),
    ],
)
def test_hazard_statements_have_their_diamonds(
    statements: tuple[str, ...], diamonds: list[str]
) -> None:
    assert [each.name for each in pictograms_of(statements)] == diamonds


def test_every_row_names_a_pictogram_and_a_warning_that_there_are() -> None:
    for row in table("label-pictograms"):
        assert row["pictogram"] in names()
        assert ("warning" in row) is not ("statements" in row)
        if "warning" in row:
            require_warnings([row["warning"]], "en")
    every = {each for row in table("ghs-hazards") for each in row["statements"]}
    statements = {each for each in every if not each.startswith("EUH")}
    assert all(pictograms_of([each]) for each in statements)


@pytest.mark.parametrize("name", names())
def test_a_pictogram_stays_in_its_square_and_has_ink(name: str) -> None:
    for shape in shapes_of(name):
        points = [shape.start, *(point for step in shape.steps for point in step)]
        assert all(-5 <= each <= UNIT + 5 for point in points for each in point)
    side = side_mm(name)
    pdf = pdf_bytes([Page(side + 4, side + 4, (Picture(2, 2, side, name),))], title=name)
    raster = rasterise(pdf, 0, 203)
    rows = [raster.pixels[y * raster.stride :][: raster.width] for y in range(raster.height)]
    assert min(min(row) for row in rows) < 64
    edge = 14  # 2 mm less a dot or two
    assert min(min(row) for row in (*rows[:edge], *rows[-edge:])) > 192
    assert min(min(*row[:edge], *row[-edge:]) for row in rows) > 192


def test_a_diamond_has_sides_of_a_centimetre() -> None:
    # EU CLP, annex I, 1.2.1.4: at least 1 cm2 (from memory).
    diagonal = next(
        each.side_mm
        for each in lay_out(COOL, label_stock("100x70")).items
        if isinstance(each, Picture) and each.name == "ghs02"
    )
    assert diagonal**2 / 2 >= 100


@pytest.mark.parametrize("stock", label_stocks()[1:], ids=lambda stock: stock.code)
def test_pictograms_are_in_nobodys_way(stock: object) -> None:
    stock = next(each for each in label_stocks() if each is stock)
    try:
        page = lay_out(COOL, stock)
    except DoesNotFit:
        return
    assert collisions(page) == []
    found = codes_in(rasterise(pdf_bytes([page], title="x"), 0, 203))
    assert sorted(found) == sorted(scanned(page, COOL))


def test_they_give_way_to_words() -> None:
    assert shown(lay_out(COOL, label_stock("100x70"))) == ["ghs02", "between", "light", "dry"]
    crowded = replace(FULL, warnings=(*FULL.warnings, "flammable"), directions="Thinly. " * 25)
    assert shown(lay_out(crowded, label_stock("80x50"))) == []


def test_a_poison_is_never_without_its_skull() -> None:
    poison = replace(USUAL, warnings=("poison_not_for_patient",))
    assert "ghs06" in shown(lay_out(poison, label_stock("90x60")))
    with pytest.raises(DoesNotFit):
        lay_out(replace(poison, directions="Thinly. " * 30), label_stock("62x29"))


def test_the_limits_stand_beside_the_thermometer() -> None:
    page = lay_out(COOL, label_stock("100x70"))
    said = "".join(run.text for run in glyph_runs(page) if run.field is Field.PICTOGRAM)
    assert said == "2\N{NO-BREAK SPACE}°C8\N{NO-BREAK SPACE}°C"
