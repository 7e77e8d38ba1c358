"""What the window can be started with."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass

from ui.context import PageName

ASK = "--ask"
"""The option with which the window asks what to open, whatever was open last."""


@dataclass(frozen=True, slots=True)
class Options:
    """The start's options: where the formulary is, or what picture to draw."""

    formulary: str = ""
    ask: bool = False
    picture: str = ""
    size: tuple[int, int] = (1280, 800)
    dark: bool = False
    page: str = PageName.FORMULAS.value
    type_percent: int = 0


def read_options(arguments: Sequence[str]) -> Options:
    """Return the options; argparse ends the program with 2 where they make no sense."""
    parser = argparse.ArgumentParser(prog="misce")
    parser.add_argument("--formulary", default="", metavar="PATH-or-URL")
    parser.add_argument(ASK, action="store_true")
    parser.add_argument("--picture", default="", metavar="FILE.png")
    parser.add_argument("--size", type=_size, default=(1280, 800), metavar="1280x800")
    parser.add_argument("--dark", action="store_true")
    parser.add_argument("--page", default=PageName.FORMULAS.value, choices=list(PageName))
    parser.add_argument("--type-percent", type=int, default=0, metavar="200")
    return Options(**vars(parser.parse_args(arguments)))


def _size(text: str) -> tuple[int, int]:
    width, _, height = text.partition("x")
    return int(width), int(height)
