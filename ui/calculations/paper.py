"""An answer on paper: as plain text to copy, and as HTML to print or to keep as a PDF."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from formulary.calculating.saying import in_house_sign
from formulary.catalogue import Catalogue
from formulary.messages import Parameter, message
from ui.calculations.answer import Answer, figures, steps

AREA = "ui_calculations"
_STYLE = """
body { font-size: 10.5pt; } h1 { font-size: 16pt; } h2 { font-size: 12pt; }
td { padding-right: 18pt; } .note { font-size: 9pt; }
"""


class Paper:
    """Writes one answer, in the house's language and with its decimal sign."""

    def __init__(self, answer: Answer, catalogue: Catalogue) -> None:
        self._answer, self._catalogue = answer, catalogue
        self._calculation = answer.question.calculation

    @property
    def title(self) -> str:
        """The calculation's title."""
        return self._catalogue.text(self._calculation.text("title"))

    def plain(self) -> str:
        """Return title, inputs, results, working and what holds for it, as lines."""
        parts = (
            [self.title],
            [self._line(*each) for each in self._inputs()],
            [self._line(each.name, each.value) for each in figures(self._answer, self._catalogue)],
            steps(self._answer, self._catalogue),
            self._notes(),
        )
        return "\n\n".join("\n".join(part) for part in parts if part) + "\n"

    def html(self) -> str:
        """Return the same for a printer."""
        results = [(each.name, each.value) for each in figures(self._answer, self._catalogue)]
        parts = (
            f"<style>{_STYLE}</style><h1>{escape(self.title)}</h1>",
            f"<h2>{self._word('inputs')}</h2>{_table(list(self._inputs()))}",
            f"<h2>{self._word('results')}</h2>{_table(results, strong=True)}",
            f"<h2>{self._word('working')}</h2>",
            *(f"<p>{escape(line)}</p>" for line in steps(self._answer, self._catalogue)),
            *(f"<p class='note'>{escape(line)}</p>" for line in self._notes()),
        )
        return "".join(parts)

    def _inputs(self) -> Iterator[tuple[str, str]]:
        typed = self._answer.question.typed
        for described in self._calculation.inputs:
            default = in_house_sign(described.default, self._catalogue.decimal_sign)
            text = typed.get(described.name, default)
            if text:
                yield self._catalogue.text(self._calculation.input_said(described.name)), text

    def _notes(self) -> list[str]:
        findings = self._answer.outcome.findings if self._answer.outcome is not None else ()
        said = []
        for finding in findings:
            word = self._catalogue.text(f"ui.severity.{finding.severity.name.lower()}")
            said.append(self._line(word, self._catalogue.text(finding.said)))
        caution, source, limits = (
            self._catalogue.text(self._calculation.text(part))
            for part in ("caution", "source", "limits")
        )
        return [
            *said,
            self._line(self._catalogue.text("ui.severity.reason"), caution),
            self._line(self._catalogue.text(f"{AREA}.source"), source),
            self._line(self._catalogue.text(f"{AREA}.limits"), limits),
        ]

    def _line(self, name: str, value: str) -> str:
        return self._text("line", name=name, value=value)

    def _text(self, key: str, **parameters: Parameter) -> str:
        return self._catalogue.text(message(f"{AREA}.{key}", **parameters))

    def _word(self, key: str) -> str:
        return escape(self._catalogue.text(f"{AREA}.{key}"))


def _table(rows: list[tuple[str, str]], *, strong: bool = False) -> str:
    mark = "b" if strong else "span"
    cells = (
        f"<tr><td>{escape(name)}</td><td><{mark}>{escape(value)}</{mark}></td></tr>"
        for name, value in rows
    )
    return f"<table>{''.join(cells)}</table>"
