"""Random labels over every stock, language, jurisdiction and code: each whole, or refused.

A label is looked at as its page description, as the printer's dots and as the PDF's own text, and
its codes by an independent decoder. The same labels come in every run; with MISCE_FULL more.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from formulary.catalogue import Catalogue, keys_under, languages
from formulary.errors import Refusal
from formulary.formula.content import Form, Period, Route, Span, Storage, Target
from formulary.labels.composition import Composition, Stated
from formulary.labels.content import LabelContent, Stamp
from formulary.labels.design import Design
from formulary.labels.design_checks import design_findings, stops
from formulary.labels.design_start import suggested
from formulary.labels.designed import NoPlace, lay_out_by
from formulary.labels.drawing import pdf_bytes
from formulary.labels.jar_code import JarCode
from formulary.labels.layout import lay_out, room_for
from formulary.labels.metrics import SOFT_HYPHEN
from formulary.labels.missing import require_complete
from formulary.labels.page import Field, GlyphRun, Page, Place
from formulary.labels.parts import Part
from formulary.labels.plan import is_for_small_containers
from formulary.labels.raster import Raster, rasterise
from formulary.labels.stock import LabelStock, label_stock, label_stocks
from formulary.labels.wording import fields_of, statements
from formulary.quantity.amount import Amount, Concentration
from formulary.wording.label_profile import Element, label_profile, label_profiles
from tests.formulary.labels.samples import collisions, scanned
from tests.helpers.code_reader import codes_in
from tests.helpers.pdf_text import page_texts, squeezed

FULL_RUN = bool(os.environ.get("MISCE_FULL"))
LABELS = 10_000 if FULL_RUN else 500
STOCKS = label_stocks()
LANGUAGES = languages("label")
PROFILES = tuple(each.code for each in label_profiles())
GTIN = "6291041500213"
DOTS = 203
DARK = 128
MOST_WORDS = 400
SHEET_OF = 10
# A first layout that nobody has worked on yet has room for so many of the labels tried on it.
LEAST_BY_HOUSE = 0.5

NAMES = (
    "Salicylic acid ointment",
    "Zinkoxidschüttelmixtur",
    "Crème à l’urée",
    "Maść żółta łagodząca",
    "Solución de yodo",
    "Urea",
    "Sodium hydrogen carbonate, magnesium oxide and calcium carbonate capsules",
)
PEOPLE = ("Anna Example", "Jürgen Müßig", "Łucja Święćicka", "Íñigo Núñez", "Zoë D’Eau")


@dataclass(frozen=True)
class Stratum:
    """What a label is tried on, and whether it is to be over 90 % full."""

    stock: LabelStock
    language: str
    profile: str
    gtin: str
    full: bool

    @property
    def name(self) -> str:
        return f"{self.stock.code} {self.language} {self.profile} {'GS1' if self.gtin else 'plain'}"


def seeded(by: str) -> random.Random:
    """Return the same choices in every run."""
    return random.Random(by)  # noqa: S311  nothing secret


def strata() -> list[Stratum]:
    """Return one for each label: every stock with every language, then profiles and codes."""
    return [
        Stratum(
            STOCKS[number % len(STOCKS)],
            LANGUAGES[number // len(STOCKS) % len(LANGUAGES)],
            PROFILES[number % len(PROFILES)],
            GTIN if (number + number // 54) % 2 else "",
            number % 10 in {2, 5, 8},
        )
        for number in range(LABELS)
    ]


Attempt = Callable[[LabelContent, LabelStock], object]


@cache
def words_of(language: str) -> tuple[str, ...]:
    """Return words of a language: those of its own warnings."""
    said = Catalogue(language)
    texts = (said.text(key) for key in keys_under("label.warning"))
    found = {word.strip(".:,") for text in texts for word in text.split()}
    return tuple(sorted(word for word in found if 0 < len(word) < 14))


def typed(rng: random.Random, language: str, most: int) -> str:
    return " ".join(rng.choices(words_of(language), k=rng.randint(1, most))) + "."


def some(rng: random.Random, likely: float) -> bool:
    return rng.random() < likely


def a_label(rng: random.Random, stratum: Stratum, ambition: float) -> LabelContent:
    """Return a label that could be real; with less ambition it says less."""
    profile, language = label_profile(stratum.profile), stratum.language
    made = date(2026, 1, 1) + timedelta(days=rng.randrange(700))
    small = stratum.stock.height_mm < 25 or ambition < 0.2
    asked = profile.elements
    patient = rng.choice(PEOPLE) if some(rng, ambition) else ""
    codes = [key.rpartition(".")[2] for key in keys_under("label.warning")]
    fill = Amount(Fraction(10), "mL") if small else Amount(Fraction(rng.randint(1, 999)), "g")
    return LabelContent(
        name=rng.choice(NAMES) if some(rng, ambition) else "Urea",
        lot=f"GS{made:%y}-{rng.randrange(100_000):05d}",
        use_by=made + timedelta(days=rng.randint(1, 900)),
        made_on=made,
        quantity=fill,
        strength=rng.choice(("5 % w/w", "0.1 %", "25 mg in 1 mL")),
        containers=(total := rng.choice((1, 3, 12))),
        container=rng.randint(1, total),
        directions=typed(rng, language, 2 + int(10 * ambition)),
        after_opening=Period(rng.randint(1, 12), Span.WEEKS) if some(rng, ambition) else None,
        storage=Storage(rng.choice((None, 2, 15)), rng.choice((8, 25)), some(rng, ambition / 2)),
        warnings=tuple(rng.sample(codes, 1 + int(4 * ambition))),
        house="Gull Stair Pharmacy",
        address=("3 Gull Stair", "Pennerquay"),
        telephone="01632 960417",
        stamp=rng.choice(tuple(Stamp)) if some(rng, ambition / 2) else Stamp.NONE,
        language=language,
        beside="en" if language == "ar" else "",
        decimal_sign=rng.choice((".", ",")),
        patient=patient,
        prescriber="Dr B. Sample" if patient else "",
        gtin=stratum.gtin,
        profile=stratum.profile,
        form=rng.choice(tuple(Form)) if Element.FORM in asked else None,
        route=rng.choice(tuple(Route)) if Element.ROUTE in asked else None,
        composition=Composition(
            (
                Stated("Urea", Concentration(Fraction(5), "% w/w")),
                Stated("Cream base", Amount(Fraction(100), "g"), up_to=True),
            )
        )
        if Element.COMPOSITION in asked
        else None,
        excipients=("Cream base", "Purified water") if Element.EXCIPIENTS in asked else None,
        target=rng.choice(tuple(Target)) if Element.TARGET in asked else None,
        compounded=Element.COMPOUNDED in asked,
        copy=rng.choice((1, 1, 2)),
        part=Part.WITH_LEAFLET if small else rng.choice((Part.WHOLE, Part.WHOLE, *Part)),
    )


Fits = Callable[[LabelContent, LabelStock], bool]


def by_the_program(content: LabelContent, stock: LabelStock) -> bool:
    return isinstance(room_for(content, stock, DOTS), Page)


def by_the_house(content: LabelContent, stock: LabelStock) -> bool:
    try:
        lay_out_by(house_layout(stock, content.profile), content, DOTS)
    except NoPlace:
        return False
    return True


@cache
def house_layout(stock: LabelStock, profile: str) -> Design:
    """Return a layout of the house that has no stops, its codes for the longest lot."""
    jar = JarCode("GS27-99999", 99, date(2027, 12, 31), GTIN)
    design = suggested(stock, label_profile(profile), jar)
    assert stops(design_findings(design, label_profile(profile), jar)) == ()
    return design


def that_fits(
    rng: random.Random,
    stratum: Stratum,
    refused: Counter[str],
    fits: Fits = by_the_program,
) -> LabelContent:
    """Return a label that has room, after as many that haven't; those are counted."""
    for ambition in (1, 0.8, 0.6, 0.4, 0.2, 0.1, 0):
        content = a_label(rng, stratum, ambition)
        if fits(content, stratum.stock):
            break
        refused[stratum.name] += 1
    return filled(rng, content, stratum.stock, fits) if stratum.full else content


def filled(
    rng: random.Random, content: LabelContent, stock: LabelStock, fits: Fits
) -> LabelContent:
    """Return a label that says as much as there is room for, to the word."""
    words = rng.choices(words_of(content.language), k=MOST_WORDS)
    least, most = 0, MOST_WORDS
    while most - least > 1:
        middle = (least + most) // 2
        has_room = fits(with_more(content, words[:middle]), stock)
        least, most = (middle, most) if has_room else (least, middle)
    return with_more(content, words[:least])


def with_more(content: LabelContent, words: list[str]) -> LabelContent:
    text = " ".join(words)
    if not text:
        return content
    if Field.EXTRA in fields_of(content):
        return replace(content, extra=(text,))
    if Field.DIRECTIONS in fields_of(content):
        return replace(content, directions=f"{content.directions} {text}")
    return replace(content, name=f"{content.name} {text}")


@dataclass(frozen=True)
class Shown:
    """A label as text, as dots, and as the dots of its odd and of its even items alone."""

    text: str
    dots: Raster
    halves: tuple[Raster, Raster]


def shown(pages: list[Page]) -> Iterator[Shown]:
    """Yield labels as another program sees them; many in one PDF, for speed."""
    for start in range(0, len(pages), SHEET_OF):
        part = pages[start : start + SHEET_OF]
        pdf = pdf_bytes([each for page in part for each in (page, *halved(page))], title="strata")
        texts = page_texts(pdf)
        for at in range(0, 3 * len(part), 3):
            whole, odd, even = (rasterise(pdf, at + one, DOTS) for one in range(3))
            yield Shown(texts[at], whole, (odd, even))


def halved(page: Page) -> tuple[Page, Page]:
    """Return the page's odd and even items; white text stays with its band."""
    stamped = tuple(each for each in page.items if each.field is Field.STAMP)
    others = [each for each in page.items if each.field is not Field.STAMP]
    return (
        replace(page, items=(*stamped, *others[1::2])),
        replace(page, items=tuple(others[::2])),
    )


def require_whole(page: Page, content: LabelContent, stock: LabelStock) -> None:
    """Nothing is outside the margins or on something else, and all is said, by the description."""
    margin = stock.margin_mm
    inside = Place(margin, margin, stock.width_mm - margin, stock.height_mm - margin)
    assert [each for each in page.items if not each.place.within(inside)] == []
    assert collisions(page) == []
    there = {run.field for run in page.items if isinstance(run, GlyphRun)}
    assert there - {Field.PICTOGRAM} == statements(content).keys()


def require_clean(seen: Shown, stock: LabelStock) -> None:
    """No dot is in the margins, and none is black in two things at once."""
    dots, first, second = seen.dots, *seen.halves
    ring = int(stock.margin_mm * DOTS / 25.4) - 1
    rows = [dots.pixels[at * dots.stride :][: dots.width] for at in range(dots.height)]
    assert min(map(min, (*rows[:ring], *rows[-ring:]))) > DARK
    assert min(min(*row[:ring], *row[-ring:]) for row in rows) > DARK
    both = int.from_bytes(dark(first)) & int.from_bytes(dark(second))
    assert not both


_TO_BITS = bytes(1 if level < DARK else 0 for level in range(256))


def dark(raster: Raster) -> bytes:
    return raster.pixels.translate(_TO_BITS)


_TOKENS = re.compile(r"[\u0621-\u064a]+|[0-9]+|[A-Za-z\u00c0-\u024f]+")


def require_read_back(text: str, content: LabelContent) -> None:
    """All that is said is in the PDF's text; what is read from the right, word by word.

    Readers of PDF guess an order of their own where both directions meet on a line.
    """
    found = unicodedata.normalize("NFKC", squeezed(text))
    for said in statements(content).values():
        plain = unicodedata.normalize("NFKC", said.replace(SOFT_HYPHEN, ""))
        if content.language == "ar":
            assert [each for each in _TOKENS.findall(plain) if each not in found] == []
        else:
            assert squeezed(plain) in found


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.code)
def test_random_labels_are_whole_and_read_back(
    stock: LabelStock, record_property: Callable[[str, object], None]
) -> None:
    rng, refused = seeded(stock.code), Counter[str]()
    contents: list[LabelContent] = []
    full = 0
    for stratum in strata():
        if stratum.stock is stock:
            contents.append(that_fits(rng, stratum, refused))
            full += stratum.full
    pages = [lay_out(content, stock, DOTS, [stock]) for content in contents]
    for page, content, seen in zip(pages, contents, shown(pages), strict=True):
        require_whole(page, content, stock)
        require_clean(seen, stock)
        require_read_back(seen.text, content)
        assert sorted(codes_in(seen.dots)) == sorted(scanned(page, content))
    assert full >= 0.28 * len(contents)
    for name, times in sorted(refused.items()):
        record_property(f"refused {name}", times)
    record_property(f"labels on {stock.code}", len(contents))


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.code)
def test_random_labels_by_the_houses_layouts_are_whole_and_read_back(
    stock: LabelStock, record_property: Callable[[str, object], None]
) -> None:
    rng, refused = seeded(f"house {stock.code}"), Counter[str]()
    found = [each for each in strata() if each.stock is stock][::5]
    contents = [that_fits(rng, each, refused, by_the_house) for each in found]
    contents = [each for each in contents if by_the_house(each, stock)]
    for name, times in sorted(refused.items()):
        record_property(f"refused by a house layout {name}", times)
    if not is_for_small_containers(stock):
        assert len(contents) >= LEAST_BY_HOUSE * len(found)
    pages = [lay_out_by(house_layout(stock, each.profile), each, DOTS) for each in contents]
    for page, content, seen in zip(pages, contents, shown(pages), strict=True):
        require_whole(page, content, stock)
        require_clean(seen, stock)
        require_read_back(seen.text, content)
        assert sorted(codes_in(seen.dots)) == sorted(scanned(page, content))


def test_the_strata_hold_every_stock_language_profile_and_code() -> None:
    every = strata()
    assert len(every) == LABELS
    assert {(each.stock.code, each.language) for each in every} == {
        (stock.code, language) for stock in STOCKS for language in LANGUAGES
    }
    assert {(each.stock.code, each.profile) for each in every} == {
        (stock.code, code) for stock in STOCKS for code in PROFILES
    }
    assert {(each.stock.code, bool(each.gtin)) for each in every} == {
        (stock.code, has) for stock in STOCKS for has in (True, False)
    }
    assert sum(each.full for each in every) >= 0.3 * LABELS


def test_a_full_label_is_over_nine_tenths_full() -> None:
    """No tenth more of what it says would have room."""
    rng = seeded("full")
    for stock in STOCKS[1:]:
        stratum = Stratum(stock, "en", "neutral", "", full=True)
        content = that_fits(rng, stratum, Counter())
        tenth = sum(map(len, statements(content).values())) // 10
        longer = replace(content, extra=(*content.extra, "word " * (tenth // 5 + 1)))
        if Field.EXTRA in fields_of(content):
            assert isinstance(room_for(longer, stock, DOTS), Field)


def too_long(rng: random.Random) -> tuple[Attempt, str]:
    words = " ".join(rng.choices(words_of("en"), k=400))
    plain = {"profile": "", "form": None, "route": None, "quantity": Amount(Fraction(5), "g")}
    return (
        lambda content, stock: lay_out(
            replace(content, directions=words, **plain), stock, DOTS, [stock]
        ),
        "directions",
    )


def one_word(rng: random.Random) -> tuple[Attempt, str]:
    word = "x" * rng.randint(150, 400)
    return lambda content, stock: lay_out(
        replace(content, patient=word), stock, DOTS, [stock]
    ), "patient"


def no_glyph(rng: random.Random) -> tuple[Attempt, str]:
    field = rng.choice(("name", "directions", "house", "patient", "strength"))
    sign = rng.choice("漢字अกあ")
    changed = {field: f"Urea {sign}"}
    return lambda content, stock: lay_out(replace(content, **changed), stock), field


def loose_mark(rng: random.Random) -> tuple[Attempt, str]:
    field = rng.choice(("name", "directions", "prescriber"))
    changed = {field: "Urea q" + rng.choice("\u0301\u200f\u202e")}
    return lambda content, stock: lay_out(replace(content, **changed), stock), field


def odd_lot(rng: random.Random) -> tuple[Attempt, str]:
    lot = f"ÄÖ{rng.randrange(1000)}"
    return lambda content, stock: lay_out(replace(content, lot=lot, gtin=""), stock), "lot"


def long_lot(rng: random.Random) -> tuple[Attempt, str]:
    lot = "A" * rng.randint(21, 30)
    return lambda content, stock: lay_out(replace(content, lot=lot, gtin=GTIN), stock), "lot"


def empty(rng: random.Random) -> tuple[Attempt, str]:
    field = rng.choice(("name", "lot"))
    changed = {field: rng.choice(("", " "))}
    return lambda content, _: replace(content, **changed), field


def past(rng: random.Random) -> tuple[Attempt, str]:
    days = timedelta(days=rng.randint(1, 999))
    return lambda content, _: replace(content, use_by=content.made_on - days), "use_by"


def no_directions(rng: random.Random) -> tuple[Attempt, str]:
    patient = rng.choice(PEOPLE)
    return lambda content, _: replace(content, patient=patient, directions=""), "directions"


def no_warning(rng: random.Random) -> tuple[Attempt, str]:
    codes = (f"unknown_{rng.randrange(100)}",)
    return lambda content, stock: lay_out(replace(content, warnings=codes), stock), "warnings"


def lacking(rng: random.Random) -> tuple[Attempt, str]:
    profile, field, gone = rng.choice(
        (
            ("us", "house.telephone", {"telephone": ""}),
            ("de", "house.address", {"address": ()}),
            ("fr", "label.target", {"target": None}),
            ("es", "storage.highest", {"storage": None}),
            ("uk", "label.strength", {"strength": ""}),
        )
    )
    return (
        lambda content, _: require_complete([replace(content, profile=profile, **gone)]),
        field,
    )


IMPOSSIBLE = (
    too_long,
    one_word,
    no_glyph,
    loose_mark,
    odd_lot,
    long_lot,
    empty,
    past,
    no_directions,
    no_warning,
)


@pytest.mark.parametrize("kind", IMPOSSIBLE, ids=lambda kind: kind.__name__)
def test_fifty_impossible_labels_of_a_kind_are_refused_with_the_field_named(
    kind: Callable[[random.Random], tuple[Attempt, str]],
) -> None:
    rng = seeded(kind.__name__)
    for stratum in strata()[:50]:
        content = replace(a_label(rng, stratum, 0.2), part=Part.WHOLE, language="en")
        act, field = kind(rng)
        with pytest.raises(Refusal) as refusal:
            act(content, stratum.stock)
        assert getattr(refusal.value, "field", None) == field


def test_a_label_that_lacks_what_its_rules_ask_for_is_refused_with_the_field_named() -> None:
    rng = seeded("lacking")
    for stratum in strata()[:50]:
        act, field = lacking(rng)
        with pytest.raises(Refusal) as refusal:
            act(replace(a_label(rng, stratum, 1), part=Part.WHOLE), stratum.stock)
        assert field in getattr(refusal.value, "fields", ())


OCR_MODELS = {"en": "eng", "de": "deu", "fr": "fra", "es": "spa", "pl": "pol", "ar": "ara+eng"}
# Single letters and signs apart, an OCR of ordinary quality reads so many of a label's words.
READ_BY_OCR = 0.9


@pytest.mark.skipif(not FULL_RUN, reason="reading by OCR takes a second a label: the full run only")
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_sample_is_read_by_ocr(tmp_path: Path, language: str) -> None:
    """Latin letters word by word; of an Arabic label what stands in Western figures."""
    program = shutil.which("tesseract")
    if program is None:
        pytest.skip("tesseract isn't on this machine")
    stock, rng = label_stock("100x70"), seeded(f"read {language}")
    words, missed = 0, Counter[str]()
    for one in strata()[:10]:
        content = that_fits(
            rng, replace(one, stock=stock, language=language, full=False), Counter()
        )
        seen = read_by_ocr(program, content, stock, tmp_path / "label.png", OCR_MODELS[language])
        assert content.lot[-5:] in seen
        said = words_said(content)
        words += len(said)
        missed.update(each for each in said if without_accents(each) not in without_accents(seen))
    assert missed.total() <= (1 - READ_BY_OCR) * words, missed


def words_said(content: LabelContent) -> list[str]:
    """Return the words of a label, the stamp's white ones, names and all Arabic ones apart."""
    named = {Field.STAMP, Field.NAME, Field.PATIENT}
    said = (text for field, text in statements(content).items() if field not in named)
    plain = (text.replace(SOFT_HYPHEN, "") for text in said)
    return [each for text in plain for each in re.findall(r"[0-9A-Za-z\u00c0-\u024f]{3,}", text)]


def without_accents(text: str) -> str:
    """Return what is left when an OCR mistakes an accent, and no word is parted at a line's end."""
    plain = unicodedata.normalize("NFKD", text.replace("-\n", "")).translate({0x142: "l"})
    return "".join(each for each in plain if not unicodedata.combining(each)).casefold()


def read_by_ocr(
    program: str, content: LabelContent, stock: LabelStock, path: Path, model: str
) -> str:
    """Return what is read of a label as the printer's dots."""
    from PIL import Image

    page = lay_out(content, stock, DOTS)
    text = replace(page, items=tuple(each for each in page.items if isinstance(each, GlyphRun)))
    dots = rasterise(pdf_bytes([text], title="OCR"), 0, 2 * DOTS)
    size = (dots.width, dots.height)
    Image.frombytes("L", size, dots.pixels, "raw", "L", dots.stride).save(path)
    done = subprocess.run(
        [program, str(path), "-", "--psm", "6", "-l", model],
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout
