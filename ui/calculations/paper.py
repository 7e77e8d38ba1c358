"""An answer on paper: as plain text to copy, and as the record that is printed or saved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from formulary.calculating.saying import in_house_sign
from formulary.catalogue import Catalogue
from formulary.messages import Parameter, message
from formulary.papers.done_sum import Sum
from formulary.quantity.writing import held_together
from ui.calculations.answer import Answer, figures, steps

AREA = "ui_calculations"


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
            [*self._cautions(), *self._about()],
        )
        return "\n\n".join("\n".join(part) for part in parts if part) + "\n"

    def as_sum(self, kept_with: str = "") -> Sum:
        """Return the same for a record on paper."""
        results = [(each.name, each.value) for each in figures(self._answer, self._catalogue)]
        return Sum(
            self.title,
            given=tuple(self._inputs()),
            results=results,
            working=_together(steps(self._answer, self._catalogue)),
            cautions=_together(self._cautions()),
            notes=_together(self._about()),
            kept_with=kept_with,
        )

    def _inputs(self) -> Iterator[tuple[str, str]]:
        typed = self._answer.question.typed
        for described in self._calculation.inputs:
            default = in_house_sign(described.default, self._catalogue.decimal_sign)
            text = typed.get(described.name, default)
            if text:
                yield self._catalogue.text(self._calculation.input_said(described.name)), text

    def _cautions(self) -> list[str]:
        """Return what was found on this answer, then what holds for every answer of the kind."""
        findings = self._answer.outcome.findings if self._answer.outcome is not None else ()
        said = []
        for finding in findings:
            word = self._catalogue.text(f"ui.severity.{finding.severity.name.lower()}")
            said.append(self._line(word, self._catalogue.text(finding.said)))
        caution = self._catalogue.text(self._calculation.text("caution"))
        return [*said, self._line(self._catalogue.text("ui.severity.reason"), caution)]

    def _about(self) -> list[str]:
        return [
            self._line(
                self._catalogue.text(f"{AREA}.{part}"),
                self._catalogue.text(self._calculation.text(part)),
            )
            for part in ("source", "limits")
        ]

    def _line(self, name: str, value: str) -> str:
        return self._text("line", name=name, value=value)

    def _text(self, key: str, **parameters: Parameter) -> str:
        return self._catalogue.text(message(f"{AREA}.{key}", **parameters))


def _together(lines: Iterable[str]) -> tuple[str, ...]:
    return tuple(map(held_together, lines))
