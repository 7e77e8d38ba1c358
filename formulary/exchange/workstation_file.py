"""The profile of this workstation as a file of this computer, read by window and command line."""

from __future__ import annotations

from pathlib import Path

from formulary.canonical import canonical_text, from_canonical_text
from formulary.errors import BadText, StoreTrouble
from formulary.messages import message
from formulary.workstation import Workstation

FILE_NAME = "workstation.json"
_KIND = "workstation"


def place() -> Path:
    """Return where the profile is kept: the user's settings folder."""
    # Imported here: the window starts without it.
    import platformdirs

    return Path(platformdirs.user_config_dir("misce", appauthor=False)) / FILE_NAME


def kept_workstation() -> Workstation | None:
    """Return the profile, None where there is none yet.

    Raises :class:`formulary.errors.StoreTrouble` for a file that can't be read, with where it is.
    """
    path = place()
    try:
        return from_canonical_text(Workstation, path.read_text("utf-8"))
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError, BadText) as trouble:
        why = trouble.message if isinstance(trouble, BadText) else str(trouble)
        said = message("workstation.unreadable", place=str(path), why=why)
        raise StoreTrouble(said) from trouble


def keep(here: Workstation) -> None:
    """Keep the profile in place of the one before, whole or not at all.

    Raises :class:`formulary.errors.StoreTrouble` where it can't be written.
    """
    path = place()
    beside = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(canonical_text(here, _KIND), "utf-8")
        beside.replace(path)
    except OSError as trouble:
        why = trouble.strerror or str(trouble)
        raise StoreTrouble(message("store.cannot_make", place=str(path), why=why)) from trouble
