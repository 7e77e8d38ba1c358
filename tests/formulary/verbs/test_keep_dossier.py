"""A formula's dossier: files as they were kept, and the sample label of each version put in use."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.canonical import from_canonical_text
from formulary.desk import Desk
from formulary.dossier import DossierItem, DossierKind
from formulary.errors import BadText, Forbidden, NotFound, Refusal
from formulary.formula.content import LabelText
from formulary.labels.content import LabelContent, Stamp
from formulary.papers.formula_sheet import formula_sheet
from formulary.papers.formula_subject import of_version
from formulary.verbs.keep_dossier import dossier_file, dossier_of, keep_dossier
from formulary.verbs.write_version import write_version
from tests.formulary.papers.reading import missing
from tests.helpers.desks import ADA, BEN, CID, at, in_use
from tests.helpers.kept import a_content
from tests.helpers.stocked import PDF

NAMED = replace(a_content(), label=LabelText(name="Zinc cream", strength="5 % w/w"))


def a_study(desk: Desk, formula_id: str) -> DossierItem:
    return keep_dossier(
        at(desk, CID), formula_id, DossierKind.STABILITY, "Study of 2025", "../study.pdf", PDF
    )


def test_a_file_is_kept_by_its_hash_and_given_back(desk: Desk) -> None:
    version = in_use(desk, NAMED)
    kept = a_study(desk, version.formula_id)
    assert kept.file is not None
    assert kept.file.name == "study.pdf"
    assert (kept.person, kept.version_number) == (CID.name, 1)
    assert dossier_file(desk.store, kept) == PDF
    assert kept in dossier_of(desk.store, version.formula_id)
    assert desk.store.history(0, 1000)[-1].verb == "keep_dossier"


def test_the_sample_label_is_kept_with_the_version_that_is_put_in_use(desk: Desk) -> None:
    version = in_use(desk, NAMED)
    (kept,) = dossier_of(desk.store, version.formula_id)
    assert (kept.part, kept.version_number, kept.file) == (DossierKind.SAMPLE_LABEL, 1, None)
    said = from_canonical_text(LabelContent, kept.label)
    assert (said.name, said.strength, said.stamp) == ("Zinc cream", "5 % w/w", Stamp.TRIAL)
    with pytest.raises(NotFound):
        dossier_file(desk.store, kept)


def test_each_version_keeps_its_own(desk: Desk) -> None:
    first = in_use(desk, NAMED)
    write_version(
        at(desk, ADA), replace(NAMED, purpose="x"), formula_id=first.formula_id, reason="x"
    )
    assert len(dossier_of(desk.store, first.formula_id)) == 1
    assert a_study(desk, first.formula_id).version_number == 2


def test_the_sheet_lists_it_and_says_what_the_sample_label_says(desk: Desk) -> None:
    version = in_use(desk, NAMED)
    kept = a_study(desk, version.formula_id)
    assert kept.file is not None
    pages = formula_sheet(of_version(at(desk, BEN), version))
    wanted = ("Stability: Study of 2025, version 1 (Cid Dane", "study.pdf", kept.file.sha256[:16])
    assert missing(pages, *wanted, "Sample label: Zinc cream", "name: Zinc cream") == []


def test_it_needs_a_title_a_formula_and_a_pdf_or_picture(desk: Desk) -> None:
    version = in_use(desk, NAMED)
    other = DossierKind.OTHER
    with pytest.raises(BadText):
        keep_dossier(desk, version.formula_id, other, " ", "a.pdf", PDF)
    with pytest.raises(Refusal):
        keep_dossier(desk, version.formula_id, other, "Macro", "a.exe", b"MZ")
    with pytest.raises(NotFound):
        keep_dossier(desk, "f-none", other, "Study", "a.pdf", PDF)


def test_what_was_kept_is_never_changed(desk: Desk) -> None:
    kept = a_study(desk, in_use(desk, NAMED).formula_id)
    with pytest.raises(Forbidden), desk.writing("keep_dossier") as writing:
        writing.put(replace(kept, title="Another study"))
