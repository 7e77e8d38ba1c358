"""What happened to a record is read by whom, when and what it changed, whichever record it is."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest

from formulary import verbs
from formulary.backups import BackupPlan
from formulary.bench.kept import BenchEvent
from formulary.catalogue import Catalogue, keys_under
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.ingredient import Ingredient
from formulary.orders.order import Purpose
from formulary.papers.history_paper import history_paper
from formulary.people import Part
from formulary.records import rows
from formulary.records.counters import PASSED_OVER
from formulary.records.sql_store import SqlStore
from formulary.review.overriding import Overriding
from formulary.store import Record, Store
from formulary.verbs.find_person import find_person
from formulary.verbs.keep_records import save_house, save_ingredient, save_person
from formulary.verbs.read_history import NOBODY_ASKED, Happened, history_of
from formulary.verbs.sign_in import set_pin
from formulary.verbs.take_order import Asked, take_order
from tests.formulary.papers.reading import misplaced, missing
from tests.helpers.desks import ADA, BEN, CID, at
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked_bench import a_job, a_stocked_house


def test_a_preparation_tells_each_act_from_its_start_to_its_release(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().released()
    history = history_of(desk.store, job.lot)
    verbs = [each.verb for each in history.entries]
    assert verbs[0] == "start_preparation"
    assert verbs[-1] == "release"
    assert verbs.count("weigh_line") == 4
    assert history.entries[-1].person == BEN.name
    assert {each.number for each in history.entries} == {
        each.number for each in desk.store.history(limit=1000) if job.lot in each.details
    }


def test_an_act_at_the_bench_says_what_it_was_and_not_a_number(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().released()
    history = history_of(desk.store, job.lot)
    weighed = [each for each in history.entries if each.verb == "weigh_line"]
    words = [Catalogue().text(each.what) for each in weighed if each.what is not None]
    assert len(words) == 4
    assert words[0].startswith("Urea: ")
    assert not any(name == "event" for each in history.entries for name, _ in each.told)
    assert missing(history_paper(desk, history), *words) == []


def test_a_formula_tells_what_became_of_its_versions(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk))
    history = history_of(desk.store, job.version.content.code)
    verbs = [each.verb for each in history.entries]
    assert verbs[0] == "write_version"
    assert verbs[-1] == "put_in_use"
    reasons = job.desk.store.having(Overriding, version_id=job.version.id)
    assert reasons
    assert verbs.count("override_finding") == len(reasons)


def test_a_setting_that_was_changed_says_what_it_was(desk: Desk) -> None:
    save_house(at(desk, ADA), replace(desk.house, telephone="555 0199"), "moved")
    newest = history_of(desk.store, "settings").entries[-1]
    assert (newest.verb, newest.reason, newest.person) == ("save_house", "moved", ADA.name)
    (change,) = newest.changes
    assert (change.field, change.before, change.after) == ("telephone", "\N{EN DASH}", "555 0199")


def test_an_ingredient_that_was_changed_says_what_it_was(desk: Desk) -> None:
    kept = save_ingredient(at(desk, ADA), Ingredient("i-1", "Urea"))
    save_ingredient(at(desk, ADA), replace(kept, high_alert=True))
    (change,) = history_of(desk.store, "urea").entries[-1].changes
    assert (change.field, change.after) == ("high_alert", "true")


def test_a_person_tells_what_they_did_and_no_pin(desk: Desk) -> None:
    set_pin(at(desk, ADA), CID.id, "6174")
    save_person(at(desk, ADA), replace(desk.store.get(type(CID), CID.id) or CID, gone=True))
    history = history_of(desk.store, CID.name)
    assert [each.verb for each in history.entries][-2:] == ["set_pin", "save_person"]
    assert not any("argon2" in each.details for each in desk.store.history(limit=100))
    assert "set_pin" in [each.verb for each in history_of(desk.store, ADA.name).entries]


def test_words_choose_among_the_entries(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared()
    history = history_of(desk.store, job.lot)
    assert [each.verb for each in history.filtered("ada check_plan")] == ["check_plan"]
    assert history.filtered("nobody") == ()
    assert history.filtered("") == history.entries


def test_what_there_is_nothing_of_gets_a_sentence(desk: Desk) -> None:
    for typed in ("no such thing", "", '"'):
        with pytest.raises(NotFound):
            history_of(desk.store, typed)


def test_the_paper_numbers_its_pages_and_says_where_the_chain_ended(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().released()
    history = history_of(desk.store, job.lot)
    pages = history_paper(desk, history)
    last = desk.store.history(limit=1000)[-1]
    assert missing(pages, last.hash[:16], ADA.name, BEN.name, f"Page 1 of {len(pages)}") == []
    assert misplaced(pages) == []


def test_every_act_without_a_role_has_words() -> None:
    assert {f"history.act.{each}" for each in NOBODY_ASKED} == set(keys_under("history.act"))


def said_with(entry: Happened) -> list[str]:
    """Return what an entry says beside its line."""
    return [Catalogue().text(each) for each in entry.notes()]


def written_over(store: Store, record: Record) -> None:
    """Write over what is kept, as somebody could who goes round the program."""
    if isinstance(store, MemoryStore):
        store._records[type(record), record.id] = record
        return
    assert isinstance(store, SqlStore)
    with store.session() as session:
        session.merge(rows.shelf(type(record)).to_row(record))
        session.commit()


def test_all_that_is_told_has_a_name() -> None:
    told = {
        word.arg
        for path in Path(verbs.__file__).parent.parent.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr == "tell"
        for word in node.keywords
        if word.arg is not None
    } | {PASSED_OVER}
    assert {f"history.name.{each}" for each in told} == set(keys_under("history.name"))


def test_a_release_says_whether_what_was_signed_is_unchanged(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk)).started().cleared().released()
    last = history_of(desk.store, job.lot).entries[-1]
    assert last.stands is True
    assert said_with(last)[-1] == "What was signed is unchanged since."
    events = desk.store.having(BenchEvent, preparation_id=job.made.id)
    weighed = next(each for each in events if '"line weighed"' in each.event)
    written_over(desk.store, replace(weighed, person="Somebody else"))
    last = history_of(desk.store, job.lot).entries[-1]
    assert last.stands is False
    assert "the signature doesn't stand" in said_with(last)[-1]


def test_a_version_in_use_says_whether_it_is_what_was_signed(desk: Desk) -> None:
    job = a_job(a_stocked_house(desk))
    last = history_of(desk.store, job.version.content.code).entries[-1]
    assert (last.verb, last.stands) == ("put_in_use", True)
    content = replace(job.version.content, title="Another cream")
    kept = desk.store.versions(job.version.formula_id)[-1]
    written_over(desk.store, replace(kept, content=content))
    assert history_of(desk.store, job.version.id).entries[-1].stands is False


def test_of_a_setting_within_a_setting_each_change_is_told_by_itself(desk: Desk) -> None:
    save_house(at(desk, ADA), replace(desk.house, backups=BackupPlan(daily_at="18:30")))
    newest = history_of(desk.store, "settings").entries[-1]
    assert ("backups.daily_at", "18:30") in {(each.field, each.after) for each in newest.changes}


def test_who_was_looked_for_is_told_by_the_order_and_never_by_name(desk: Desk) -> None:
    order = take_order(desk, Asked(Purpose.PATIENT, patient="Osric Penhale", target="100 g"))
    find_person(desk, Part.PATIENT, "Penhale")
    entry = history_of(desk.store, ADA.name).entries[-1]
    assert entry.verb == "find_person"
    (told,) = said_with(entry)
    assert f"seen, by their orders: {order.number}" in told
    assert "Penhale" not in told
