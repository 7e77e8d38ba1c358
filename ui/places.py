"""Where the formulary is that this workstation opens; remembered from one start to the next."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSettings

SAMPLE_NAME = "sample-pharmacy.misce"
_KEY, _BACKUPS = "location", "backups"


def remembered() -> str:
    """Return the location that was opened last, nothing on the first start."""
    return str(QSettings().value(_KEY, ""))


def remember(location: str, backups: str = "") -> None:
    """Open this location from now on; its house keeps its ``backups`` in a folder of its own."""
    QSettings().setValue(_KEY, location)
    QSettings().setValue(_BACKUPS, backups)


def backups_of(location: str) -> str:
    """Return where the backups of a file lie: where its house kept them when it was last open."""
    from formulary.backups import folder_for

    chosen = str(QSettings().value(_BACKUPS, "")) if location == remembered() else ""
    return str(folder_for(Path(location), chosen))


def of_own_house() -> Path:
    """Return where a house of one's own is kept."""
    from formulary.opening import default_location

    return default_location()


def of_sample() -> Path:
    """Return where the sample pharmacy is kept, beside a house of one's own."""
    return of_own_house().with_name(SAMPLE_NAME)
