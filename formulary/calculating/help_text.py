"""The help on a calculation, made from its own description: for the window and for a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from formulary.calculating.describing import Calculation, Input, Kind
from formulary.calculating.saying import in_house_sign, unit_said
from formulary.catalogue import Catalogue
from formulary.messages import Message, message

NOTES = ("source", "limits", "caution")
_UNRANGED = {Kind.CHOICE, Kind.TEXT}
_BEFORE_A_TOTAL = "1 in"
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~])")


@dataclass(frozen=True, slots=True)
class InputHelp:
    """An input: its name on the command line, its title, and what may be typed."""

    name: str
    title: str
    takes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HelpText:
    """What a calculation is for, its inputs, and its ``notes`` with a heading each."""

    name: str
    title: str
    about: str
    inputs: tuple[InputHelp, ...]
    notes: tuple[tuple[str, str], ...]
    command: str
    inputs_heading: str
    command_heading: str


def help_text(calculation: Calculation, catalogue: Catalogue) -> HelpText:
    """Return the help on a calculation in the catalogue's language and decimal sign."""
    text, said = catalogue.text, calculation.text
    return HelpText(
        calculation.name,
        text(said("title")),
        text(said("about")),
        tuple(_input(each, calculation, catalogue) for each in calculation.inputs),
        tuple((text(f"calculating.help.{note}"), text(said(note))) for note in NOTES),
        _command(calculation, catalogue),
        text("calculating.help.inputs"),
        text("calculating.help.command"),
    )


def as_lines(help_: HelpText) -> list[str]:
    """Return the help as lines for a terminal."""
    lines = [f"{help_.name}: {help_.title}", help_.about, "", f"{help_.inputs_heading}:"]
    for each in help_.inputs:
        lines += [f"  {each.name}: {each.title}", f"      {'; '.join(each.takes)}"]
    for heading, sentence in help_.notes:
        lines += ["", f"{heading}: {sentence}"]
    return [*lines, "", f"{help_.command_heading}:", f"  {help_.command}"]


def as_markdown(help_: HelpText) -> str:
    """Return the help as Markdown for the window."""
    parts = [f"# {_plain(help_.title)}", _plain(help_.about), f"**{help_.inputs_heading}**"]
    parts += [_item(each) for each in help_.inputs]
    parts += [f"**{heading}:** {_plain(sentence)}" for heading, sentence in help_.notes]
    parts.append(f"**{help_.command_heading}:** `{help_.command}`")
    return "\n\n".join(parts)


def _item(each: InputHelp) -> str:
    return f"- **{_plain(each.title)}** (`{each.name}`): {_plain('; '.join(each.takes))}."


def _plain(text: str) -> str:
    """Return a text whose marks mean nothing to Markdown."""
    return _MARKS.sub(r"\\\1", text)


def _command(calculation: Calculation, catalogue: Catalogue) -> str:
    sign = catalogue.decimal_sign
    typed = (f'{name}="{in_house_sign(text, sign)}"' for name, text in calculation.examples)
    return " ".join((f"misce calculate {calculation.name}", *typed))


def _input(described: Input, calculation: Calculation, catalogue: Catalogue) -> InputHelp:
    title = catalogue.text(calculation.input_said(described.name))
    takes = tuple(map(catalogue.text, _takes(described, catalogue)))
    return InputHelp(described.name, title, takes)


def _takes(described: Input, catalogue: Catalogue) -> Iterator[Message]:
    """Yield what may be typed: kinds, units, a list, the range, and what holds if left out."""
    if described.choices:
        yield _said("choices", choices=described.choices)
    else:
        yield _said("kinds", kinds=tuple(map(_kind, described.kinds)))
    if units := _units(described, catalogue):
        yield _said("units", units=units)
    if described.many:
        yield _said("many")
    if not _UNRANGED & set(described.kinds):
        yield _range(described, catalogue)
    if described.default:
        default = in_house_sign(described.default, catalogue.decimal_sign)
        yield _said("default", default=default)
    else:
        yield _said("required" if described.required else "optional")


def _kind(kind: Kind) -> Message:
    return message(f"calculating.kind.{kind.name.lower()}")


def _units(described: Input, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the units of an input; a ratio is shown with a total, since it is typed whole."""
    units = dict.fromkeys(described.usual_units)
    said = {unit: unit_said(unit, catalogue) for unit in units}
    if _BEFORE_A_TOTAL in said:
        said[_BEFORE_A_TOTAL] = catalogue.text("calculating.help.ratio")
    return tuple(said.values())


def _range(described: Input, catalogue: Catalogue) -> Message:
    """Return the range of an input, in the first of its units."""
    units = described.usual_units[:1]
    unit = f" {unit_said(units[0], catalogue)}" if units else ""
    least, most = (
        "" if bound is None else catalogue.written(bound) + unit
        for bound in (described.least, described.most)
    )
    if not least and not described.positive:
        least = "0"
    if not least:
        return _said("over_zero_to", most=most) if most else _said("over_zero")
    return _said("from_to", least=least, most=most) if most else _said("least", least=least)


def _said(key: str, **parameters: str | tuple[Message, ...] | tuple[str, ...]) -> Message:
    return message(f"calculating.help.{key}", **parameters)
