"""The PIN of somebody who acts from the command line: from the environment or the terminal."""

from __future__ import annotations

import getpass
import os
import sys

from formulary.catalogue import Catalogue
from formulary.errors import NotSignedIn
from formulary.messages import message

VARIABLE = "MISCE_PIN"


def pin_of(person: str) -> str:
    """Return the PIN, asked for without showing it where there is a terminal.

    Raises :class:`formulary.errors.NotSignedIn` where it is neither set nor can be asked for.
    """
    kept = os.environ.get(VARIABLE)
    if kept is not None:
        return kept
    if not sys.stdin.isatty():
        raise NotSignedIn(message("command.pin_needed", person=person))
    return getpass.getpass(Catalogue().text(message("command.pin", person=person)))
