"""What a balance goes on showing: the boat that still stands on it, zeroed at first."""

from __future__ import annotations

from formulary.bench.events import ContainerStaged, LineWeighed
from formulary.bench.state import State
from formulary.bench.weighing import weighed
from formulary.quantity.amount import Amount


def on_the_balance(state: State, position: int) -> Amount | None:
    """Return what a line's own boat holds while it stands on the balance, else None.

    It does as long as nothing else was done at the bench than fetch and weigh for this line;
    whatever comes between, the balance is zeroed anew.
    """
    line, last = state.lines[position], state.last_work
    if not line.in_own_boat or last is None:
        return None
    event = last.event
    same = isinstance(event, LineWeighed | ContainerStaged) and event.line == position
    return weighed(line) if same else None
