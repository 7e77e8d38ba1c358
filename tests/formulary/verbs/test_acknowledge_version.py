"""Staff say that they read a version in use; who hasn't stands on the leaf and the sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.desk import Desk
from formulary.errors import Forbidden
from formulary.formula.read_mark import ReadMark
from formulary.papers.formula_sheet import formula_sheet
from formulary.papers.formula_subject import of_version
from formulary.people import Person, Post
from formulary.verbs.acknowledge_version import acknowledge_version, readers_of
from formulary.verbs.write_version import write_version
from tests.formulary.papers.reading import missing
from tests.helpers.desks import ADA, CID, at, in_use
from tests.helpers.kept import a_content


def test_who_makes_preparations_still_has_to_read_it_and_authors_know_it(desk: Desk) -> None:
    version = in_use(desk)
    assert readers_of(desk.store, version).still_to_read == (CID.name,)
    acknowledge_version(at(desk, CID), version.id)
    found = readers_of(desk.store, version)
    assert [each.person for each in found.marks] == [CID.name]
    assert found.still_to_read == ()


def test_once_is_enough(desk: Desk) -> None:
    version = in_use(desk)
    for _ in range(2):
        acknowledge_version(at(desk, CID), version.id)
    assert len(desk.store.every(ReadMark)) == 1


def test_the_next_version_is_read_anew(desk: Desk) -> None:
    first = in_use(desk)
    acknowledge_version(at(desk, CID), first.id)
    draft = write_version(
        at(desk, ADA), replace(a_content(), purpose="x"), formula_id=first.formula_id, reason="x"
    )
    with pytest.raises(Forbidden):
        acknowledge_version(at(desk, CID), draft.id)
    assert readers_of(desk.store, draft).still_to_read != ()


def test_a_reader_and_somebody_gone_arent_waited_for(desk: Desk) -> None:
    version = in_use(desk)
    with at(desk, ADA).writing("save_person") as writing:
        writing.put(Person("p-rae", "Rae", Post.READER))
        writing.put(Person("p-tom", "Tom", Post.TECHNICIAN, gone=True))
    assert readers_of(desk.store, version).still_to_read == (CID.name,)


def test_the_sheet_says_who_read_it(desk: Desk) -> None:
    version = in_use(desk)
    wanted = f"Not read yet by {CID.name}"
    assert missing(formula_sheet(of_version(desk, version)), wanted) == []
    acknowledge_version(at(desk, CID), version.id)
    pages = formula_sheet(of_version(desk, version))
    assert missing(pages, f"Read by {CID.name}, 10 Mar 2026 09:00", wanted) == [wanted]


def test_a_mark_is_never_changed(desk: Desk) -> None:
    acknowledge_version(at(desk, CID), in_use(desk).id)
    (mark,) = desk.store.every(ReadMark)
    with pytest.raises(Forbidden), desk.writing("acknowledge_version") as writing:
        writing.put(replace(mark, person="Somebody else"))
