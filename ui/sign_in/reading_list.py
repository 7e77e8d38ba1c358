"""What a signature is about, to be read before it is given."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QTextBrowser

from ui import theme

if TYPE_CHECKING:
    # Loaded with the first wording that is shown, not before the first paint.
    from formulary.wording.reading import ToRead

HEIGHT = 260


class ReadingList(QTextBrowser):
    """One wording under another, the English below each; it scrolls where there are many."""

    def __init__(self, name: str, texts: Sequence[ToRead]) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setHtml("".join(_paragraphs(each) for each in texts))
        self.setFixedHeight(theme.px(HEIGHT))


def _paragraphs(text: ToRead) -> str:
    quiet = theme.colours().quiet
    said = "".join(f"<p style='margin:0'>{escape(line)}</p>" for line in text.said)
    english = "".join(
        f"<p style='margin:0; color:{quiet}'>{escape(line)}</p>" for line in text.english
    )
    return f"{said}{english}<p style='margin:0; font-size:6px'>&nbsp;</p>"
