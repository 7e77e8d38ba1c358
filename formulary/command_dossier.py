"""``misce dossier``: what is kept with a formula, a file to add to it, or one to give back."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_writing import write_bytes
from formulary.desk import Desk
from formulary.dossier import DossierItem, DossierKind
from formulary.errors import NotFound, Refusal
from formulary.messages import message
from formulary.verbs.keep_dossier import dossier_file, dossier_of, keep_dossier
from formulary.verbs.look_up import formula_named


def asked(desk: Desk, options: Namespace, catalogue: Catalogue) -> tuple[Any, list[str]]:
    """Return the dossier as data and as lines, after keeping a file or writing one."""
    formula = formula_named(desk.store, options.formula)
    if options.add:
        path = Path(options.add)
        kind = DossierKind(options.kind)
        keep_dossier(desk, formula.id, kind, options.title, path.name, _read(path))
    items = dossier_of(desk.store, formula.id)
    if options.save is not None:
        return _saved(desk, items, options, catalogue)
    lines = [
        catalogue.text(message("command.dossier.line", number=number, said=each.said))
        for number, each in enumerate(items, start=1)
    ]
    return [_data(each) for each in items], lines or [catalogue.text("command.dossier.nothing")]


def _saved(
    desk: Desk, items: Sequence[DossierItem], options: Namespace, catalogue: Catalogue
) -> tuple[Any, list[str]]:
    if not 1 <= options.save <= len(items):
        raise NotFound(message("command.dossier.no_number", number=options.save))
    item = items[options.save - 1]
    data = dossier_file(desk.store, item)
    out = Path(options.out or (item.file.name if item.file else item.id))
    write_bytes(data, out)
    said = message("command.dossier.saved", title=item.title, out=str(out))
    return {"title": item.title, "out": str(out)}, [catalogue.text(said)]


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        why = error.strerror or ""
        raise Refusal(message("formula.file.unreadable", path=str(path), why=why)) from error


def _data(each: DossierItem) -> dict[str, Any]:
    return {
        "kind": each.part.value,
        "title": each.title,
        "version": each.version_number,
        "person": each.person,
        "at": each.at.isoformat(),
        "file": None if each.file is None else each.file.name,
        "sha256": None if each.file is None else each.file.sha256,
    }
