"""A certificate's file: what it is, told by how it begins, and a name that leads nowhere."""

from __future__ import annotations

import re

from formulary.errors import Refusal
from formulary.messages import message

LONGEST_NAME = 120

_PDF = b"%PDF-"
_BEGINNINGS = {
    _PDF: "application/pdf",
    b"\x89PNG\r\n\x1a\n": "image/png",
    b"\xff\xd8\xff": "image/jpeg",
}
_ENDINGS = {"application/pdf": ".pdf", "image/png": ".png", "image/jpeg": ".jpg"}
_UNSAFE = re.compile(r"[\x00-\x1f<>:\"|?*]")


def media_type(data: bytes) -> str:
    """Return the media type of a PDF or picture. Raises Refusal for anything else."""
    for beginning, found in _BEGINNINGS.items():
        if data.startswith(beginning):
            return found
    raise Refusal(message("stock.certificate.other_file"))


def require_picture(data: bytes) -> None:
    """Refuse what is no picture, a PDF included."""
    if not any(data.startswith(each) for each in _BEGINNINGS if each != _PDF):
        raise Refusal(message("stock.certificate.no_picture"))


def file_name(name: str) -> str:
    """Return the last part of a file's name, without signs that some systems don't take."""
    last = _UNSAFE.sub("", name.replace("\\", "/").rpartition("/")[2]).strip(". ")
    return last[-LONGEST_NAME:] or "certificate"


def ending(media: str) -> str:
    """Return how the name of a file of that media type ends."""
    return _ENDINGS[media]
