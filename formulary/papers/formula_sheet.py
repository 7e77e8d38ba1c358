"""The formula sheet as an inspector reads it: what is made of what and how, and who says so."""

from __future__ import annotations

from collections.abc import Iterator

from formulary.canonical import content_hash
from formulary.finding import Finding
from formulary.formula.difference import Change, stated
from formulary.formula.justifying import HIGH_RISK
from formulary.formula.version import Version
from formulary.labels.page import Page
from formulary.messages import message
from formulary.papers.blocks import Block, Strip, Text, bold, heading, line, row, small
from formulary.papers.facts import finding_said
from formulary.papers.formula_parts import composition, method, tests
from formulary.papers.formula_subject import FormulaSubject
from formulary.papers.kept_part import calculations
from formulary.papers.paging import paged
from formulary.papers.paper_head import About, paper_head
from formulary.papers.specimen_part import label_fields
from formulary.papers.words import Words, words_of
from formulary.quantity.writing import held_together
from formulary.review.overriding import Overriding

_FACT_MM = (52.0, 128.0)
_KEEPING = ("container", "storage", "shelf_life", "water", "preservation", "evidence")
_GROUPS = {"keeping": _KEEPING, "label": ("label",)}
_HASH_SHOWN = 16


def formula_sheet(subject: FormulaSubject) -> tuple[Page, ...]:
    """Return the pages, A4. Raises Refusal for a sign that the fonts don't have."""
    words, version = words_of(subject.house), subject.version
    about = About(
        paper=words("sheet.paper"),
        title=version.content.title,
        version=words("head.version", code=version.content.code, number=version.number),
        no_lot=words("sheet.any_lot"),
        stamps=subject.stamps,
    )
    return paged(_parts(subject, words), paper_head(subject.house, about, subject.printed))


def _parts(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    content = subject.version.content
    fields = stated(content, subject.house.decimal_sign)
    yield from _standing(subject, words)
    yield from _facts("about", [each for each in fields if not _group(each)], words)
    yield from composition(content, words)
    yield from method(content, words)
    yield from tests(content, words)
    for group in _GROUPS:
        yield from _facts(group, [each for each in fields if _group(each) == group], words)
    yield from _lasting(subject, words)
    yield from _review(subject, words)
    yield from calculations(subject, words)
    yield from _dossier(subject, words)
    yield from _versions(subject, words)


def _group(field: Change) -> str:
    """Return which part of the sheet a field belongs to, an empty one for the first."""
    table = field.place.key.removeprefix("difference.field.").partition(".")[0]
    return next((group for group, tables in _GROUPS.items() if table in tables), "")


def _standing(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    """Yield where the version stands, who wrote it and who approved it."""
    version = subject.version
    facts = [
        (words("sheet.state"), words.text(message(f"formula.state.{version.state.name.lower()}"))),
        *((words(f"sheet.{part}"), said) for part, said in _signed(subject, version, words)),
        (words("sheet.content_hash"), content_hash(version.content)[:_HASH_SHOWN]),
    ]
    if subject.due is not None:
        facts.append((words("sheet.review_due"), words.written(subject.due.due)))
    risk = version.content.risk
    if risk is not None:
        facts.append((words("sheet.risk"), words("sheet.score", score=risk.score, most=HIGH_RISK)))
    facts += [(words("sheet.read"), words.text(each)) for each in subject.read]
    for name, said in facts:
        yield Block((_fact(name, said),))


def _fact(name: str, said: str) -> Strip:
    return row(_FACT_MM, (small(name), Text(held_together(said))))


def _facts(group: str, fields: list[Change], words: Words) -> Iterator[Block]:
    head = (heading(words(f"sheet.{group}")),)
    for each in fields:
        said = each.after if isinstance(each.after, str) else words.text(each.after)
        yield Block((_fact(words.text(each.place), said),), head)


def _lasting(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    """Yield the date by rule: every limit, what binds and the working."""
    lasts = subject.lasts
    if lasts is None:
        return
    head = (heading(words("sheet.lasting")),)
    for step in lasts.working.steps:
        yield Block((line(Text(words.text(step))),), head)
    for limit in lasts.candidates:
        if limit.source is not None:
            cited = words("sheet.cited", limit=limit.said, source=limit.source)
            yield Block((line(small(cited)),), head)
    for finding in lasts.findings:
        yield Block((line(bold(finding_said(finding, words))),), head)


def _review(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    """Yield the findings with their citations and the reasons that let them stand."""
    head = (heading(words("sheet.review")),)
    if not subject.reviewed.findings:
        yield Block((line(Text(words("sheet.no_findings"))),), head)
    for finding in subject.reviewed.findings:
        said = [Text(finding_said(finding, words))]
        if finding.source is not None:
            said.append(small(words.text(finding.source)))
        said += [_given(each, words) for each in _reasons(subject, finding)]
        yield Block((line(*said, above_mm=1.0),), head)
    for finding in subject.reviewed.silenced:
        said = [Text(words("sheet.silenced", said=finding.said))]
        said += [_given(each, words) for each in _reasons(subject, finding)]
        yield Block((line(*said, above_mm=1.0),), head)
    yield from _past_reasons(subject, head, words)


def _reasons(subject: FormulaSubject, finding: Finding) -> tuple[Overriding, ...]:
    return tuple(each for each in subject.reviewed.overridings if each.is_of(finding))


def _given(each: Overriding, words: Words) -> Text:
    by = words.signed(each.signature.person, each.signature.at)
    return bold(words("review.given", reason=each.reason, by=by))


def _past_reasons(
    subject: FormulaSubject, head: tuple[Strip, ...], words: Words
) -> Iterator[Block]:
    """Yield the reasons given for what the review doesn't say any more."""
    known = (*subject.reviewed.findings, *subject.reviewed.silenced)
    for each in subject.reviewed.overridings:
        if not any(each.is_of(finding) for finding in known):
            said = Text(words("sheet.no_longer", said=each.said))
            yield Block((line(said, _given(each, words), above_mm=1.0),), head)


def _dossier(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    """Yield what is kept with the formula, and what the sample label of this version says."""
    head = (heading(words("sheet.dossier")),)
    for each in subject.dossier:
        said = words.text(each.said)
        if each.file is not None:
            digest = each.file.sha256[:_HASH_SHOWN]
            filed = message("dossier.with_file", one=said, name=each.file.name, hash=digest)
            said = words.text(filed)
        yield Block((line(Text(said), above_mm=0.8),), head)
        if each.label and each.version_number == subject.version.number:
            fields = label_fields(each.label, words)
            yield Block((line(*(small(said) for said in fields), indent_mm=4.0),), head)


def _versions(subject: FormulaSubject, words: Words) -> Iterator[Block]:
    head = (heading(words("sheet.versions")),)
    for version in reversed(subject.versions):
        state = message(f"formula.state.{version.state.name.lower()}")
        texts = [bold(words("sheet.version", number=version.number, state=state))]
        texts += [Text(version.reason)] if version.reason else []
        for part, said in _signed(subject, version, words):
            texts.append(small(words("sheet.by", part=words(f"sheet.{part}"), by=said)))
        yield Block((line(*texts, above_mm=1.0),), head)


def _signed(subject: FormulaSubject, version: Version, words: Words) -> Iterator[tuple[str, str]]:
    """Yield who wrote a version and who put it in use, with the moment."""
    writers = dict.fromkeys((*version.earlier_author_ids, version.author_id))
    written = ", ".join(subject.names.get(each, each) for each in writers if each)
    approved = subject.names.get(version.approver_id, version.approver_id)
    for part, who, at in (
        ("written_by", written, version.written_at),
        ("approved_by", approved, version.approved_at),
    ):
        if who:
            yield part, words.signed(who, at) if at else who
