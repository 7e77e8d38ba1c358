"""All figures, in the order in which a person meets them; name some to measure only those."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from tests.bench import (
    calculation_speed,
    label_speed,
    memory,
    preview_speed,
    register_speed,
    review_speed,
    scaling_speed,
    search_speed,
    start_speed,
    trace_speed,
    weighing_speed,
)
from tests.bench.measuring import Figure

MEASURES: dict[str, Callable[[], Iterable[Figure]]] = {
    "start": start_speed.figures,
    "memory": memory.figures,
    "review": review_speed.figures,
    "scaling": scaling_speed.figures,
    "search": search_speed.figures,
    "labels": label_speed.figures,
    "preview": preview_speed.figures,
    "trace": trace_speed.figures,
    "register": register_speed.figures,
    "weighing": weighing_speed.figures,
    "calculations": calculation_speed.figures,
}


def main(wanted: list[str]) -> None:
    """Print the figures of the measures named, or of all."""
    for name, measure in MEASURES.items():
        if not wanted or name in wanted:
            for figure in measure():
                print(figure, flush=True)  # noqa: T201  printing is what a bench is for


if __name__ == "__main__":
    main(sys.argv[1:])
