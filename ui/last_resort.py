"""What nobody caught: a sentence, what was kept, and where the log is."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from formulary.messages import message
from ui.messages import Messages


def places(error: BaseException) -> str:
    """Return where an exception came from: files, lines and functions.

    Never its text or values, which may hold what somebody typed: a patient's name, say.
    """
    # Imported at the first trouble only, as is the log.
    import traceback

    frames = traceback.extract_tb(error.__traceback__)
    where = "; ".join(f"{Path(each.filename).name}:{each.lineno} {each.name}" for each in frames)
    return f"{type(error).__name__} at {where}"


def written_to_log(what: str) -> Path:
    """Write a line into the log and return where that is."""
    import logging

    from formulary.log import log_to_file

    log = log_to_file()
    logging.getLogger("misce").error("not caught: %s", what)
    return log


def catch(say: Messages, keep: Callable[[], None]) -> None:
    """Set the hooks: log it, keep what is open, say so. The window stays usable."""

    def hook(kind: type[BaseException], error: BaseException, at: TracebackType | None) -> None:
        if not issubclass(kind, Exception):
            sys.__excepthook__(kind, error, at)
            return
        log = written_to_log(places(error))
        keep()
        say.refuse(message("ui.last_resort", log=str(log)))

    def thread_hook(caught: threading.ExceptHookArgs) -> None:
        if caught.exc_value is not None:
            hook(caught.exc_type, caught.exc_value, caught.exc_traceback)

    sys.excepthook = hook
    threading.excepthook = thread_hook
