"""``misce licences``: every library that the program stands on, with its version and licence."""

from __future__ import annotations

import re
import tomllib
from argparse import Namespace
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution

from formulary.command_desk import Answer
from formulary.starting import CLONE, in_clone

OWN = "misce"
_REQUIREMENT = re.compile(r"(?P<name>[\w.-]+)\s*(?:\[(?P<extras>[^\]]*)\])?[^;]*(?P<marker>;.*)?")
_EXTRA = re.compile(r"extra\s*==\s*['\"](?P<extra>[^'\"]+)['\"]")
_CLASSIFIER = "License ::"
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class Library:
    """A library that is installed, under which licence by its own word; "" where it says none."""

    name: str
    version: str
    licence: str


def licences(options: Namespace) -> Answer:
    """List the libraries by name."""
    del options
    found = libraries()
    lines = [f"{each.name} {each.version}: {each.licence or '?'}" for each in found]
    return Answer([asdict(each) for each in found], lines)


def libraries() -> list[Library]:
    """Return what is installed of what the program requires, and of what that requires in turn."""
    found: dict[str, Library] = {}
    waiting = [*_required(_own_requirements(), frozenset())]
    seen = set(waiting)
    while waiting:
        name, extras = waiting.pop()
        try:
            here = distribution(name)
        except PackageNotFoundError:
            # For another system, or for a part of it that isn't asked for.
            continue
        found[name] = Library(here.name, here.version, licence_of(here))
        new = {*_required(here.requires or (), extras)} - seen
        seen |= new
        waiting += new
    return [found[name] for name in sorted(found)]


def _own_requirements() -> Sequence[str]:
    if in_clone():
        text = (CLONE / "pyproject.toml").read_text(encoding="utf-8")
        named: list[str] = tomllib.loads(text)["project"]["dependencies"]
        return named
    return distribution(OWN).requires or ()


def _required(
    requirements: Iterable[str], extras: frozenset[str]
) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield name and extras of each requirement that holds, whatever the system it is for."""
    for text in requirements:
        found = _REQUIREMENT.match(text)
        wanted = _EXTRA.search((found and found["marker"]) or "")
        if found and (wanted is None or wanted["extra"] in extras):
            asked = frozenset(filter(None, re.split(r"\s*,\s*", found["extras"] or "")))
            yield re.sub(r"[-_.]+", "-", found["name"]).lower(), asked


def licence_of(here: Distribution) -> str:
    """Return what a library says of its licence: its field, its classifier, or its file's title."""
    about = here.metadata
    classified = [
        each.rpartition("::")[2].strip()
        for each in about.get_all("Classifier") or ()
        if each.startswith(_CLASSIFIER)
    ]
    fields = [about[key] for key in ("License-Expression", "License") if key in about]
    short = [each.strip() for each in fields if each and len(each.strip()) <= _LONGEST]
    return next(iter((*short, *classified, *_title_of_file(here))), "")


def _title_of_file(here: Distribution) -> Iterator[str]:
    for file in here.files or ():
        if file.name.upper().startswith(("LICENSE", "LICENCE", "COPYING")):
            lines = file.read_text(encoding="utf-8").split("\n")
            yield from (line.strip() for line in lines if line.strip())
