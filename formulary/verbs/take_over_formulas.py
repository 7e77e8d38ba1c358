"""Take the formulas of a folder over as drafts; and which ones a house has to give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from formulary.desk import Desk
from formulary.errors import BadText
from formulary.formula.completing import completed
from formulary.formula.content import Content
from formulary.formula.fields_of import fields_of
from formulary.formula.version import Formula, State
from formulary.ingredient import Ingredient
from formulary.messages import message
from formulary.store import Reading
from formulary.taking_over import Fate, Fated, FormulaFile, changes_between, is_sound
from formulary.verbs.all_or_nothing import Keep, all_or_nothing
from formulary.verbs.look_up import current_version
from formulary.verbs.write_version import write_version

_PAGE = 200


def house_formulas(store: Reading) -> Iterator[Content]:
    """Yield the current version of each formula of the house; withdrawn ones aren't current.

    What was composed for one patient isn't the house's.
    """
    start = 0
    while hits := store.find_formulas("", _PAGE, start):
        start += len(hits)
        for hit in hits:
            version = current_version(store, hit.formula_id)
            if version.state is not State.WITHDRAWN and not version.order_id:
                yield version.content


def take_over_formulas(
    desk: Desk, files: Sequence[FormulaFile], reason: str = "", keep: Keep = is_sound
) -> tuple[Fated, ...]:
    """Keep each file's formula as a draft, all of them or none, and return their fates.

    One that says what its newest version says, or the current one that a house gives out, stays as
    it is.
    """
    desk.may("write_version")
    seen: dict[str, str] = {}

    def take(there: Desk, file: FormulaFile) -> Fated:
        content = _read(file)
        _refuse_twice(seen, content.code, file.name)
        return _written(there, content, file, reason)

    return all_or_nothing(desk, files, take, keep)


def _read(file: FormulaFile) -> Content:
    if file.content is None:
        raise file.trouble or BadText(message("formula.file.not_text"))
    return file.content


def _refuse_twice(seen: dict[str, str], code: str, name: str) -> None:
    earlier = seen.setdefault(code.casefold(), name)
    if earlier != name:
        raise BadText(message("exchange.folder.twice", code=code, file=earlier), field="code")


def _written(desk: Desk, content: Content, file: FormulaFile, reason: str) -> Fated:
    known = _known(desk.store, content.code)
    if known is None:
        write_version(desk, content)
        return Fated(file.name, Fate.NEW)
    newest = desk.store.versions(known.id)[-1]
    there = (newest, current_version(desk.store, known.id))
    after = fields_of(completed(content, desk.store.every(Ingredient)))
    if any(fields_of(each.content) == after for each in there):
        return Fated(file.name, Fate.UNCHANGED)
    version = write_version(desk, content, formula_id=known.id, reason=reason)
    numbers = {"version": str(newest.number)}, {"version": str(version.number)}
    return Fated(file.name, Fate.CHANGED, changes=changes_between(*numbers))


def _known(store: Reading, code: str) -> Formula | None:
    named = store.formulas_named(code)
    return next((each for each in named if each.code.casefold() == code.casefold()), None)
