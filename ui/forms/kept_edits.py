"""Edits that weren't saved yet, kept on this computer so that a crash loses nothing.

Never for anything with a patient's or prescriber's name in it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TypeAlias

from PySide6.QtCore import QSettings

Edits: TypeAlias = dict[str, dict[str, str]]
"""Values by the name of their field, by the id of what is edited."""


def kept(house_id: str, area: str) -> Edits:
    """Return what was kept of a house's edits in one area; nothing where it can't be read."""
    try:
        found = json.loads(str(QSettings().value(_place(house_id, area), "{}")))
    except ValueError:
        return {}
    if not isinstance(found, dict):
        return {}
    return {
        str(key): {str(name): str(text) for name, text in values.items()}
        for key, values in found.items()
        if isinstance(values, dict)
    }


def keep(house_id: str, area: str, edits: Mapping[str, Mapping[str, str]]) -> None:
    """Keep a house's edits of one area in place of what was kept before."""
    settings = QSettings()
    if edits:
        settings.setValue(_place(house_id, area), json.dumps(edits))
    else:
        settings.remove(_place(house_id, area))
    settings.sync()


def _place(house_id: str, area: str) -> str:
    return f"edits/{house_id}/{area}"
