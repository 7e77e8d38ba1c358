"""How a layout looks: a real label of the house by it as dots, and all doubts about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.finding import Finding
from formulary.labels.design import Design
from formulary.messages import Message
from formulary.verbs.house_layouts import Example, findings_of

if TYPE_CHECKING:
    from formulary.labels.raster import Raster


@dataclass(frozen=True, slots=True)
class Look:
    """What is seen of a layout; where the example has no room, ``refused`` says why.

    ``lost`` are the elements left undrawn.
    """

    design: Design
    findings: tuple[Finding, ...]
    raster: Raster | None = None
    refused: Message | None = None
    lost: frozenset[str] = frozenset()


def look_at(
    desk: Desk,
    design: Design,
    examples: tuple[Example, ...],
    shown: int,
    dots_per_inch: float,
) -> Look:
    """Return how a layout looks with the example number ``shown``."""
    findings = findings_of(desk, design, examples)
    if not 0 <= shown < len(examples):
        return Look(design, findings)
    # Loaded with the first label: ReportLab and the renderer take a while.
    from formulary.labels.designed import NoPlace, drawn_by, lay_out_by
    from formulary.labels.drawing import pdf_bytes
    from formulary.labels.raster import rasterise

    content, refused = examples[shown].content, None
    try:
        page, lost = drawn_by(design, content)
        lay_out_by(design, content)
    except NoPlace as trouble:
        refused = trouble.message
    except Refusal as trouble:
        return Look(design, findings, refused=trouble.message)
    raster = rasterise(pdf_bytes([page], title=design.stock.code), 0, dots_per_inch)
    undrawn = frozenset(each.thing.value for each in design.boxes if each.thing.field in lost)
    return Look(design, findings, raster, refused, undrawn)
