"""Record a test with the certificate of the laboratory that did it, and give the file back."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import Unpack

from formulary.bench.events import QualityTested
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.messages import message
from formulary.stock.certificate_file import file_name, media_type
from formulary.stock.lot import Attachment
from formulary.store import Reading, Writing
from formulary.verbs.work_at_bench import AtBench, Backing, record


def attach_result(
    desk: Desk,
    lot: str,
    event: QualityTested,
    name: str,
    data: bytes,
    **backing: Unpack[Backing],
) -> AtBench:
    """Record a test's finding and keep its certificate with it, by its hash.

    Raises :class:`formulary.errors.Refusal` for a file that is no PDF and no picture.
    """
    digest = hashlib.sha256(data).hexdigest()
    attachment = Attachment(file_name(name), digest, media_type(data))

    def keep(writing: Writing, _after: AtBench) -> None:
        writing.keep_file(data)

    told = replace(event, certificate=attachment)
    return record(desk, lot, told, also=keep, **backing)


def attached_file(store: Reading, name: str, digest: str) -> bytes:
    """Return the file of that hash as it was kept. Raises :class:`formulary.errors.NotFound`."""
    data = store.file(digest)
    if data is None:
        raise NotFound(message("verbs.no_result_file", name=name))
    return data
