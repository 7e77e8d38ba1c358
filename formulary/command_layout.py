"""``misce layout``: the house's own layouts of labels, listed, written out, read in, put in use."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_pin import pin_of
from formulary.command_writing import write_text
from formulary.desk import Desk
from formulary.errors import Refusal, WrongUsage
from formulary.finding import Finding
from formulary.house_layout import HouseLayout
from formulary.labels.design_text import read_design, write_design
from formulary.labels.stock import label_stock
from formulary.messages import Message, message
from formulary.verbs.house_layouts import (
    begun,
    end_layout,
    findings_of,
    layout_called,
    layouts,
    put_layout_in_use,
    save_layout,
)


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return what there is as data and as lines, after what was asked for was done."""
    if options.file:
        return _seen(
            desk, save_layout(desk, _read(Path(options.file)), Path(options.file).name), catalogue
        )
    if not options.stock:
        if options.use or options.end or options.out or options.begin:
            raise WrongUsage(message("command.layout.needs_stock"))
        return _listed(layouts(desk.store), catalogue)
    if options.begin:
        design = begun(desk, label_stock(options.stock))
        return _seen(desk, save_layout(desk, write_design(design)), catalogue)
    if options.end:
        ended = end_layout(desk, options.stock, pin_of(desk.person.name))
        said = message("command.layout.ended", stock=ended.stock, number=ended.number)
        return _data(ended), [catalogue.text(said)]
    layout = layout_called(desk.store, options.stock)
    if options.use:
        used = put_layout_in_use(desk, layout.id, pin_of(desk.person.name))
        said = message("command.layout.used", stock=used.stock, number=used.number)
        return _data(used), [catalogue.text(said)]
    return _out(desk, layout, options, catalogue)


def _out(
    desk: Desk, layout: HouseLayout, options: Namespace, catalogue: Catalogue
) -> tuple[Any, list[str]]:
    """Write a layout to a file, or tell its text and what is to be thought of."""
    if options.out:
        write_text(layout.text, Path(options.out))
        said = message("command.layout.written", stock=layout.stock, out=options.out)
        return {**_data(layout), "out": options.out}, [catalogue.text(said)]
    data, lines = _seen(desk, layout, catalogue)
    return data, [*layout.text.splitlines(), "", *lines]


def _seen(desk: Desk, layout: HouseLayout, catalogue: Catalogue) -> tuple[Any, list[str]]:
    found = findings_of(desk, read_design(layout.text, layout.stock))
    said = [_finding(each, catalogue) for each in found]
    lines = [f"{each['severity']}: {each['sentence']}" for each in said]
    data = {**_data(layout), "text": layout.text, "findings": said}
    return data, [catalogue.text(_line(layout)), *lines]


def _finding(each: Finding, catalogue: Catalogue) -> dict[str, str]:
    said = catalogue.text(each.said)
    return {"severity": each.severity.value, "sentence": said, "field": each.field}


def _listed(found: tuple[HouseLayout, ...], catalogue: Catalogue) -> tuple[Any, list[str]]:
    lines = [catalogue.text(_line(each)) for each in found]
    return [_data(each) for each in found], lines or [catalogue.text("command.layout.nothing")]


def _line(layout: HouseLayout) -> Message:
    return message(f"layouts.state.{_state(layout)}", stock=layout.stock, number=layout.number)


def _data(layout: HouseLayout) -> dict[str, Any]:
    return {"stock": layout.stock, "version": layout.number, "state": _state(layout)}


def _state(layout: HouseLayout) -> str:
    if layout.is_draft:
        return "draft"
    return "in_use" if layout.in_use else "ended"


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = str(error)
        raise Refusal(message("formula.file.unreadable", path=str(path), why=why)) from error
