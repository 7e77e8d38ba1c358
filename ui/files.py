"""Which file: asked for without holding the window up; what the system says against it is said.

A question starts in the folder where the last one of its kind ended.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QSettings, QStandardPaths, Qt
from PySide6.QtWidgets import QFileDialog, QWidget

from formulary.errors import Refusal
from formulary.messages import message

PDF = "PDF (*.pdf)"
CSV = "CSV (*.csv)"
CANNOT_WRITE = "ui.file.cannot_write"
OPENED, SAVED = "files/opened", "files/saved"
"""The settings that keep the two folders."""

Then = Callable[[Path], object]


def ask_to_open(
    parent: QWidget | None, title: str, then: Then, kinds: str = "", folder: Path | None = None
) -> None:
    """Ask for a file that is there, and go on with it; nothing follows where somebody steps back.

    ``kinds`` are the endings that are offered, any without them.
    """
    begin = folder or last_folder(OPENED)
    dialog = QFileDialog(parent, title, str(begin), kinds)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    _ask(dialog, OPENED, then)


def ask_to_save(parent: QWidget | None, title: str, name: str, then: Then, kinds: str = "") -> None:
    """Ask where a file goes, and go on with that; Enter accepts the name that is proposed."""
    proposed = last_folder(SAVED) / name
    dialog = QFileDialog(parent, title, str(proposed), kinds)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix(proposed.suffix.removeprefix("."))
    dialog.selectFile(proposed.name)
    _ask(dialog, SAVED, then)


def last_folder(setting: str) -> Path:
    """Return the folder of the last file, the person's documents before there was one."""
    kept = str(QSettings().value(setting, ""))
    if kept and Path(kept).is_dir():
        return Path(kept)
    place = QStandardPaths.StandardLocation.DocumentsLocation
    documents = Path(QStandardPaths.writableLocation(place))
    return documents if documents.is_dir() else Path.home()


def read_file(path: Path) -> bytes:
    """Return what is in a file. Raises Refusal for one that can't be read."""
    try:
        return path.read_bytes()
    except OSError as trouble:
        raise _refused("ui.file.cannot_read", path, trouble) from trouble


@contextmanager
def writing_to(path: Path, said: str = CANNOT_WRITE) -> Iterator[None]:
    """Turn what the system says against writing there into a refusal with the key ``said``."""
    try:
        yield
    except OSError as trouble:
        raise _refused(said, path, trouble) from trouble


def _ask(dialog: QFileDialog, setting: str, then: Then) -> None:
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

    def chosen(name: str) -> None:
        path = Path(name)
        QSettings().setValue(setting, str(path.parent))
        then(path)

    dialog.fileSelected.connect(chosen)
    dialog.open()


def _refused(key: str, path: Path, trouble: OSError) -> Refusal:
    why = trouble.strerror or type(trouble).__name__
    return Refusal(message(key, place=str(path), why=why))
