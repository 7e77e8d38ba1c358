"""Files that commands write: whole, or a sentence that says why not."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from formulary.errors import Refusal
from formulary.labels.page import UNSAID, Bookmark, Origin, Page
from formulary.messages import message


def write_pages(
    pages: Sequence[Page],
    out: Path,
    title: str,
    bookmarks: Sequence[Bookmark] = (),
    origin: Origin = UNSAID,
) -> None:
    """Write pages as a PDF whose properties name a lot or a formula, never a person."""
    # ReportLab is loaded only where something is drawn.
    from formulary.labels.drawing import draw

    _write(out, lambda: draw(pages, out, title=title, bookmarks=bookmarks, origin=origin))


def write_text(text: str, out: Path) -> None:
    """Write a text file."""
    _write(out, lambda: out.write_text(text, encoding="utf-8"))


def write_bytes(data: bytes, out: Path) -> None:
    """Write a file as it was kept."""
    _write(out, lambda: out.write_bytes(data))


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """Yield a folder that gets its name only once all is in it; nobody else may look into it."""
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".exporting-") as scratch:
        made = Path(scratch) / "made"
        made.mkdir(0o700)
        yield made
        made.replace(folder)


def _write(out: Path, write: Callable[[], object]) -> None:
    try:
        write()
    except OSError as error:
        why = error.strerror or ""
        raise Refusal(message("command.cannot_write", path=str(out), why=why)) from error
