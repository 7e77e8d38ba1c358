"""``misce verify``, ``misce backup`` and ``misce restore``: records that can be trusted.

They work on the file itself and speak English where the house's own record can't be read.
"""

from __future__ import annotations

import getpass
import os
import sys
from argparse import Namespace
from dataclasses import asdict
from pathlib import Path
from typing import Any

from formulary import opening
from formulary.backups import SHOWN, Backup, BackupPlan, folder_for
from formulary.catalogue import Catalogue
from formulary.clock import SystemClock
from formulary.command_desk import Answer, acting_desk, catalogue_of
from formulary.command_pin import pin_of
from formulary.desk import Desk
from formulary.errors import BadText, FormularyError, NotFound, NotSignedIn, StoreTrouble
from formulary.house import House
from formulary.messages import Message, Parameter, message
from formulary.records.backup import back_up, backups_in, rotate
from formulary.records.opening import open_store
from formulary.records.restoring import Tried, restore, tried
from formulary.records.sql_store import SqlStore
from formulary.records.verifying import verify
from formulary.verbs.erase_people import erasable, erase_people
from formulary.verbs.sign_in import sign_in
from formulary.verifying import Anchor, Verdict

VARIABLE = "MISCE_PASSPHRASE"
ENGLISH = Catalogue()


def verified(options: Namespace) -> Answer:
    """Check history, records and database against what papers and backups say of them."""
    place = _place(options)
    anchors = [_anchor(text) for text in options.head]
    if "://" not in str(place):
        anchors += [each.anchor for each in backups_in(_folder(options))]
    store = open_store(place)
    try:
        verdict = verify(store, anchors)
        mended = _mended(store, verdict, options) if options.mend else 0
    finally:
        store.close()
    lines = [*_said(verdict), _text("verify.anchors", n=len(anchors))]
    lines += [_text("verify.mended", n=mended)] if mended else []
    data = _verdict(verdict) | {"anchors": len(anchors), "mended": mended}
    return Answer(data, lines, int(not (verdict.good or mended)))


def _mended(store: SqlStore, verdict: Verdict, options: Namespace) -> int:
    """Let somebody who may write anew what is worked out from records that are as they were."""
    if verdict.good or not verdict.sound:
        return 0
    desk = opening.desk_at(store, options.person)
    desk = sign_in(desk, desk.person.id, pin_of(desk.person.name))
    desk.may("mend_columns")
    return store.mend(desk.act())


def backed_up(options: Namespace) -> Answer:
    """Make a backup and drop those that needn't be kept, or list what is there."""
    folder = _folder(options)
    if options.list:
        found = backups_in(folder)
        none = [_text("backup.none", place=str(folder))]
        return Answer([_backup(each) for each in found], [each.name for each in found] or none)
    phrase = _phrase(new=True) if options.locked else ""
    backup = back_up(_file(options), folder, SystemClock().now(), phrase)
    dropped = rotate(folder, _plan(options))
    data = _backup(backup) | {"folder": str(folder), "dropped": [each.name for each in dropped]}
    said = _text("backup.done", place=str(folder / backup.name), n=backup.number)
    return Answer(data, [said])


def restored(options: Namespace) -> Answer:
    """Say what a backup holds, and unless that was all, put it in the formulary's place."""
    if "://" in str(options.formulary or ""):
        raise StoreTrouble(message("store.backup.restore_server"))
    place, backup = _file(options), Path(options.backup)
    phrase = _phrase() if backup.suffix == ".age" else ""
    with tried(backup, phrase, None if options.look else place) as found:
        data: dict[str, Any] = _held(found)
        lines = _held_said(found)
        if not options.look:
            desk = _signed(found, options)
            aside = restore(found, place, desk)
            data |= {"restored": str(place), "replaced": None if aside is None else str(aside)}
            lines.append(_text("restore.done", place=str(place)))
            lines += [] if aside is None else [_text("restore.aside", place=str(aside))]
    return Answer(data, lines, int(not found.verdict.good))


def erased(options: Namespace) -> Answer:
    """Erase the names whose time has ended, or with ``look`` say only how many those are."""
    with acting_desk(options) as desk:
        catalogue = catalogue_of(desk)
        if options.look:
            count = len(erasable(desk))
            return Answer({"erasable": count}, [catalogue.text(_message("erase.found", n=count))])
        count = erase_people(desk, pin_of(desk.person.name), options.order)
        return Answer({"erased": count}, [catalogue.text(_message("erase.done", n=count))])


def _message(key: str, **parameters: Parameter) -> Message:
    return message(f"command.{key}", **parameters)


def _place(options: Namespace) -> str | Path:
    place = options.formulary or opening.default_location()
    if not opening.exists(place):
        raise NotFound(message("command.no_formulary", place=str(place)))
    return place


def _file(options: Namespace) -> Path:
    place = options.formulary or opening.default_location()
    if "://" in str(place):
        raise StoreTrouble(message("store.backup.of_a_server"))
    return Path(place)


def _folder(options: Namespace) -> Path:
    if options.folder:
        return Path(options.folder)
    return folder_for(_file(options), _plan(options).folder)


def _plan(options: Namespace) -> BackupPlan:
    """Return how the house keeps backups; as at first where its record can't be read."""
    place = _file(options)
    if not place.exists():
        return BackupPlan()
    try:
        store = open_store(place)
    except StoreTrouble:
        return BackupPlan()
    try:
        return next((each.backups for each in store.every(House) if each.backups), BackupPlan())
    except FormularyError:
        return BackupPlan()
    finally:
        store.close()


def _anchor(text: str) -> Anchor:
    """Return the entry that somebody read off a paper: ``1234:0123456789abcdef``."""
    number, _, hashed = text.partition(":")
    digits = hashed.strip().lower()
    if not (number.strip().isdigit() and len(digits) >= SHOWN and set(digits) <= _HEX):
        raise BadText(message("command.verify.bad_head", typed=text, n=SHOWN))
    return Anchor(int(number), digits, text.strip())


_HEX = frozenset("0123456789abcdef")


def _signed(found: Tried, options: Namespace) -> Desk:
    """Return the desk of somebody in the backup's house, who proves it with their PIN there."""
    desk = opening.desk_at(found.store, options.person)
    return sign_in(desk, desk.person.id, pin_of(desk.person.name))


def _phrase(*, new: bool = False) -> str:
    kept = os.environ.get(VARIABLE)
    if kept:
        return kept
    if not sys.stdin.isatty():
        raise NotSignedIn(message("command.backup.passphrase_needed"))
    typed = getpass.getpass(_text("backup.passphrase"))
    if not typed or (new and getpass.getpass(_text("backup.again")) != typed):
        raise BadText(message("command.backup.not_alike"))
    return typed


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "good": verdict.good,
        "entries": verdict.entries,
        "records": verdict.records,
        "head": verdict.head,
        "names_closed": verdict.names_closed,
        "more": verdict.more,
        "doubts": [
            {
                "flaw": each.flaw.value,
                "entry": each.entry or None,
                "sentence": ENGLISH.text(each.said),
            }
            for each in verdict.doubts
        ],
    }


def _text(key: str, **parameters: Parameter) -> str:
    return ENGLISH.text(message(f"command.{key}", **parameters))


def _said(verdict: Verdict) -> list[str]:
    if not verdict.good:
        way_on = "verify.astray" if verdict.sound else "verify.not_good"
        return [*map(ENGLISH.text, verdict.told()), _text(way_on)]
    head = f"{verdict.entries}:{verdict.head[:SHOWN]}"
    good = _text("verify.good", n=verdict.entries, records=verdict.records, head=head)
    return [good, *map(ENGLISH.text, verdict.notes)]


def _backup(each: Backup) -> dict[str, Any]:
    return {
        "name": each.name,
        "at": each.at.isoformat(),
        "entries": each.number,
        "hash": each.hash[:SHOWN],
        "locked": each.locked,
    }


def _held(found: Tried) -> dict[str, Any]:
    last = found.last
    newest = None
    if last is not None:
        newest = {"at": last.act.at.isoformat(), "by": last.act.person, "verb": last.verb}
    return _verdict(found.verdict) | asdict(found.held) | {"last": newest}


def _held_said(found: Tried) -> list[str]:
    lines = [_text("restore.held", **asdict(found.held))]
    if found.last is not None:
        act = found.last.act
        lines.append(_text("restore.last", at=act.at, by=act.person))
    return [*lines, *_said(found.verdict)]
