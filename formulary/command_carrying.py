"""A whole house: ``misce export`` and ``import --everything``, ``misce move``, ``misce grant``."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TextIO

from formulary import opening
from formulary.carried import Cells
from formulary.catalogue import Catalogue
from formulary.command_desk import Answer
from formulary.command_pin import pin_of
from formulary.command_writing import whole_folder
from formulary.desk import Desk
from formulary.errors import BadText, NotFound, Refusal, StoreTrouble, WrongUsage
from formulary.exchange.house_lines import read_house, write_house
from formulary.exchange.house_tables import by_table, write_table
from formulary.house import House
from formulary.messages import Message, message
from formulary.records.copying import compared, poured, rows_of, shapes
from formulary.records.files import told_of_files
from formulary.records.name_key import has_key, not_here
from formulary.records.opening import open_store
from formulary.records.restoring import put_aside
from formulary.records.rights import grant
from formulary.records.schema import SCHEMA
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.sign_in import sign_in

HOUSE = "house.jsonl"
ENGLISH = Catalogue()


def exported(options: Namespace) -> Answer:
    """Write all that is kept into a new folder: JSON lines to read back, tables to look at."""
    if not options.out:
        raise WrongUsage(message("command.carry.no_folder"))
    folder = Path(options.out)
    if folder.exists():
        raise Refusal(message("command.carry.folder_there", place=str(folder)))
    with _opened(options) as (store, desk):
        with desk.writing("export_everything"):
            pass
        rows = [*rows_of(store)]
    with told_of_files(folder), whole_folder(folder) as made:
        with _private(made / HOUSE) as out:
            out.writelines(write_house(rows, SCHEMA.head))
        for name, found in by_table(rows):
            with _private(made / f"{name}.csv") as out:
                write_table(found, out)
    said = message("command.carry.exported", place=str(folder), n=len(rows))
    return _answer(said, {"folder": str(folder), "rows": len(rows)})


def imported(options: Namespace) -> Answer:
    """Read a whole house into a place where there is none yet."""
    place = options.formulary or str(opening.default_location())
    with _made(place) as store, poured(_rows_in(Path(options.file)), store) as whole:
        entries = _checked(whole)
        desk = _signed(whole, options.person)
        with desk.writing("import_everything") as writing:
            writing.tell(entries=entries)
        notes = _key_missing(whole)
    said = message("command.carry.imported", place=store.place, n=entries)
    return _answer(said, {"place": store.place, "entries": entries}, notes)


def moved(options: Namespace) -> Answer:
    """Carry the formulary to another database, compare each row, and put the old file aside."""
    with (
        _opened(options) as (source, desk),
        _made(options.to) as target,
        # Nobody else writes until all of it is there.
        source.at_once() as held,
    ):
        with replace(desk, store=held).writing("move_formulary") as writing:
            writing.tell(to=target.place)
        with poured(rows_of(held), target) as whole:
            count = compared(held, whole)
            _checked(whole)
        notes = _key_needed(target)
    aside = _put_aside(source.place, desk)
    key = "moved" if aside else "moved_from_server"
    said = message(f"command.carry.{key}", place=target.place, n=count, aside=aside)
    return _answer(said, {"place": target.place, "rows": count, "aside": aside}, notes)


def granted(options: Namespace) -> Answer:
    """Let a role of the server work in the formulary, and keep it from rewriting the history."""
    if "://" not in (options.formulary or ""):
        raise WrongUsage(message("command.grant.needs_server"))
    with _opened(options) as (store, desk):
        desk.may("grant_rights")
        grant(options.formulary, options.role)
        with desk.writing("grant_rights") as writing:
            writing.tell(role=options.role)
    said = message("command.grant.done", role=options.role, place=store.place)
    return _answer(said, {"role": options.role, "place": store.place})


@contextmanager
def _opened(options: Namespace) -> Iterator[tuple[SqlStore, Desk]]:
    place = options.formulary or str(opening.default_location())
    if not opening.exists(place):
        raise NotFound(message("command.no_formulary", place=str(place)))
    store = open_store(place)
    try:
        yield store, _signed(store, options.person)
    finally:
        store.close()


def _rows_in(path: Path) -> Iterator[tuple[str, Cells]]:
    """Yield the rows of a file; only what the system has against this file is told of it."""
    with told_of_files(path), path.open("rb") as file:
        yield from read_house(file, shapes(), SCHEMA.head)


@contextmanager
def _made(place: str) -> Iterator[SqlStore]:
    """Open a formulary with nothing in it; a file that was made for it goes if all fails."""
    path = None if "://" in place else Path(place)
    with told_of_files(Path(place)):
        if path is not None and path.exists():
            raise StoreTrouble(message("store.copy.not_empty", place=place))
    store = open_store(place, create=True)
    try:
        yield store
    except BaseException:
        store.close()
        for ending in ("", "-wal", "-shm") if path is not None else ():
            Path(f"{path}{ending}").unlink(missing_ok=True)
        raise
    store.close()


def _signed(store: SqlStore, person: str) -> Desk:
    desk = opening.desk_at(store, person)
    return sign_in(desk, desk.person.id, pin_of(desk.person.name))


def _checked(store: SqlStore) -> int:
    """Return how long the history is. Raises BadText where anything isn't what it says."""
    verdict = verify(store)
    if not verdict.good:
        raise BadText(message("store.copy.not_whole", why=verdict.doubts[0].said))
    return verdict.entries


@contextmanager
def _private(path: Path) -> Iterator[TextIO]:
    """Open a new text file that only its owner may read."""
    made = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(made, "w", encoding="utf-8", newline="") as out:
        yield out


def _put_aside(place: str, desk: Desk) -> str:
    """Return where the file that was moved is kept; nothing is done to a server's."""
    if "://" in place:
        return ""
    return str(put_aside(Path(place), desk.clock.now(), "moved"))


def _key_missing(store: SqlStore) -> tuple[Message, ...]:
    """Say where the names' key has to come from, if it isn't on this computer."""
    keys = {each.names_key for each in store.every(House)} - {""}
    return () if all(map(has_key, keys)) else (not_here(),)


def _key_needed(store: SqlStore) -> tuple[Message, ...]:
    """Say that other computers need the names' key, if there is one."""
    under_one = any(each.names_key for each in store.every(House))
    return (message("command.carry.key_needed"),) if under_one else ()


def _answer(said: Message, data: dict[str, str | int], notes: Sequence[Message] = ()) -> Answer:
    return Answer(data, [ENGLISH.text(each) for each in (said, *notes)])
