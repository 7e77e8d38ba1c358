"""What waits at the benches, counted by what is to be done next."""

from __future__ import annotations

from collections.abc import Iterable

from formulary.bench.stages import BEFORE_RELEASE
from formulary.preparation import Preparation
from ui.context import Context


def waiting(context: Context, found: Iterable[Preparation]) -> list[str]:
    """Return a line for each stage at which something stands, in their order."""
    stages = [each.stage for each in found]
    return [
        context.text(f"ui_bench.waits.{stage.name.lower()}", n=stages.count(stage))
        for stage in BEFORE_RELEASE
        if stage in stages
    ]
