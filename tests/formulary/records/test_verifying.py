"""A check of everything that is kept finds what was done to it from outside, and says where."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from formulary.canonical import canonical_text, content_hash, json_text, text_hash
from formulary.catalogue import Catalogue
from formulary.errors import StoreTrouble
from formulary.formula.version import Version
from formulary.house import House
from formulary.people import Identity, Part
from formulary.records import chain
from formulary.records.guards import SQLITE
from formulary.records.kept_rows import as_written
from formulary.records.opening import open_store
from formulary.records.schema import connected
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import MOST, verify
from formulary.store import Entry
from formulary.verifying import Anchor, Doubt, Flaw
from tests.helpers.kept import ACT, a_print

_INDEX = "SELECT rootpage FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'stock_container'"
NOBODY_GUARDS = ("DROP TRIGGER history_no_update", "DROP TRIGGER history_no_delete")


@pytest.fixture
def house(sample_file: Path, tmp_path: Path) -> Path:
    """Return a sample pharmacy in which somebody looked five times."""
    path = Path(shutil.copy(sample_file, tmp_path / "house.misce"))
    with opened(path) as store:
        for number in range(5):
            with store.writing(ACT, f"look {number}"):
                pass
    return path


def opened(path: Path) -> closing[SqlStore]:
    return closing(open_store(path))


def tamper(path: Path, *statements: str, **values: str) -> None:
    """Write into the file as somebody does who knows SQL and takes the guards away."""
    with closing(connected(path)) as connection, connection:
        for statement in (*NOBODY_GUARDS, *statements):
            connection.execute(statement, values)
        put_guards_back(connection)


def put_guards_back(connection: sqlite3.Connection) -> None:
    """Leave nothing behind but what was written."""
    for statement in SQLITE.values():
        connection.execute(statement)


def doubts(path: Path, *anchors: Anchor) -> list[Doubt]:
    with opened(path) as store:
        return [*verify(store, anchors).doubts]


def entries(path: Path) -> Iterator[Entry]:
    with opened(path) as store:
        yield from store.history(limit=1000)


def last(path: Path) -> Entry:
    *_, newest = entries(path)
    return newest


def test_a_formulary_that_nobody_touched_is_good(house: Path) -> None:
    with opened(house) as store:
        verdict = verify(store)
        assert verdict.good
        assert (verdict.entries, verdict.head) == store.chain_head()
        assert verdict.records > 100


@pytest.mark.parametrize(
    ("statement", "found"),
    [
        ("UPDATE history SET reason = 'x' WHERE number = 3", Doubt(Flaw.EDITED, 3)),
        ("UPDATE history SET person = 'Somebody' WHERE number = 1", Doubt(Flaw.EDITED, 1)),
        ("UPDATE history SET at_utc = 'yesterday' WHERE number = 4", Doubt(Flaw.EDITED, 4)),
        ("UPDATE history SET verb = 'look 9' WHERE number = 6", Doubt(Flaw.EDITED, 6)),
        ("DELETE FROM history WHERE number = 3", Doubt(Flaw.LEFT_OUT, 3)),
        ("DELETE FROM history WHERE number = 6", Doubt(Flaw.CUT_OFF, 6)),
    ],
)
def test_an_entry_edited_removed_or_cut_off_is_found_where_it_is(
    house: Path, statement: str, found: Doubt
) -> None:
    assert last(house).number == 6
    tamper(house, statement)
    assert found in doubts(house)


def test_two_entries_that_changed_places_are_found(house: Path) -> None:
    swapped = (
        "UPDATE history SET number = -3 WHERE number = 3",
        "UPDATE history SET number = 3 WHERE number = 4",
        "UPDATE history SET number = 4 WHERE number = -3",
    )
    tamper(house, *swapped)
    assert {each.entry for each in doubts(house)} >= {3, 4}


def recompute(path: Path, first: int, reason: str) -> None:
    """Change an entry, and compute the whole chain after it anew, down to its head."""
    changed: list[Entry] = []
    for entry in entries(path):
        before = changed[-1].hash if changed else chain.FIRST
        act = entry.act if entry.number != first else replace(entry.act, reason=reason)
        changed.append(chain.sealed(entry.number, entry.verb, act, entry.details, before))
    with closing(connected(path)) as connection, connection:
        for statement in NOBODY_GUARDS:
            connection.execute(statement)
        for each in changed:
            values = (each.act.reason, each.previous, each.hash, each.number)
            connection.execute(
                "UPDATE history SET reason = ?, previous = ?, hash = ? WHERE number = ?", values
            )
        connection.execute("UPDATE chain_head SET hash = ?", (changed[-1].hash,))
        put_guards_back(connection)


def test_a_chain_computed_anew_shows_against_an_anchor_only(house: Path) -> None:
    newest = last(house)
    anchor = Anchor(newest.number, newest.hash[:16], "the worksheet of 3 Feb")
    recompute(house, 3, "nothing happened")
    assert doubts(house) == []
    assert doubts(house, anchor) == [Doubt(Flaw.REWRITTEN, 6, "the worksheet of 3 Feb")]


def test_a_history_cut_off_with_its_head_shows_against_an_anchor(house: Path) -> None:
    newest = last(house)
    *_, fifth, _ = entries(house)
    tamper(
        house,
        "DELETE FROM history WHERE number = 6",
        "UPDATE chain_head SET number = 5, hash = :hash",
        hash=fifth.hash,
    )
    assert doubts(house) == []
    found = doubts(house, Anchor(6, newest.hash[:16], "a backup"))
    assert found == [Doubt(Flaw.SHORTER, 6, "a backup")]


def test_a_formula_changed_behind_the_program_s_back_is_named(house: Path) -> None:
    with opened(house) as store:
        version = store.every(Version)[0]
    tamper(house, "UPDATE version SET reason = 'Better' WHERE id = :id", id=version.id)
    assert doubts(house) == [Doubt(Flaw.RECORD_CHANGED, 1, f"version {version.id}")]


def test_a_content_that_was_written_into_can_t_be_read(house: Path) -> None:
    with opened(house) as store:
        version = store.every(Version)[0]
    changed = "UPDATE version SET content = replace(content, 'g', 'kg') WHERE id = :id"
    tamper(house, changed, id=version.id)
    assert Doubt(Flaw.RECORD_UNREADABLE, 1, f"version {version.id}") in doubts(house)


def test_records_put_in_and_taken_out_are_named(house: Path) -> None:
    with closing(connected(house)) as connection:
        (level,) = connection.execute("SELECT id FROM stock_level ORDER BY id").fetchone()
    renamed = "UPDATE stock_level SET id = 'x-1', body = replace(body, id, 'x-1') WHERE id = :id"
    tamper(house, renamed, id=level)
    assert doubts(house) == [
        Doubt(Flaw.RECORD_ADDED, 0, "stock level x-1"),
        Doubt(Flaw.RECORD_GONE, 1, f"stock level {level}"),
    ]


def test_a_certificate_that_was_exchanged_is_found(house: Path) -> None:
    with opened(house) as store, store.writing(ACT, "attach") as writing:
        kept = writing.keep_file(b"%PDF assay 99.4 %")
    tamper(house, "UPDATE file SET data = X'AB' WHERE sha256 = :kept", kept=kept)
    assert doubts(house) == [Doubt(Flaw.DATABASE, what=f"file {kept}")]


def test_an_erased_name_leaves_everything_good(house: Path) -> None:
    with opened(house) as store:
        with store.writing(ACT, "note") as writing:
            writing.put(Identity("i-1", Part.PATIENT, "Odile Harrenfeld"))
        with store.writing(ACT, "erase") as writing:
            writing.remove(Identity, "i-1")
    assert doubts(house) == []
    assert b"Odile Harrenfeld" not in house.read_bytes()


def test_a_page_of_the_file_that_was_overwritten_is_found(house: Path) -> None:
    with closing(connected(house)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (page,) = connection.execute(_INDEX).fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    with house.open("r+b") as file:
        file.seek((page - 1) * size + size // 2)
        file.write(b"\x00" * (size // 2))
    with pytest.raises(StoreTrouble, match="damaged"):
        doubts(house)


def a_row(path: Path, table: str) -> str:
    """Return the id of a table's first row."""
    with closing(connected(path)) as connection:
        (found,) = connection.execute(f'SELECT id FROM "{table}" ORDER BY id').fetchone()  # noqa: S608  our names
    return str(found)


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("supply_lot", "status", "accepted too"),
        ("supply_lot", "number", "X-1"),
        ("supply_lot", "made_as", "K26-00001"),
        ("stock_container", "number", "X-1"),
        ("stock_container", "filled_from", "somewhere"),
        ("stock_move", "cause", "nobody knows"),
        ("stock_move", "container_id", "another"),
        ("ingredient", "name", "Another"),
        ("ingredient", "name_key", "another"),
        ("formula", "code_key", "another"),
        ("formula", "title_key", "another"),
        ("house", "name", "Another"),
    ],
)
def test_a_column_that_lists_go_by_is_held_against_its_record(
    house: Path, table: str, column: str, value: str
) -> None:
    changed = a_row(house, table)
    tamper(house, f"UPDATE {table} SET {column} = :value WHERE id = :id", value=value, id=changed)  # noqa: S608
    (found,) = doubts(house)
    assert (found.flaw, found.entry) == (Flaw.COLUMN, 1)
    assert found.what == f"{table.replace('_', ' ')} {changed}: {column}"


@pytest.mark.parametrize(
    ("statement", "found"),
    [
        ("UPDATE version_line SET scaled = scaled + 1 WHERE version_id = :id", "version_line"),
        ("UPDATE version_line SET ingredient_id = 'x' WHERE version_id = :id", "version_line"),
        ("DELETE FROM version_line WHERE version_id = :id AND position = 0", "version_line"),
        ("UPDATE formula_search SET title = 'Another' WHERE version_id = :id", "formula_search"),
        ("UPDATE formula_search SET state = 'in use!' WHERE version_id = :id", "formula_search"),
        ("UPDATE formula_search SET keeping = '{}' WHERE version_id = :id", "formula_search"),
        ("UPDATE formula_search SET folded = 'gone' WHERE version_id = :id", "formula_search"),
        ("DELETE FROM formula_search WHERE version_id = :id", "formula_search"),
    ],
)
def test_what_is_worked_out_from_records_is_worked_out_again(
    house: Path, statement: str, found: str
) -> None:
    with opened(house) as store:
        version = store.every(Version)[0]
    tamper(house, statement, id=version.id)
    (doubt,) = doubts(house)
    which = version.id if found == "version_line" else version.formula_id
    assert doubt == Doubt(Flaw.DERIVED, what=f"{found} {which}")


def test_words_that_somebody_took_out_of_the_index_are_missed(house: Path) -> None:
    forgets = (
        "INSERT INTO formula_words(formula_words, rowid, folded) "
        "SELECT 'delete', number, folded FROM formula_search LIMIT 1"
    )
    tamper(house, forgets)
    assert doubts(house) == [Doubt(Flaw.DERIVED, what="formula_words")]


@pytest.mark.parametrize(
    ("statement", "which"),
    [
        ("UPDATE counter SET last = last - 1 WHERE name = 'container'", "container"),
        ("UPDATE counter SET last = last + 1 WHERE name = 'container'", "container"),
        ("DELETE FROM counter", "container"),
        ("INSERT INTO lot_counter VALUES (2026, 3)", "lot 2026"),
    ],
)
def test_a_counter_that_was_moved_is_found(house: Path, statement: str, which: str) -> None:
    tamper(house, statement)
    assert doubts(house) == [Doubt(Flaw.COUNTER, what=which)]


def test_a_guard_of_the_history_that_was_taken_away_is_found_and_put_back(house: Path) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TRIGGER history_no_update")
        connection.execute("DROP TRIGGER history_no_delete")
        connection.execute(
            "CREATE TRIGGER history_no_delete BEFORE DELETE ON history BEGIN SELECT 1; END"
        )
    with opened(house) as store:
        verdict = verify(store)
        assert [each.flaw for each in verdict.doubts] == [Flaw.GUARD_GONE] * 2
        assert verdict.sound
        assert store.mend(ACT) == 2
        assert verify(store).good


def test_a_table_that_is_gone_is_named(house: Path) -> None:
    with closing(connected(house)) as connection, connection:
        connection.execute("DROP TABLE complaint")
    assert doubts(house) == [Doubt(Flaw.TABLE_GONE, what="complaint")]


def test_a_record_is_called_as_people_call_it(house: Path) -> None:
    tamper(house, "UPDATE person SET post = 'reader' WHERE name = 'Tobias Quell'")
    with opened(house) as store:
        (doubt,) = verify(store).doubts
    assert "Tobias Quell" in Catalogue().text(doubt.said)


def test_of_many_doubts_it_says_how_many_more_there_are(house: Path) -> None:
    tamper(house, "UPDATE stock_container SET body = replace(body, '\"place\":', '\"plaice\":')")
    with opened(house) as store:
        verdict = verify(store)
    assert len(verdict.doubts) == MOST
    count = len(verdict.doubts) + verdict.more
    assert Catalogue().text(verdict.told()[-1]) == f"And {verdict.more} more."
    assert Catalogue().text(verdict.told(8)[-1]) == f"And {count - 8} more."


def test_what_could_be_mended_is_no_way_on_where_a_record_was_changed(house: Path) -> None:
    tamper(house, "UPDATE formula SET title_key = 'x'", "UPDATE house SET body = 'x'")
    with opened(house) as store:
        verdict = verify(store)
    assert len(verdict.doubts) > 1
    assert not any("--mend" in Catalogue().text(each) for each in verdict.told())


def test_a_patient_s_name_that_somebody_exchanged_is_found(house: Path) -> None:
    with opened(house) as store, store.writing(ACT, "note") as writing:
        writing.put(Identity("i-1", Part.PATIENT, "Odile Harrenfeld"))
    tamper(house, "UPDATE identity SET name = 'Odilo Harrenfeld'")
    assert doubts(house) == [Doubt(Flaw.RECORD_CHANGED, 7, "identity i-1")]


def test_the_history_holds_nothing_by_which_a_name_could_be_guessed(house: Path) -> None:
    known = Identity("i-1", Part.PATIENT, "Odile Harrenfeld")
    with opened(house) as store:
        hashes = []
        for revision in range(2):
            with store.writing(ACT, "note") as writing:
                put = writing.put(replace(known, revision=revision))
            hashes.append(content_hash(put))
            assert content_hash(replace(put, seal="")) not in last(house).details
            assert hashes[-1] in last(house).details
    assert hashes[0] != hashes[1]


def test_only_what_is_worked_out_can_be_mended(house: Path) -> None:
    tamper(
        house,
        "UPDATE ingredient SET name_key = 'x'",
        "UPDATE formula_search SET folded = 'gone'",
        "DELETE FROM version_line",
        "DELETE FROM formula_search WHERE number = 1",
    )
    with opened(house) as store:
        verdict = verify(store)
        assert not verdict.good
        assert verdict.sound
        assert store.mend(ACT) > 3
        assert verify(store).good
        assert len(store.find_formulas("", 200)) >= 24


def test_a_changed_record_isn_t_taken_for_one_that_can_be_mended(house: Path) -> None:
    with opened(house) as store:
        version = store.every(Version)[0]
    tamper(house, "UPDATE version SET reason = 'Better' WHERE id = :id", id=version.id)
    with opened(house) as store:
        assert not verify(store).sound


def test_a_history_without_its_end_takes_nothing_more_and_says_so(house: Path) -> None:
    tamper(house, "DELETE FROM chain_head")
    assert doubts(house) == [Doubt(Flaw.END_GONE, 6)]
    with (
        opened(house) as store,
        pytest.raises(StoreTrouble, match="no_end"),
        store.writing(ACT, "look"),
    ):
        pass


def test_a_house_written_before_a_setting_came_is_still_as_it_was_kept(house: Path) -> None:
    with opened(house) as store, store.writing(ACT, "save_house") as writing:
        writing.put(writing.every(House)[0])
    number, previous = last(house).number, last(house).previous
    with closing(connected(house)) as connection, connection:
        (body,) = connection.execute("SELECT body FROM house").fetchone()
        older = {name: value for name, value in json.loads(body).items() if name != "scan_gap_ms"}
        text = json_text(older)
        assert text != body
        details = last(house).details.replace(text_hash(body), text_hash(text))
        entry = chain.sealed(number, "save_house", ACT, details, previous)
        for statement in NOBODY_GUARDS:
            connection.execute(statement)
        connection.execute("UPDATE house SET body = ?", (text,))
        connection.execute(
            "UPDATE history SET details = ?, hash = ? WHERE number = ?",
            (details, entry.hash, number),
        )
        connection.execute("UPDATE chain_head SET hash = ?", (entry.hash,))
        put_guards_back(connection)
    assert doubts(house) == []


def test_a_print_written_before_its_containers_were_noted_is_still_known() -> None:
    plain = json.loads(canonical_text(a_print()))
    before = {n: v for n, v in plain.items() if n not in ("containers", "leaflets", "layout")}
    assert text_hash(json_text(before)) in as_written(a_print())
    assert text_hash(json_text(before)) not in as_written(replace(a_print(), containers=2))
