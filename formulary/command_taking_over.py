"""``misce import`` of a folder or a table with its preview, and ``misce export --formulas``."""

from __future__ import annotations

from argparse import Namespace
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from formulary.catalogue import Catalogue
from formulary.command_desk import Answer, acting_desk, catalogue_of, reading_desk
from formulary.command_writing import whole_folder, write_bytes
from formulary.errors import Refusal, WrongUsage
from formulary.exchange.formula_folder import read_folder, write_folder
from formulary.exchange.table_file import read_table, template
from formulary.messages import message
from formulary.records.files import told_of_files
from formulary.taking_over import NO_LINE, Fate, Fated, details, is_sound
from formulary.verbs.all_or_nothing import Keep, only_look
from formulary.verbs.take_over_formulas import house_formulas, take_over_formulas
from formulary.verbs.take_over_tables import INGREDIENTS, LOTS, TableSort


def export_formulas(options: Namespace) -> Answer:
    """Write the current version of each formula of the house into a new folder."""
    if not options.out:
        raise WrongUsage(message("command.carry.no_folder"))
    folder = Path(options.out)
    if folder.exists():
        raise Refusal(message("command.carry.folder_there", place=str(folder)))
    with reading_desk(options) as desk:
        contents = [*house_formulas(desk.store)]
        catalogue = catalogue_of(desk)
    with told_of_files(folder), whole_folder(folder) as made:
        write_folder(contents, made)
    said = message("command.export.formulas", n=len(contents), place=str(folder))
    data = {"folder": str(folder), "formulas": [each.code for each in contents]}
    return Answer(data, [catalogue.text(said)])


def import_folder(options: Namespace) -> Answer:
    """Keep each formula file of a folder as a draft, or say what would become of it."""
    files = read_folder(Path(options.file))
    with acting_desk(options) as desk:
        fates = take_over_formulas(desk, files, options.reason, _keep(options))
        return _answer(fates, options, catalogue_of(desk))


def import_table(options: Namespace) -> Answer:
    """Take a table of ingredients or lots over, or say what would become of each row."""
    table = _table(options)
    with acting_desk(options) as desk:
        sign = desk.house.decimal_sign
        rows = read_table(Path(options.file), table.columns, table.called_by, sign)
        return _answer(table.take(desk, rows, _keep(options)), options, catalogue_of(desk))


def write_template(options: Namespace) -> Answer:
    """Write an empty table with the names of the columns, to be filled in a spreadsheet."""
    out = Path(options.template)
    if out.exists():
        raise Refusal(message("command.carry.folder_there", place=str(out)))
    write_bytes(template(_table(options).columns, out.name), out)
    said = message("command.import.template", out=str(out))
    return Answer({"out": str(out)}, [Catalogue().text(said)])


def _table(options: Namespace) -> TableSort:
    if options.ingredients:
        return INGREDIENTS
    if options.lots:
        return LOTS
    raise WrongUsage(message("command.import.which_table"))


def _keep(options: Namespace) -> Keep:
    return only_look if options.look else is_sound


def _answer(fates: Sequence[Fated], options: Namespace, catalogue: Catalogue) -> Answer:
    """Return each row's fate, and what became of them all; refused rows are a refusal."""
    kept = is_sound(fates) and not options.look
    data = {"kept": kept, "rows": [_row(each, catalogue) for each in fates]}
    said = [line for each in fates for line in _said(each, catalogue)]
    counted = Counter(each.fate.value for each in fates)
    counts = {each.value: counted[each.value] for each in Fate}
    key = "looked" if options.look else "kept" if kept else "nothing"
    said += [catalogue.text(message(f"exchange.taken.{key}", **counts))]
    return Answer(data, said, 0 if is_sound(fates) else Refusal.exit_code)


def _row(each: Fated, catalogue: Catalogue) -> dict[str, Any]:
    return {
        "name": each.name,
        "line": each.line,
        "fate": each.fate.value,
        "changes": [
            {"field": change.field, "before": change.before, "after": change.after}
            for change in each.changes
        ],
        "doubts": [catalogue.text(doubt) for doubt in each.doubts],
        "field": each.field,
        "trouble": "" if each.trouble is None else catalogue.text(each.trouble),
    }


def _said(each: Fated, catalogue: Catalogue) -> Iterator[str]:
    fate = message(f"exchange.fate.{each.fate.value}")
    key = "row" if each.line == NO_LINE else "row_at"
    line = {} if each.line == NO_LINE else {"line": each.line}
    yield catalogue.text(message(f"exchange.taken.{key}", name=each.name, fate=fate, **line))
    for said in details(each):
        yield "    " + catalogue.text(said)
