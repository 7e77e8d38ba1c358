"""A formula set like a monograph, as the HTML that Qt's text documents know."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.formula.content import Content, Line, MethodStep
from formulary.formula.filled_into import displacement_said, filled_into_said
from formulary.formula.keeping import shelf_life_said, storage_said
from formulary.formula.kind_text import said
from formulary.formula.kinds import ToEndPoint, ToFill, ToTotal
from formulary.formula.version import Version
from formulary.messages import Parameter, message
from formulary.quantity.writing import NO_BREAK_SPACE, held_together
from formulary.review.overriding import Overriding
from formulary.scaling.balance_sheet import balance_sheet
from formulary.shelf_life.dating import listed_as
from ui import theme
from ui.forms.kept_calculations import html_of
from ui.formulas.lasting_html import lasting_html
from ui.formulas.reading import Shown
from ui.widgets.figure import taken_apart

AREA = "ui_formulas.leaf"
GAP_POINTS = 4
_BEFORE_FIGURE = re.compile(r" (?=[0-9])")


KEEP_FILE = "dossier:keep"
"""The link that asks for a file to keep with the formula."""


class LeafWriter:
    """Writes one formula in one language; each method gives the lines of one part."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue

    def html(self, shown: Shown) -> str:
        """Return the whole leaf."""
        content = shown.content
        parts = (
            self._head(shown),
            self._keeping(shown),
            self._composition(shown),
            self._method(content),
            self._tests(content),
            self._facts(content),
            self._label(content),
            self._notes(content),
            lasting_html(self._catalogue, shown),
            self._review(shown),
            self._kept(shown),
            self._dossier(shown),
            self._versions(shown),
        )
        return "".join(line for part in parts for line in part)

    def _text(self, key: str, **parameters: Parameter) -> str:
        return _escaped(self._catalogue.text(message(f"{AREA}.{key}", **parameters)))

    def _word(self, key: str) -> str:
        return _escaped(self._catalogue.text(key))

    def _head(self, shown: Shown) -> Iterator[str]:
        content = shown.content
        title = _escaped(content.title) or self._text("untitled")
        yield f"<p class='title'>{title}</p>"
        if content.latin:
            yield f"<p class='quiet'><i>{_escaped(content.latin)}</i></p>"
        facts = [
            _escaped(content.code),
            *(
                self._word(f"formula.{name}.{value.name.lower()}")
                for name, value in (("form", content.form), ("route", content.route))
                if name not in shown.unread
            ),
            self._state(shown),
        ]
        yield f"<p class='quiet'>{' · '.join(each for each in facts if each)}</p>"
        if shown.review is not None and shown.overdue:
            yield f"<p class='thought'>{self._text('overdue', day=shown.review.due)}</p>"
        newest = shown.newest
        if newest is not None and newest is not shown.version:
            state = message(f"formula.state.{newest.state.name.lower()}")
            yield self._quiet("newer", number=newest.number, state=state)
        if content.synonyms:
            names = _escaped(", ".join(content.synonyms))
            yield f"<p class='note'>{self._text('synonyms')} {names}</p>"

    def _state(self, shown: Shown) -> str:
        if shown.version is None:
            return self._text("unconfirmed")
        state = message(f"formula.state.{shown.version.state.name.lower()}")
        return self._text("version", number=shown.version.number, state=state)

    def _keeping(self, shown: Shown) -> Iterator[str]:
        content, life = shown.content, shown.content.shelf_life
        kept = ", ".join(self._catalogue.text(each) for each in storage_said(content.storage))
        otherwise = None
        if life is not None and shown.lasts is not None:
            otherwise = listed_as(shown.lasts, life.unopened)
        lasts = self._catalogue.text(otherwise or shelf_life_said(life))
        yield f"<h2>{self._text('keeping')}</h2>"
        yield f"<p class='keeping'>{_sentence(kept)}. {_sentence(lasts)}.</p>"
        reasons = [life.reason, life.reference] if life is not None else []
        if any(reasons):
            yield f"<p class='note'>{_escaped('; '.join(filter(None, reasons)))}</p>"

    def _composition(self, shown: Shown) -> Iterator[str]:
        content = shown.content
        yield f"<h2>{self._text('composition')}</h2>"
        yield "<table class='figures' cellspacing='0' cellpadding='0' width='100%'>"
        for position, line in enumerate(content.lines):
            place = f"ingredient.{position}"
            yield self._line(line, {"quantity", "role"} & _inside(place, shown.unread))
        if shown.adds_up:
            yield from self._total(content)
        # Qt gives a heading no margin after a table.
        yield f"</table><p style='font-size:{GAP_POINTS}pt'>&nbsp;</p>"
        for said_of_it in filled_into_said(content):
            yield f"<p class='note'>{_escaped(self._catalogue.text(said_of_it))}</p>"

    def _line(self, line: Line, unread: set[str]) -> str:
        quantity = "" if "quantity" in unread else self._catalogue.text(said(line.quantity))
        figure = taken_apart(quantity)
        fills_up = bool(quantity) and isinstance(line.quantity, ToTotal | ToEndPoint | ToFill)
        role = "" if "role" in unread else self._word(f"formula.role.{line.role.name.lower()}")
        grade = f" <span class='note'>{_escaped(line.grade)}</span>" if line.grade else ""
        mark = "&nbsp;".join(filter(None, (role, _escaped(line.phase))))
        name = f"{_escaped(line.ingredient)}{grade}"
        if isinstance(line.quantity, ToEndPoint) or not figure.whole:
            row = _row_of_words(name, quantity, mark, italic=fills_up)
        else:
            whole = f"{_escaped(figure.before)}{figure.whole}"
            unit = _escaped(figure.unit).replace(" ", "&nbsp;")
            row = _row((name, whole, figure.decimals, unit, mark), italic=fills_up)
        said_of_it = map(self._catalogue.text, displacement_said(line.displacement))
        return row + "".join(map(_note_row, filter(None, (line.note, *said_of_it))))

    def _total(self, content: Content) -> Iterator[str]:
        sheet = balance_sheet(content)
        total = sheet.total or sheet.sum
        if total is not None:
            figure = taken_apart(self._catalogue.written(total))
            cells = (self._text("total"), figure.whole, figure.decimals, _escaped(figure.unit), "")
            yield f"<tr><td colspan='5'><hr color='{theme.colours().edge}'></td></tr>{_row(cells)}"
        for finding in sheet.findings:
            word = self._word(f"ui.severity.{finding.severity.name.lower()}")
            sentence = _escaped(self._catalogue.text(finding.said))
            yield f"<tr><td colspan='5' class='stop'>{word}: {sentence}</td></tr>"

    def _method(self, content: Content) -> Iterator[str]:
        if not content.steps:
            return
        yield f"<h2>{self._text('method')}</h2>"
        names = {phase.code: phase.name for phase in content.phases}
        before = None
        for number, step in enumerate(content.steps, 1):
            if names and step.phase != before:
                yield self._phase(step.phase, names)
                before = step.phase
            yield self._step(number, step)

    def _phase(self, code: str, names: dict[str, str]) -> str:
        if not code:
            return f"<p class='phase'>{self._text('joined')}</p>"
        return f"<p class='phase'>{_escaped(code)} – {_escaped(names.get(code, ''))}</p>"

    def _step(self, number: int, step: MethodStep) -> str:
        facts = (step.temperature, step.time, step.speed, step.equipment)
        quiet = _escaped("; ".join(filter(None, facts)))
        look = f"{self._text('look_for')} {_escaped(step.look_for)}" if step.look_for else ""
        notes = "<br>".join(filter(None, (quiet, look)))
        note = f"<br><span class='note'>{notes}</span>" if notes else ""
        return (
            "<table cellspacing='0' cellpadding='2'><tr>"
            f"<td class='number'>{number}.&nbsp;</td>"
            f"<td>{_escaped(step.text)}{note}</td></tr></table>"
        )

    def _tests(self, content: Content) -> Iterator[str]:
        if content.tests:
            yield f"<h2>{self._text('tests')}</h2>"
            for test in content.tests:
                when = f" <span class='note'>({_escaped(test.when)})</span>"
                yield f"<p>{_escaped(test.name)}: {_escaped(test.limits)}{when}</p>"

    def _facts(self, content: Content) -> Iterator[str]:
        if content.container is not None:
            light = f", {self._text('from_light')}" if content.container.protect_from_light else ""
            yield f"<h2>{self._text('container')}</h2>"
            yield f"<p>{_escaped(content.container.text)}{light}</p>"
        limits = content.batch
        if limits.smallest is not None and limits.largest is not None:
            yield self._quiet("batch", smallest=limits.smallest, largest=limits.largest)
        elif limits.smallest is not None:
            yield self._quiet("batch_smallest", smallest=limits.smallest)
        elif limits.largest is not None:
            yield self._quiet("batch_largest", largest=limits.largest)

    def _quiet(self, key: str, **parameters: Parameter) -> str:
        return f"<p class='note'>{self._text(key, **parameters)}</p>"

    def _label(self, content: Content) -> Iterator[str]:
        label = content.label
        warnings = [self._word(f"label.warning.{code}") for code in label.warnings]
        lines = [_escaped(label.name), _escaped(label.strength), _escaped(label.directions)]
        lines += [*warnings, *map(escape, label.extra)]
        if any(lines):
            yield f"<h2>{self._text('label')}</h2>"
            yield from (f"<p>{line}</p>" for line in lines if line)

    def _notes(self, content: Content) -> Iterator[str]:
        for key in ("purpose", "marketed", "cautions", "source"):
            if text := getattr(content, key):
                yield f"<h2>{self._text(key)}</h2><p>{_escaped(text)}</p>"

    def _review(self, shown: Shown) -> Iterator[str]:
        """Yield what the review finds, the loudest first, and the reasons that let it stand."""
        found = shown.reviewed
        if found is None or not found.findings:
            return
        yield f"<h2>{self._text('review')}</h2>"
        for finding in found.findings:
            word = self._word(f"ui.severity.{finding.severity.name.lower()}")
            sentence = escape(self._catalogue.text(finding.said))
            style = {Severity.STOP: "stop", Severity.NOTE: "note"}.get(finding.severity, "")
            yield f"<p class='{style}'>{word}: {sentence}</p>"
            for given in found.overridings:
                if given.is_of(finding):
                    yield self._reason(given)

    def _reason(self, given: Overriding) -> str:
        by = given.signature
        said = message("review.as_given", reason=given.reason, person=by.person, date=by.at.date())
        return f"<p class='note'>{escape(self._catalogue.text(said))}</p>"

    def _kept(self, shown: Shown) -> Iterator[str]:
        if shown.kept:
            yield f"<h2>{self._word('ui_forms.kept.name')}</h2>"
        yield from (f"<p>{html_of(each, self._catalogue)}</p>" for each in shown.kept)

    def _dossier(self, shown: Shown) -> Iterator[str]:
        """Yield the files kept with the formula, and the way to keep one more."""
        yield f"<h2>{self._text('dossier')}</h2>"
        yield from (f"<p>{escape(self._catalogue.text(each.said))}</p>" for each in shown.dossier)
        yield f"<p><a href='{KEEP_FILE}'>{escape(self._text('keep_file'))}</a></p>"

    def _versions(self, shown: Shown) -> Iterator[str]:
        if shown.versions:
            yield f"<h2>{self._text('versions')}</h2>"
        for version in reversed(shown.versions):
            state = self._word(f"formula.state.{version.state.name.lower()}")
            facts = "; ".join(filter(None, (state, *self._signed(version, shown))))
            reason = f": {_escaped(version.reason)}" if version.reason else ""
            yield f"<p>{version.number} <span class='note'>({facts})</span>{reason}</p>"
        if shown.review is not None and not shown.overdue:
            yield self._quiet("review_due", day=shown.review.due)
        for each in shown.read:
            yield f"<p class='note'>{escape(self._catalogue.text(each))}</p>"

    def _signed(self, version: Version, shown: Shown) -> Iterator[str]:
        """Yield who wrote a version and who put it in use, each with the day."""
        writers = (*version.earlier_author_ids, version.author_id)
        people = ", ".join(filter(None, (shown.people.get(each, "") for each in writers)))
        for part, names, moment in (
            ("written_by", people, version.written_at),
            ("approved_by", shown.people.get(version.approver_id, ""), version.approved_at),
        ):
            if names:
                day = self._catalogue.written(moment.date()) if moment else ""
                yield self._text(part, people=names, day=day)


def style() -> str:
    """Return the style of the leaf in the palette and at the size of the moment."""
    colours = theme.colours()
    sizes = {size.name: f"{size.value * theme.factor():g}pt" for size in theme.Size}
    gap = theme.px(16)
    return f"""
    p {{ margin: 0 0 {theme.px(4)}px 0; }}
    .title {{ font-size: {sizes["TITLE"]}; }}
    h2 {{ font-size: {sizes["HEADING"]}; font-weight: 600;
          margin: {gap}px 0 {theme.px(4)}px 0; }}
    .quiet, .number, .role, .unit {{ color: {colours.quiet}; }}
    .note {{ color: {colours.quiet}; font-size: {sizes["NOTE"]}; }}
    .keeping {{ font-size: {sizes["HEADING"]}; }}
    .phase {{ font-weight: 600; margin-top: {theme.px(8)}px; }}
    .stop {{ color: {colours.stop}; }}
    .thought {{ color: {colours.thought}; }}
    .side {{ padding: {theme.px(4)}px {theme.px(8)}px {theme.px(4)}px 0; }}
    """


def _row(cells: tuple[str, str, str, str, str], *, italic: bool = False) -> str:
    name, whole, decimals, unit, mark = (f"<i>{each}</i>" if italic else each for each in cells)
    gap = theme.px(4)
    # A cell that wrapped would set the decimals beside another line than their whole number.
    figure = f"style='padding:{gap}px 0; white-space:nowrap'"
    return (
        f"<tr><td width='43%' style='padding:{gap}px 0'>{name}</td>"
        f"<td width='13%' align='right' {figure}>{whole}</td>"
        f"<td width='7%' {figure}>{decimals}</td>"
        f"<td width='14%' class='unit' style='padding:{gap}px; white-space:nowrap'>{unit}</td>"
        f"<td width='23%' class='role' align='right' style='padding:{gap}px 0'>{mark}</td></tr>"
    )


def _row_of_words(name: str, words: str, mark: str, *, italic: bool) -> str:
    """Return a row whose quantity has no figure of its own: no number in it is taken apart."""
    held = _escaped(_BEFORE_FIGURE.sub(NO_BREAK_SPACE, words))
    name, words, mark = (f"<i>{each}</i>" if italic else each for each in (name, held, mark))
    padding = f"style='padding:{theme.px(4)}px 0'"
    return (
        f"<tr><td {padding}>{name}</td><td colspan='3' {padding}>{words}</td>"
        f"<td class='role' align='right' {padding}>{mark}</td></tr>"
    )


def _inside(place: str, unread: frozenset[str]) -> set[str]:
    """Return what wasn't read of a row, by the names of its fields."""
    return {each.removeprefix(f"{place}.") for each in unread if each.startswith(f"{place}.")}


def _note_row(note: str) -> str:
    return f"<tr><td colspan='5' class='note'>{_escaped(note)}</td></tr>"


def _sentence(text: str) -> str:
    return _escaped(text[:1].upper() + text[1:])


def _escaped(text: str) -> str:
    """Return a text as HTML in which no figure parts from its unit at the end of a line."""
    return escape(held_together(text))
