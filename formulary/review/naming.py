"""Names that mislead: a form or salt left open, a title that promises what isn't in it, doubles."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from formulary.calculating.tables import table
from formulary.finding import Finding
from formulary.formula.content import Form, Line, Role
from formulary.review.case import Case, Part
from formulary.review.rule import Rule, cited, note, reason, standard
from formulary.review.substances import folded, is_called, rows_for
from formulary.stock.lot import Source

_NAMED_FORMS = (
    Form.CREAM,
    Form.OINTMENT,
    Form.PASTE,
    Form.GEL,
    Form.LOTION,
    Form.SYRUP,
    Form.SUSPENSION,
    Form.CAPSULES,
    Form.SUPPOSITORIES,
    Form.PESSARIES,
    Form.LINIMENT,
)
_SHORTEST = 5
_NEAR = 2


def salt_or_hydrate(case: Case) -> Iterator[Finding]:
    """Find a substance that comes as several salts or hydrates, and none is named."""
    for part in case.parts:
        said = folded(" ".join((*part.names, part.line.grade)))
        for row in rows_for("salts-and-hydrates", part.names):
            if not any(word in said.split() for word in row["words"]):
                find = reason if part.line.role is Role.ACTIVE else note
                forms = ", ".join(row["words"])
                yield find("form_open", part.field, cited(row), ingredient=part.name, forms=forms)


def source_changed(case: Case) -> Iterator[Finding]:
    """Find an ingredient that comes from another kind of source than in the version before."""
    if case.facts.before is None:
        return
    now = {part.record.id for part in case.parts if part.record is not None}
    for part in case.parts:
        for line in case.facts.before.lines:
            old = case.facts.record_of(line)
            if old is None or part.record is None or old.id in now:
                continue
            other = old.source is not part.record.source or old.strength != part.record.strength
            if other and _first_word(line) == _first_word(part.line):
                yield reason(
                    "source_changed",
                    part.field,
                    standard("sources"),
                    ingredient=part.name,
                    before=line.ingredient,
                )


def _first_word(line: Line) -> str:
    return folded(line.ingredient).partition(" ")[0]


def misleading(case: Case) -> Iterator[Finding]:
    """Find a title of another dosage form, or of a substance that isn't in the formula."""
    words = folded(case.content.title).split()
    for form in _NAMED_FORMS:
        if _is_titled(form, words) and not _is_titled(case.content.form, words):
            yield reason("title_form", "form", form=form.value, own=case.content.form.value)
            break
    for each in case.facts.ingredients:
        # A base or an intermediate is what such a formula makes.
        bought = each.source not in (Source.BASE, Source.INTERMEDIATE)
        if bought and _is_in_title(each.name, words) and not _is_inside(each.name, case):
            yield reason("title_substance", "title", ingredient=each.name)
            break


def _is_titled(form: Form, words: list[str]) -> bool:
    return form.value in words or form.value.removesuffix("s") in words


def _is_in_title(name: str, words: list[str]) -> bool:
    """Tell whether a title begins with a substance's name, without its qualifiers."""
    plain = folded(name.partition(",")[0]).split()
    return len(plain[0]) >= _SHORTEST and words[: len(plain)] == plain


def _is_inside(name: str, case: Case) -> bool:
    plain = folded(name.partition(",")[0])
    if any(is_called(part.names, plain) for part in case.parts):
        return True
    inner = [made for part in case.parts if (made := case.facts.made_of(part)) is not None]
    lines = [line for content in inner for line in content.lines]
    return any(is_called((folded(each.ingredient),), plain) for each in lines)


def look_alike(case: Case) -> Iterator[Finding]:
    """Find names that are taken for one another: by a table, on the shelf, among the titles."""
    for part in case.parts:
        twin = _in_table(part) or _on_shelf(part, case)
        if twin:
            yield note("look_alike", part.field, standard("look_alike"), one=part.name, other=twin)
    own = folded(case.content.title)
    for title in case.facts.titles_from(own[:1]):
        if _is_near(own, folded(title)):
            yield note("title_look_alike", "title", standard("look_alike"), other=title)


def _in_table(part: Part) -> str:
    for row in table("look-alike-names"):
        for one, other in ((row["a"], row["b"]), (row["b"], row["a"])):
            if is_called((folded(part.name),), one):
                return str(other)
    return ""


def _on_shelf(part: Part, case: Case) -> str:
    """Return another record whose name differs from a part's by a qualifier or a letter or two."""
    own = folded(part.name)
    for each in case.facts.ingredients:
        other = folded(each.name)
        if part.record is not None and each.id == part.record.id:
            continue
        if _base(own) == _base(other) or (len(own) >= _SHORTEST and _is_near(own, other)):
            return each.name
    return ""


def _base(name: str) -> str:
    """Return a name without its figures and the words that tell kinds of one thing apart."""
    words = (word for word in name.split() if not word[0].isdigit() and word not in _APART)
    return " ".join(words)


_APART = ("%", "light", "heavy", "white", "yellow", "anhydrous", "monohydrate", "dilute")


@lru_cache(maxsize=1 << 15)
def _is_near(one: str, other: str) -> bool:
    """Tell whether one becomes the other by two letters at most, the first being the same."""
    if one == other or one[:1] != other[:1] or abs(len(one) - len(other)) > _NEAR:
        return False
    before = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, its in enumerate(other, 1):
            row.append(min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != its)))
        if min(row) > _NEAR:
            return False
        before = row
    return before[-1] <= _NEAR


RULES = (
    Rule("salt_or_hydrate", salt_or_hydrate),
    Rule("source_changed", source_changed),
    Rule("misleading_name", misleading),
    Rule("look_alike", look_alike),
)
