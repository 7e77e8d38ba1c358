"""The layouts there are to open: the house's own, what isn't kept yet here, and the shipped."""

from __future__ import annotations

from formulary.errors import FormularyError
from formulary.house_layout import HouseLayout
from formulary.labels.design import Design
from formulary.labels.design_text import read_design, write_design
from formulary.labels.stock import label_stocks
from formulary.messages import message
from ui.context import Context
from ui.forms import kept_edits

_TEXT = "text"


class Shelf:
    """Knows each stock's newest layout, and holds on this computer what isn't kept yet."""

    def __init__(self, context: Context, area: str) -> None:
        self._context = context
        self._area = area
        self._kept: tuple[HouseLayout, ...] = ()
        self._held: kept_edits.Edits = {}

    def take(self, kept: tuple[HouseLayout, ...]) -> None:
        """Take the layouts as the formulary has them."""
        self._kept = kept

    def read_held(self) -> None:
        """Read what this computer holds: it comes back after a crash."""
        self._held = kept_edits.kept(self._context.house.id, self._area)

    @property
    def first_held(self) -> str:
        """The code of the first stock with a layout that isn't kept, "" for none."""
        return next(iter(self._held), "")

    def newest(self, stock: object) -> HouseLayout | None:
        """Return the newest version for a stock's code."""
        found = [each for each in self._kept if each.stock == stock]
        return found[-1] if found else None

    def in_use(self, code: str) -> bool:
        """Return whether a version for a stock is in use."""
        return any(each.in_use and each.stock == code for each in self._kept)

    def has(self, design: Design) -> bool:
        """Return whether a layout is kept as it stands."""
        newest = self.newest(design.stock.code)
        return newest is not None and design == read_design(newest.text)

    def held(self, code: str) -> Design | None:
        """Return what was laid out for a stock and not kept, if it can be read."""
        try:
            return read_design(self._held[code][_TEXT])
        except (KeyError, FormularyError):
            return None

    def hold(self, design: Design, *, changed: bool) -> None:
        """Hold a layout that was changed, or was held before, until it is kept."""
        before, code = dict(self._held), design.stock.code
        if self.has(design):
            self._held.pop(code, None)
        elif changed or code in self._held:
            self._held[code] = {_TEXT: write_design(design)}
        if self._held != before:
            kept_edits.keep(self._context.house.id, self._area, self._held)

    def said(self, layout: HouseLayout) -> str:
        """Return what a version is called: its stock, number and state."""
        state = "draft" if layout.is_draft else "in_use" if layout.in_use else "ended"
        said = message(f"layouts.state.{state}", stock=layout.stock, number=layout.number)
        return self._context.said(said)

    def choices(self) -> list[tuple[str, object]]:
        """Return the stocks to lay out for: the house's own layouts first."""
        newest = {each.stock: each for each in self._kept}
        mine: list[tuple[str, object]] = [(self.said(e), e.stock) for e in newest.values()]
        shipped = [each.code for each in label_stocks() if each.code not in newest]
        begun_here = [each for each in self._held if each not in (*newest, *shipped)]
        others = (("held", begun_here), ("none", shipped))
        for key, codes in others:
            mine += [
                (self._context.text(f"{self._area}.{key}", stock=each), each) for each in codes
            ]
        return mine
