"""The house's layouts for labels: kept as drafts, looked at, put in use by a pharmacist's name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from formulary.canonical import content_hash
from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import BadText, NotFound, Refusal
from formulary.finding import Finding, Severity
from formulary.house_layout import HouseLayout
from formulary.ids import new_id
from formulary.labels.content import LabelContent, with_people, without_people
from formulary.labels.design import Design
from formulary.labels.design_checks import design_findings, stops
from formulary.labels.design_fit import fitting
from formulary.labels.design_text import read_design
from formulary.labels.designed import NoPlace, lay_out_by
from formulary.labels.jar_code import JarCode
from formulary.labels.stock import LabelStock, label_stocks
from formulary.lots import lot_number
from formulary.messages import message
from formulary.preparation import Preparation
from formulary.signing import Meaning
from formulary.store import Reading, Writing
from formulary.verbs.issue_labels import label_contents
from formulary.verbs.sign_in import signed
from formulary.wording.label_profile import Profile, label_profile

_MOST_TRIED = 40
_LAST_NUMBER = 99_999
_LAST_CONTAINER = 99


@dataclass(frozen=True, slots=True)
class Example:
    """A real label of the house that a layout is tried with; persons are specimens."""

    title: str
    content: LabelContent


def layouts(store: Reading) -> tuple[HouseLayout, ...]:
    """Return every version of every layout, by stock and number."""
    return tuple(sorted(store.every(HouseLayout), key=lambda each: (each.stock, each.number)))


def layout_called(store: Reading, stock: str) -> HouseLayout:
    """Return the newest version for a stock. Raises NotFound where there is none."""
    found = [each for each in layouts(store) if each.stock == stock]
    if not found:
        raise NotFound(message("layouts.none_such", called=stock))
    return found[-1]


def save_layout(desk: Desk, text: str, called: str = "") -> HouseLayout:
    """Keep a layout as the draft for its stock: over the draft there is, or as the next version.

    ``called`` is the file that the text was read from, if it was.

    Raises :class:`formulary.errors.BadText` for what can't be read, for a stock without a name and
    for one that comes with the program in other measures.
    """
    design = read_design(text, called)
    require_own_or_same(design.stock)
    with desk.writing("save_layout") as writing:
        versions = [each for each in layouts(writing) if each.stock == design.stock.code]
        last = versions[-1] if versions else None
        if last is not None and last.is_draft:
            kept = replace(last, text=text)
        else:
            kept = HouseLayout(new_id(), design.stock.code, last.number + 1 if last else 1, text)
        writing.tell(stock=kept.stock, version=kept.number)
        return writing.put(kept)


def put_layout_in_use(desk: Desk, layout_id: str, pin: str) -> HouseLayout:
    """Print labels of its stock by a layout from now on; the one before is ended by it.

    Raises :class:`formulary.errors.Refusal` where it was in use before and for a finding that
    stops it, :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    desk.may("put_layout_in_use")
    layout = _layout(desk.store, layout_id)
    if not layout.is_draft:
        raise Refusal(message("layouts.used_already"))
    _require_sound(desk, read_design(layout.text, layout.stock))
    by = signed(desk, pin, Meaning.PUT_IN_USE, content_hash(layout, "house layout"))
    with desk.writing("put_layout_in_use") as writing:
        for before in _in_use(writing, layout.stock):
            writing.put(replace(before, ended=by))
        writing.tell(stock=layout.stock, version=layout.number, signed=by.meaning.value)
        return writing.put(replace(layout, signature=by))


def end_layout(desk: Desk, stock: str, pin: str) -> HouseLayout:
    """Print labels of a stock by the program's own layout again.

    Raises :class:`formulary.errors.Refusal` where none of the house is in use for it.
    """
    desk.may("end_layout")
    found = next(_in_use(desk.store, stock), None)
    if found is None:
        raise Refusal(message("layouts.not_in_use", stock=stock))
    by = signed(desk, pin, Meaning.DECIDED, content_hash(found, "house layout"))
    with desk.writing("end_layout") as writing:
        writing.tell(stock=stock, version=found.number, signed=by.meaning.value)
        return writing.put(replace(found, ended=by))


def begun(desk: Desk, stock: LabelStock) -> Design:
    """Return a layout to begin with for a stock: the house's latest labels have room on it.

    Where the program's own layout has no room for one, this has none either.
    """
    tried = tuple(each.content for each in examples(desk))
    return fitting(stock, _profile(desk), _longest_code(desk), tried)


def findings_of(
    desk: Desk, design: Design, tried_with: tuple[Example, ...] | None = None
) -> tuple[Finding, ...]:
    """Return all doubts about a layout; it is tried with the house's labels once nothing stops it.

    ``tried_with`` are :func:`examples` where they were read before.
    """
    found = design_findings(design, _profile(desk), _longest_code(desk))
    with_these = examples(desk) if tried_with is None and not stops(found) else tried_with or ()
    tried = () if stops(found) else tuple(_tried(design, with_these))
    return tuple(sorted((*found, *tried), key=lambda each: each.severity is not Severity.STOP))


def examples(desk: Desk) -> tuple[Example, ...]:
    """Return a label of the latest preparation of each formula: what the layout has to hold."""
    rows = desk.store.register(limit=_MOST_TRIED * 3)
    latest = {row.code: row.preparation_id for row in reversed(rows)}
    found = (desk.store.get(Preparation, each) for each in reversed(latest.values()))
    made = (each for each in found if each is not None)
    return tuple(filter(None, (_example(desk, each) for each in made)))[:_MOST_TRIED]


def _example(desk: Desk, preparation: Preparation) -> Example | None:
    """Return its last container's label, for a person with a long name, if it can be said."""
    try:
        content = without_people(label_contents(desk, preparation)[-1])
    except Refusal:
        return None
    if content.directions or content.dosing is not None:
        words = Catalogue(desk.house.language)
        names = (words.text(f"layouts.specimen.{each}") for each in ("patient", "prescriber"))
        content = with_people(content, *names)
    return Example(preparation.title, content)


def _tried(design: Design, tried: tuple[Example, ...]) -> Iterator[Finding]:
    """Yield a doubt about the house's labels that have no room by a layout; a stop if none has."""
    refused: dict[str, NoPlace] = {}
    for each in tried:
        try:
            lay_out_by(design, each.content)
        except NoPlace as trouble:
            refused[each.title] = trouble
        except Refusal:
            # What can't be said at all is told where the label is printed.
            continue
    if not refused:
        return
    fields = {
        trouble.field: message(f"label.field.{trouble.field}") for trouble in refused.values()
    }
    if len(refused) == len(tried):
        title, first = next(iter(refused.items()))
        said = message("layouts.fits_none", n=len(tried), title=title, field=fields[first.field])
        yield Finding(Severity.STOP, said, first.field.value)
        return
    said = message(
        "layouts.fits_not", n=len(refused), titles=tuple(refused), fields=tuple(fields.values())
    )
    yield Finding(Severity.REASON, said, next(iter(fields)).value)


def _require_sound(desk: Desk, design: Design) -> None:
    found = stops(findings_of(desk, design))
    if found:
        raise Refusal(message("layouts.has_stops", n=len(found), first=found[0].said))


def require_own_or_same(stock: LabelStock) -> None:
    """Raise BadText for a stock without a name, or with that of another."""
    if not stock.code.strip():
        raise BadText(message("layouts.no_code"), field="code")
    for shipped in label_stocks():
        if shipped.code == stock.code and shipped != stock:
            raise BadText(message("layouts.shipped", stock=stock.code), field="code")


def _in_use(store: Reading | Writing, stock: str) -> Iterator[HouseLayout]:
    return (each for each in layouts(store) if each.stock == stock and each.in_use)


def _layout(store: Reading, layout_id: str) -> HouseLayout:
    found = store.get(HouseLayout, layout_id)
    if found is None:
        raise NotFound(message("layouts.none_such", called=layout_id))
    return found


def _profile(desk: Desk) -> Profile:
    return label_profile(desk.house.label_profile)


def _longest_code(desk: Desk) -> JarCode:
    """Return the longest code that the house's jars get."""
    lot = lot_number(desk.house.lot_prefix, desk.today.year, _LAST_NUMBER)
    return JarCode(lot, _LAST_CONTAINER, desk.today, desk.house.gtin)
