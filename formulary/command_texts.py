"""The command line's answers as lines for people; figures aligned, working under its figure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from formulary.catalogue import Catalogue
from formulary.finding import Finding
from formulary.formula.content import Content, ShelfLife, Storage
from formulary.formula.keeping import shelf_life_said, storage_said
from formulary.formula.kind_text import said
from formulary.formula.version import Version
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from formulary.people import Post
from formulary.scaling.plan import Plan, PlannedLine


def storage(kept: Storage | None, catalogue: Catalogue) -> str:
    """Return how something is kept, in one line."""
    return ", ".join(catalogue.text(each) for each in storage_said(kept))


def shelf_life(lasts: ShelfLife | None, catalogue: Catalogue) -> str:
    """Return how long something lasts, in one line."""
    return catalogue.text(shelf_life_said(lasts))


def hits(rows: Sequence[Mapping[str, str]], catalogue: Catalogue) -> list[str]:
    """Return two lines for each formula found: what it is, and how it is kept."""
    if not rows:
        return [catalogue.text("command.find.nothing")]
    lines = []
    for row in rows:
        lines.append(f"{row['code']}  {row['title']}  ({row['state']})")
        lines.append(f"    {row['storage']}; {row['shelf_life']}")
    return lines


def leaf(content: Content, version: Version | None, catalogue: Catalogue) -> list[str]:
    """Return a formula set to be read."""
    head = f"{content.code}  {content.title}"
    if version is not None:
        state = catalogue.text(f"formula.state.{version.state.name.lower()}")
        head += "  " + catalogue.text(
            message("command.show.version", number=version.number, state=state)
        )
    kept = f"{storage(content.storage, catalogue)}; {shelf_life(content.shelf_life, catalogue)}"
    return [head, kept, "", *_composition(content, catalogue), *_method(content), *_notes(content)]


def kept(calculations: Sequence[KeptCalculation], catalogue: Catalogue) -> list[str]:
    """Return a line for each calculation that is kept with a formula or a preparation."""
    lines = [""] if calculations else []
    for each in calculations:
        said = message(
            "command.show.kept",
            title=each.title,
            figure=each.figure,
            by=each.kept_by,
            on=each.kept_at.date(),
        )
        lines.append(f"  {catalogue.text(said)}" + (f": {each.note}" if each.note else ""))
    return lines


def pins(people: Sequence[tuple[str, Post, str]], catalogue: Catalogue) -> list[str]:
    """Return a line for each of the sample's people, with the PIN to act with."""
    return [
        "  "
        + catalogue.text(
            message(
                "command.sample.person",
                name=name,
                post=message(f"roles.post.{post.name.lower()}"),
                pin=pin,
            )
        )
        for name, post, pin in people
    ]


def _composition(content: Content, catalogue: Catalogue) -> Iterator[str]:
    rows = [(line.ingredient, catalogue.text(said(line.quantity))) for line in content.lines]
    widest = max((len(name) for name, _ in rows), default=0)
    for name, quantity in rows:
        yield f"  {name:<{widest}}  {quantity}"


def _method(content: Content) -> Iterator[str]:
    if content.steps:
        yield ""
    for number, step in enumerate(content.steps, start=1):
        facts = [each for each in (step.temperature, step.time, step.speed, step.look_for) if each]
        phase = f"[{step.phase}] " if step.phase else ""
        yield f"  {number}. {phase}{step.text}" + (f" ({'; '.join(facts)})" if facts else "")


def _notes(content: Content) -> Iterator[str]:
    label = content.label
    notes = (label.strength, label.directions, content.purpose, content.cautions, content.source)
    if any(notes):
        yield ""
    yield from (f"  {note}" for note in notes if note)


def plan(content: Content, made: Plan, catalogue: Catalogue) -> list[str]:
    """Return a plan: what to measure of each line, its working below, then what to mind."""
    target = catalogue.text(made.target.said())
    lines = [f"{content.code}  {content.title}: {target}"]
    lines += [f"  {catalogue.text(each)}" for each in made.working]
    widest = max(len(line.line.ingredient) for line in made.lines)
    for line in made.lines:
        lines.extend(_planned(line, widest, catalogue))
    lines.append(catalogue.text(message("command.scale.total", total=made.total)))
    for strength in made.strengths:
        lines.append(
            catalogue.text(
                message(
                    "command.scale.strength",
                    ingredient=strength.ingredient,
                    declared=strength.declared,
                    actual=strength.actual_shown,
                )
            )
        )
    return lines + [finding(each, catalogue) for each in made.findings]


def _planned(line: PlannedLine, widest: int, catalogue: Catalogue) -> Iterator[str]:
    yield f"{line.line.ingredient:<{widest}}  {_figure(line, catalogue)}"
    yield from (f"    {catalogue.text(each)}" for each in line.working)
    yield from (f"    {finding(each, catalogue)}" for each in line.findings)


def _figure(line: PlannedLine, catalogue: Catalogue) -> str:
    if line.to_measure is None:
        key = "as_needed" if line.required is None else "not_measurable"
        return catalogue.text(f"command.scale.{key}")
    if line.sub_plan is not None:
        way = message(f"scaling.sub_plan.way.{line.sub_plan.way.name.lower()}")
        said = message(
            "command.scale.aliquot", amount=line.to_measure, way=way, instrument=line.instrument
        )
        return catalogue.text(said)
    key = "up_to" if line.up_to else "measured" if line.instrument else "unrounded"
    return catalogue.text(
        message(f"command.scale.{key}", amount=line.to_measure, instrument=line.instrument)
    )


def finding(finding: Finding, catalogue: Catalogue, *, answered: bool = False) -> str:
    """Return a finding with how serious it is, or that the reason it needed is given."""
    name = "answered" if answered else finding.severity.name.lower()
    severity = catalogue.text(f"command.severity.{name}")
    return f"{severity}: {catalogue.text(finding.said)}"
