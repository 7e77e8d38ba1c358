"""The true strengths in words, for the panel and for the releaser."""

from __future__ import annotations

from formulary.bench.state import State
from formulary.bench.true_strength import true_strengths
from formulary.errors import Refusal
from ui.context import Context


def strengths_said(context: Context, state: State) -> list[str]:
    """Return the true strength of each active so far, or why it can't be worked out.

    Before anything is weighed there is none.
    """
    if not any(line.readings for line in state.lines):
        return []
    try:
        found = true_strengths(state.job.plan, state.lines, state.job.reads)
    except Refusal as refusal:
        return [context.said(refusal.message)]
    return [context.said(each.said) for each in found]
