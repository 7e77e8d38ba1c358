"""Keep a file with a formula's dossier, give it back, and keep the sample label of a version."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from fractions import Fraction

from formulary.canonical import canonical_text
from formulary.desk import Desk
from formulary.dossier import DossierItem, DossierKind
from formulary.errors import BadText, NotFound
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.version import Version
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.labels.content import LabelContent, Occasion, label_content
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.scaling.balance_sheet import balance_sheet
from formulary.stock.certificate_file import file_name, media_type
from formulary.stock.lot import Attachment
from formulary.store import Reading
from formulary.verbs.date_preparation import date_as_signed
from formulary.wording.warnings import warnings_for

SAMPLE_LOT = "SAMPLE"


def keep_dossier(
    desk: Desk, formula_id: str, kind: DossierKind, title: str, name: str, data: bytes
) -> DossierItem:
    """Keep a file with a formula.

    Raises :class:`formulary.errors.BadText` without a title,
    :class:`formulary.errors.Refusal` for a file that is no PDF and no picture.
    """
    if not title.strip():
        raise BadText(message("dossier.no_title"), field="title")
    versions = desk.store.versions(formula_id)
    if not versions:
        raise NotFound(message("verbs.no_such_formula", text=formula_id))
    file = Attachment(file_name(name), hashlib.sha256(data).hexdigest(), media_type(data))
    item = _item(desk, versions[-1], kind, title.strip(), file=file)
    with desk.writing("keep_dossier") as writing:
        writing.keep_file(data)
        writing.tell(formula=versions[-1].content.code, kind=kind.value)
        return writing.put(item)


def dossier_of(store: Reading, formula_id: str) -> Sequence[DossierItem]:
    """Return the dossier of a formula, oldest first."""
    return store.having(DossierItem, formula_id=formula_id)


def dossier_file(store: Reading, item: DossierItem) -> bytes:
    """Return a part's file as it was kept. Raises :class:`formulary.errors.NotFound`."""
    data = store.file(item.file.sha256) if item.file is not None else None
    if data is None:
        raise NotFound(message("dossier.no_file", title=item.title))
    return data


def sample_label(desk: Desk, version: Version) -> DossierItem | None:
    """Return the sample label to keep with a version; None for one without a shelf life."""
    content = completed(version.content, desk.store.every(Ingredient))
    said = _label(desk, content)
    if said is None:
        return None
    text = canonical_text(said, "label content")
    return _item(desk, version, DossierKind.SAMPLE_LABEL, said.name, label=text)


def _label(desk: Desk, content: Content) -> LabelContent | None:
    house, today = desk.house, desk.today
    lasts = date_as_signed(house, content, today)
    if lasts is None:
        return None
    chosen = warnings_for(content, desk.store.every(Ingredient))
    occasion = Occasion(
        lot=SAMPLE_LOT,
        made_on=today,
        use_by=max(lasts.use_by, today),
        fill=_whole(content),
        trial=True,
        warnings=tuple(each.code for each in chosen.printed),
    )
    return label_content(content, house, occasion)


def _whole(content: Content) -> Amount:
    sheet = balance_sheet(content)
    return sheet.total or sheet.sum or Amount(Fraction(100), "g")


def _item(
    desk: Desk,
    version: Version,
    kind: DossierKind,
    title: str,
    *,
    file: Attachment | None = None,
    label: str = "",
) -> DossierItem:
    act = desk.act()
    return DossierItem(
        new_id(),
        version.formula_id,
        kind,
        title,
        version.number,
        act.at,
        desk.person.id,
        desk.person.name,
        file,
        label,
    )
