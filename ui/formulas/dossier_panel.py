"""A file for a formula's dossier: what it is and what it is called, asked for once it is chosen."""

from __future__ import annotations

from pathlib import Path

from formulary.desk import Desk
from formulary.dossier import DossierItem, DossierKind
from formulary.verbs.keep_dossier import keep_dossier
from ui.context import Context, Topic
from ui.files import ask_to_open, read_file
from ui.forms.fields import FormField, Kind
from ui.stock.question import Question
from ui.widgets.words import action

AREA = "ui_formulas.dossier"


class DossierPanel(Question):
    """Keeps a chosen file with the formula in view."""

    def __init__(self, context: Context) -> None:
        # Ctrl+Return starts a preparation on this page; Enter in the last field keeps the file.
        super().__init__(context, keys="")
        self._formula = ""
        self.add = action(self, context.text(f"{AREA}.add"), "Ctrl+Shift+O", self._choose)
        self.add.setEnabled(False)

    def offer(self, formula_id: str) -> None:
        """Offer to keep files with a formula; with none where there is none in view."""
        if formula_id != self._formula:
            self.ask_nothing()
        self._formula = formula_id
        self.add.setEnabled(bool(formula_id))

    def _choose(self) -> None:
        self._context.when_signed_in(self._ask_file)

    def _ask_file(self) -> None:
        text = self._context.text
        kinds = f"{text(f'{AREA}.files')} (*.pdf *.png *.jpg *.jpeg)"
        ask_to_open(self, self.add.text(), self._ask_about, kinds)

    def _ask_about(self, path: Path) -> None:
        text = self._context.text
        fields = (
            FormField("part", Kind.CHOICE, choices=self._kinds),
            FormField("title", required=True),
        )
        heading = text(f"{AREA}.heading", name=path.name)
        self.ask(heading, text(f"{AREA}.keep"), AREA, fields, lambda said: self._keep(path, said))

    def _kinds(self) -> list[tuple[str, str]]:
        asked = (each for each in DossierKind if each is not DossierKind.SAMPLE_LABEL)
        text = self._context.text
        return [(text(f"dossier.kind.{each.name.lower()}"), each.value) for each in asked]

    def _keep(self, path: Path, said: dict[str, str]) -> None:
        formula, kind = self._formula, DossierKind(said["part"])
        self._context.do(
            lambda desk: _kept(desk, formula, kind, said["title"], path),
            self._done,
            changes=(Topic.FORMULAS,),
        )

    def _done(self, item: DossierItem) -> None:
        self.ask_nothing()
        self._context.say.tell(f"{AREA}.kept", title=item.title)


def _kept(desk: Desk, formula_id: str, kind: DossierKind, title: str, path: Path) -> DossierItem:
    return keep_dossier(desk, formula_id, kind, title, path.name, read_file(path))
