"""What happened to a preparation, in words: its events, deviations, exemptions and jars."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.bench.kept import FilledJar
from formulary.bench.state import Deviation, Exemption
from formulary.bench.words import named, said
from formulary.messages import Parameter
from formulary.signing import Signature
from ui import signs, theme
from ui.context import Context
from ui.register.reading import Made
from ui.register.stretched_tree import StretchedTree
from ui.stock.fitted_tree import FittedTree
from ui.widgets.words import label, spaced

AREA = "ui_register.happened"
_EVENTS = ("at", "what", "by")
_JARS = ("jar", "net", "place", "given")
MOST_SHOWN = 12
"""Rows of a list before it scrolls by itself."""


class Happenings(QWidget):
    """Shows what was recorded at the bench; without anything it takes no room."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        named_so = [context.text(f"{AREA}.{each}") for each in _JARS]
        self.jars = FittedTree(context.text(f"{AREA}.jars"), named_so, (3,))
        self.jars.setRootIsDecorated(False)
        self.deviations = label()
        self.exemptions = label()
        headings = [context.text(f"{AREA}.{each}") for each in _EVENTS]
        self.events = StretchedTree(context.text(f"{AREA}.events"), headings, (2, 0), 1)
        self._heads = {
            "jars": self.jars,
            "deviations": self.deviations,
            "exemptions": self.exemptions,
            "events": self.events,
        }
        self._labels = {
            name: label(context.text(f"{AREA}.{name}"), "heading") for name in self._heads
        }
        self.whole = label()
        self.events.currentItemChanged.connect(lambda *_: self._came_to())
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        for name, part in self._heads.items():
            box.addWidget(self._labels[name])
            box.addWidget(part)
        box.addWidget(self.whole)

    def show_made(self, made: Made) -> None:
        """Show what happened to a preparation."""
        work = made.work
        state = work.state if work is not None else None
        self._fill_jars(made.jars)
        deviations = state.deviations if state is not None else ()
        exemptions = state.exemptions if state is not None else ()
        self.deviations.setText("\n".join(map(self._deviation, deviations)))
        self.exemptions.setText("\n".join(map(self._exemption, exemptions)))
        self._fill_events(made)
        shown = {
            "jars": bool(made.jars),
            "deviations": bool(deviations),
            "exemptions": bool(exemptions),
            "events": bool(made.happened),
        }
        for name, is_there in shown.items():
            self._heads[name].setVisible(is_there)
            self._labels[name].setVisible(is_there)

    def texts(self) -> tuple[str, ...]:
        """Return all that is shown."""
        rows = (*_rows(self.jars), *_rows(self.events))
        return (*rows, self.deviations.text(), self.exemptions.text())

    def _fill_jars(self, jars: tuple[FilledJar, ...]) -> None:
        self.jars.clear()
        written = self._context.catalogue.written
        for each in jars:
            place = self._context.text(f"ui_register.jar.at.{each.place.value}")
            given = written(each.given_at) if each.given_at is not None else ""
            QTreeWidgetItem(self.jars, [each.id, written(each.net), place, given])
        _fit(self.jars)

    def _fill_events(self, made: Made) -> None:
        self.events.clear()
        self._came_to()
        work = made.work
        if work is None:
            return
        written = self._context.catalogue.written
        for each in reversed(made.happened):
            what = self._context.said(said(each, work.state))
            item = QTreeWidgetItem(self.events, [written(each.at), what, each.person])
            item.setToolTip(1, what)
            if each.signature is not None:
                self._sign(item, each.signature, stands=made.stands.get(each.number))
        _fit(self.events)

    def _sign(self, item: QTreeWidgetItem, signature: Signature, *, stands: bool | None) -> None:
        """Say that an event is signed, and whether what was signed is unchanged since."""
        broken = stands is False
        item.setIcon(2, signs.icon(signs.Sign.OCTAGON if broken else signs.Sign.TICK))
        said = [self._text("signed", by=signature.person, meaning=signature.meaning.value)]
        if stands is not None:
            said.append(self._context.text(f"history.stands{'' if stands else '_not'}"))
        item.setToolTip(2, " ".join(said))
        if broken:
            item.setText(2, f"{item.text(2)}: {self._text('broken')}")

    def _came_to(self) -> None:
        """Say the event come to in full, and its signature: in the list a long one is cut."""
        item = self.events.currentItem()
        said = (item.text(1), item.toolTip(2)) if item is not None else ()
        self.whole.setText("\n".join(filter(None, said)))
        self.whole.setVisible(item is not None)

    def _deviation(self, each: Deviation) -> str:
        told = self._text("deviation", category=named(each.category), what=each.what)
        if each.is_open:
            return f"{told} {self._text('open')}"
        return f"{told} {self._text('decided', decision=each.decision)}"

    def _exemption(self, each: Exemption) -> str:
        told = self._text(
            "exemption", act=each.act, person=each.person, at=each.at, why=each.because
        )
        if each.checked_at is None:
            return f"{told} {self._text('unchecked')}"
        return f"{told} {self._text('checked', at=each.checked_at)}"

    def _text(self, key: str, **parameters: Parameter) -> str:
        return self._context.text(f"{AREA}.{key}", **parameters)


def _fit(tree: FittedTree) -> None:
    """Make a list as high as its rows, up to a measure; beyond it the list scrolls."""
    count = min(tree.topLevelItemCount(), MOST_SHOWN)
    row = max(tree.sizeHintForRow(0), theme.px(24))
    tree.setFixedHeight(row * count + tree.header().sizeHint().height() + theme.px(4))
    tree.fit()


def _rows(tree: FittedTree) -> Iterator[str]:
    for row in range(tree.topLevelItemCount()):
        item = tree.topLevelItem(row)
        if item is not None:
            yield "|".join(item.text(column) for column in range(tree.columnCount()))
