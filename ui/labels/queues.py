"""The printers that this computer has."""

from __future__ import annotations

import os
import shutil
import subprocess

from formulary.house import House, Printer

PATIENCE_SECONDS = 5


def can_print() -> bool:
    """Whether anything can be handed to a printer here."""
    if os.name == "posix":
        return shutil.which("lp") is not None
    return bool(system_queues())


def system_queues() -> tuple[str, ...]:
    """Return the names of the system's printers; none where it doesn't answer."""
    if os.name != "posix":
        from PySide6.QtPrintSupport import QPrinterInfo

        return tuple(QPrinterInfo.availablePrinterNames())
    if shutil.which("lpstat") is None:
        return ()
    try:
        asked = subprocess.run(
            ["lpstat", "-e"], capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return ()
    return tuple(line.strip() for line in asked.stdout.splitlines() if line.strip())


def printers_here(house: House) -> tuple[Printer, ...]:
    """Return the house's printers, then what else the system has; none where none can be used."""
    if not can_print():
        return ()
    known = {each.queue for each in house.printers}
    others = (Printer(each, each) for each in system_queues() if each not in known)
    return (*house.printers, *others)
