"""Whether a signature at the bench still stands for what is kept: it is bound by a hash."""

from __future__ import annotations

from collections.abc import Sequence

from formulary.bench.event_text import event_of, event_text
from formulary.bench.events import Event
from formulary.bench.kept import BenchEvent, BenchJob
from formulary.canonical import content_hash, json_text, text_hash


def bound(before: Sequence[BenchEvent], job: BenchJob, event: Event) -> str:
    """Return the hash of what is signed with an event: the job, all that happened, and the event.

    A signature with this hash stands for nothing else (21 CFR 11.70).
    """
    return _bound([content_hash(job), *map(content_hash, before)], event)


def standing(events: Sequence[BenchEvent], job: BenchJob) -> dict[int, bool]:
    """Return by the number of each signed event whether what was signed is what is kept now.

    One that was signed before signatures were bound isn't among them.
    """
    hashes = [content_hash(job)]
    found = {}
    for each in events:
        if each.signature is not None and each.signature.content_hash:
            signed = each.signature.content_hash
            found[each.number] = signed == _bound(hashes, event_of(each.event))
        hashes.append(content_hash(each))
    return found


def _bound(hashes: Sequence[str], event: Event) -> str:
    return text_hash(json_text([*hashes, event_text(event)]))
