"""Who may do what, for every door alike."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from formulary import verbs
from formulary.catalogue import Catalogue, keys_under
from formulary.errors import Forbidden
from formulary.people import Person, Post
from formulary.roles import MAY, require
from formulary.store import Store
from formulary.verbs.sign_event import EXCEPTION
from formulary.verbs.work_at_bench import ACTS
from tests.helpers.desks import a_desk, furnished

FORMULARY = Path(verbs.__file__).parent.parent
KEEPING = (
    FORMULARY / "records" / "restoring.py",
    FORMULARY / "command_keeping.py",
    FORMULARY / "command_carrying.py",
)
SOURCES = (*Path(verbs.__file__).parent.glob("*.py"), *KEEPING)
WRITTEN = re.compile(r'\.(?:writing|may)\(\s*"(\w+)"|_move\(.*?State\.\w+, "(\w+)"')


def test_the_table_has_every_verb_that_writes_and_no_other() -> None:
    found = (WRITTEN.findall(each.read_text(encoding="utf-8")) for each in SOURCES)
    written = {one or other for pairs in found for one, other in pairs}
    assert written | set(ACTS.values()) | {EXCEPTION} == set(MAY)


def test_every_verb_has_words() -> None:
    assert {key.rpartition(".")[2] for key in keys_under("roles.verb")} == set(MAY)


@pytest.mark.parametrize("verb", sorted(set(MAY) - {"set_pin"}))
def test_a_reader_only_reads(verb: str) -> None:
    with pytest.raises(Forbidden):
        require(Person("p", "Rae", Post.READER), verb)


@pytest.mark.parametrize("verb", ["put_in_use", "start_preparation", "issue_labels", "withdraw"])
def test_an_administrator_does_no_clinical_act(verb: str) -> None:
    with pytest.raises(Forbidden) as caught:
        require(Person("p", "Ada", Post.ADMINISTRATOR), verb)
    said = Catalogue().text(caught.value.message)
    assert "pharmacist" in said
    assert "Ada is here as administrator" in said


@pytest.mark.parametrize("verb", sorted(set(MAY) - {"set_pin"}))
def test_what_is_forbidden_leaves_no_trace(verb: str, memory_store: Store) -> None:
    desk = a_desk(furnished(memory_store))
    before = list(memory_store.history())
    reader = replace(desk, person=Person("p-rae", "Rae", Post.READER))
    with pytest.raises(Forbidden), reader.writing(verb):
        pytest.fail("it was let in")
    assert list(memory_store.history()) == before
