"""The calculations used last: their names only, since figures may be a patient's."""

from __future__ import annotations

from PySide6.QtCore import QSettings

MOST = 10
_KEY = "calculations/recent"


def recent() -> tuple[str, ...]:
    """Return the names of the calculations used last, the newest first."""
    kept = str(QSettings().value(_KEY, ""))
    return tuple(kept.split()) if kept else ()


def remember(name: str) -> None:
    """Keep a calculation as the one used last."""
    others = [each for each in recent() if each != name]
    QSettings().setValue(_KEY, " ".join([name, *others][:MOST]))
