"""Into which file: asked for in the folder of the last one; what can't be written is said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QSettings, QStandardPaths, Qt
from PySide6.QtWidgets import QFileDialog, QWidget

from formulary.errors import Refusal
from formulary.messages import message

FOLDER_SETTING = "papers/folder"
CANNOT_WRITE = "ui_papers.cannot_write"


def ask_file(parent: QWidget, title: str, name: str, then: Callable[[Path], None]) -> None:
    """Ask where a PDF goes; Enter accepts the name in the folder of the last one."""
    proposed = last_folder() / f"{name}.pdf"
    dialog = QFileDialog(parent, title, str(proposed), "PDF (*.pdf)")
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix("pdf")
    dialog.selectFile(proposed.name)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

    def chosen(path: str) -> None:
        QSettings().setValue(FOLDER_SETTING, str(Path(path).parent))
        then(Path(path))

    dialog.fileSelected.connect(chosen)
    dialog.open()


def last_folder() -> Path:
    """Return the folder of the last PDF, the person's documents before there was one."""
    kept = str(QSettings().value(FOLDER_SETTING, ""))
    if kept and Path(kept).is_dir():
        return Path(kept)
    place = QStandardPaths.StandardLocation.DocumentsLocation
    documents = Path(QStandardPaths.writableLocation(place))
    return documents if documents.is_dir() else Path.home()


@contextmanager
def writing_to(path: Path, said: str = CANNOT_WRITE) -> Iterator[None]:
    """Turn what the system says against writing there into a refusal with the key ``said``."""
    try:
        yield
    except OSError as trouble:
        why = trouble.strerror or str(trouble)
        raise Refusal(message(said, place=str(path), why=why)) from trouble
