"""The log that helps a maintainer: what went wrong in the program, never anybody's data."""

from __future__ import annotations

import logging
from pathlib import Path

LARGEST_BYTES = 1_000_000


def log_to_file() -> Path:
    """Send the program's log to a file in the user's log folder, once, and return its path.

    Only tracebacks and versions are logged: no typed text, no name, no quantity.
    """
    # Imported at the first trouble only.
    from logging.handlers import RotatingFileHandler

    import platformdirs

    logger = logging.getLogger("misce")
    for each in logger.handlers:
        if isinstance(each, RotatingFileHandler):
            return Path(each.baseFilename)
    path = Path(platformdirs.user_log_dir("misce", appauthor=False)) / "misce.log"
    path.parent.mkdir(parents=True, exist_ok=True)
    handler = RotatingFileHandler(path, maxBytes=LARGEST_BYTES, backupCount=1, encoding="utf-8")
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logger.addHandler(handler)
    logger.propagate = False
    return path
