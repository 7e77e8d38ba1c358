"""The way from a thing to do to what is shown of it; each kind registers its own."""

from __future__ import annotations

from functools import singledispatch

from ui.bench.scene import Scene
from ui.bench.shown import Shown


@singledispatch
def present(task: object, _scene: Scene) -> Shown:
    """Return what is shown of a thing to do."""
    raise TypeError(f"{type(task).__name__} isn't shown by anything")
