"""Keeps the open draft on disk while one types, so that it comes back after a crash."""

from __future__ import annotations

import json
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal

from formulary.desk import Desk
from formulary.drafts import Draft
from formulary.errors import FormularyError
from formulary.verbs.write_version import drop_draft, keep_draft
from ui.context import Context, Topic
from ui.forms.tried_again import TriedAgain
from ui.formulas.editor.plain import Fields

PAUSE_MS = 700


class DraftKeeper(QObject):
    """Keeps one draft; ``kept`` tells when it is on disk."""

    kept = Signal()

    def __init__(self, context: Context, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._id, self._based_on = "", ""
        self._fields: Fields = {}
        self._dirty = False
        # Known only to the worker, where keeping follows on keeping.
        self._revision = 0
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self.keep)
        self._again = TriedAgain(context, self.keep, self)

    def begin(self, draft_id: str, based_on: str, revision: int) -> None:
        """Go on with a draft, or begin one; nothing is kept before something changed."""
        self._id, self._based_on, self._revision = draft_id, based_on, revision
        self._dirty = False

    def change(self, fields: Fields) -> None:
        """Keep these fields after a short pause."""
        self._fields, self._dirty = fields, True
        self._pause.start()

    def keep(self) -> None:
        """Keep what changed now."""
        self._pause.stop()
        if not (self._dirty and self._context.is_open):
            return
        self._dirty = False
        draft_id, based_on = self._id, self._based_on
        text = json.dumps(self._fields, ensure_ascii=False)

        def kept(desk: Desk) -> Draft:
            now = desk.act().at
            draft = Draft(draft_id, desk.person.id, based_on, text, now, self._revision)
            made = keep_draft(desk, draft)
            self._revision = made.revision
            return made

        self._context.do(
            kept, lambda _: self._is_kept(), failed=partial(self._is_not_kept, draft_id)
        )

    def _is_kept(self) -> None:
        self._again.succeeded()
        self.kept.emit()

    def _is_not_kept(self, draft_id: str, trouble: FormularyError) -> None:
        """Have it still to keep, unless another draft was begun meanwhile."""
        self._dirty = self._dirty or draft_id == self._id
        self._again.failed(trouble)

    def forget(self) -> None:
        """Keep nothing more: the draft was confirmed or thrown away."""
        self._pause.stop()
        self._again.stop()
        self._dirty = False

    def drop(self) -> None:
        """Throw the draft away."""
        self.forget()
        draft_id = self._id

        def dropped(desk: Desk) -> None:
            if desk.store.get(Draft, draft_id) is not None:
                drop_draft(desk, draft_id)

        self._context.do(dropped, changes=(Topic.DRAFTS,))
