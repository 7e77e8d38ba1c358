"""The editor's forms as tables of fields: a new field of a formula is one row here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from formulary.catalogue import keys_under
from formulary.formula.content import Form, Role, Route, Target
from formulary.formula.justifying import SpecialRisk
from formulary.formula.moulding import Convention
from formulary.formula.stability import Closure, Packing, Preserved, WaterClass
from formulary.quantity.units import Dimension
from ui.context import Context
from ui.forms import understanding
from ui.forms.fields import FormField, Kind
from ui.formulas.editor import meanings

AREA = "ui_editor"
MASS, VOLUME, PIECES = Dimension.MASS, Dimension.VOLUME, Dimension.PIECES
TEXT, CHOICE, FLAG, CHECKS = Kind.TEXT, Kind.CHOICE, Kind.FLAG, Kind.CHECKS


@dataclass(frozen=True, slots=True)
class Section:
    """A group of single fields under a heading."""

    name: str
    fields: tuple[FormField, ...]


@dataclass(frozen=True, slots=True)
class RowTable:
    """A repeated group: what each row shows at once, and what it shows on demand.

    ``widths`` are the shares of the line that the fields at once take.
    """

    name: str
    fields: tuple[FormField, ...]
    widths: tuple[int, ...]
    details: tuple[FormField, ...] = ()


def parts(
    context: Context,
    default_kind: Callable[[], str | None],
    ingredients: Callable[[], tuple[str, ...]],
) -> tuple[Section | RowTable, ...]:
    """Return the editor's parts in the order of reading."""
    return (
        _identity(context),
        _ingredients(context, default_kind, ingredients),
        _size(context),
        RowTable("phase", (FormField("code"), FormField("name")), (1, 5)),
        RowTable(
            "step",
            (FormField("text", TEXT, understanding.free_text), FormField("phase")),
            (6, 1),
            tuple(map(FormField, ("temperature", "time", "speed", "equipment", "look_for"))),
        ),
        _keeping(context),
        _lasting(context),
        RowTable("test", tuple(map(FormField, ("name", "limits", "when"))), (2, 3, 1)),
        _label(context),
        _notes(context),
    )


def _identity(context: Context) -> Section:
    return Section(
        "identity",
        (
            FormField("title", required=True),
            FormField("code", required=True),
            FormField("form", CHOICE, choices=lambda: _choices(context, "form", Form)),
            FormField("route", CHOICE, choices=lambda: _choices(context, "route", Route)),
            FormField("latin"),
            FormField("synonyms", hint=True),
        ),
    )


def _ingredients(
    context: Context,
    default_kind: Callable[[], str | None],
    ingredients: Callable[[], tuple[str, ...]],
) -> RowTable:
    return RowTable(
        "ingredient",
        (
            FormField("name", offered=ingredients),
            FormField("quantity", understand=meanings.quantity(context, default_kind)),
            FormField("role", CHOICE, choices=lambda: _choices(context, "role", Role)),
            FormField("phase"),
        ),
        (5, 4, 4, 1),
        (
            FormField("grade"),
            FormField("note"),
            FormField("density", understand=understanding.density(context)),
            FormField("density_source"),
            FormField("drop", understand=understanding.amount(context, MASS, VOLUME)),
            FormField("potency", understand=understanding.number(context)),
            FormField("tolerance"),
            FormField("about"),
            FormField("displacement", understand=understanding.number(context)),
            FormField("displacement_convention", CHOICE, choices=lambda: _conventions(context)),
            FormField("displacement_source"),
            FormField("double_check", FLAG),
        ),
    )


def _size(context: Context) -> Section:
    size = understanding.amount(context, MASS, VOLUME)
    return Section(
        "size",
        (
            FormField("total", understand=size, hint=True),
            FormField("units"),
            FormField("unit_name"),
            FormField("dose", understand=size),
            FormField("density", understand=understanding.density(context)),
            FormField("density_source"),
            FormField("mould.capacity", understand=understanding.amount(context, MASS), hint=True),
            FormField("mould.base"),
            FormField("mould.spare"),
            FormField("capsule.size"),
            FormField(
                "capsule.volume", understand=understanding.amount(context, VOLUME), hint=True
            ),
            FormField("capsule.spare"),
        ),
    )


def _conventions(context: Context) -> list[tuple[str, str]]:
    """Return an empty choice, which means a value, then both by their words."""
    words = [(context.text(f"{AREA}.convention.{each.value}"), each.value) for each in Convention]
    return [(context.text(f"{AREA}.choose"), ""), *words]


def _keeping(context: Context) -> Section:
    return Section(
        "keeping",
        (
            FormField("container.text"),
            FormField("container.packing", CHOICE, choices=lambda: _open(context, Packing)),
            FormField("container.protect_from_light", FLAG),
            FormField("container.material"),
            FormField("container.closure", CHOICE, choices=lambda: _open(context, Closure)),
            FormField("container.child_resistant", FLAG),
            FormField("storage.lowest"),
            FormField("storage.highest"),
            FormField("storage.do_not_freeze", FLAG),
            FormField("storage.protect_from_light", FLAG),
            FormField("storage.keep_dry", FLAG),
            FormField("storage.note", understand=understanding.label_text),
            FormField("shelf_life.unopened", understand=understanding.period),
            FormField("shelf_life.opened", understand=understanding.period),
            FormField("shelf_life.reason"),
            FormField("shelf_life.reference"),
        ),
    )


def _lasting(context: Context) -> Section:
    """Return what a rule set asks, and the study that may lift its limit."""
    return Section(
        "lasting",
        (
            FormField("water.class", CHOICE, choices=lambda: _open(context, WaterClass)),
            FormField("water.activity", understand=understanding.number(context), hint=True),
            FormField("water.source"),
            FormField("preservation.state", CHOICE, choices=lambda: _open(context, Preserved)),
            FormField("preservation.basis", hint=True),
            FormField("evidence.period", understand=understanding.period, hint=True),
            FormField("evidence.citation"),
            FormField("evidence.same_composition", FLAG),
            FormField("evidence.same_container", FLAG),
            FormField("evidence.same_storage", FLAG),
            FormField("evidence.preservative_tested", FLAG),
            FormField("factors.unstable", FLAG, hint=True),
            *(FormField(f"factors.{name}") for name in _FACTORS),
        ),
    )


_FACTORS = ("antioxidant", "oxygen", "caking", "solvent_loss", "heat", "germs", "patients")
_RISK = ("product", "yearly", "hazard", "process", "supply")
_AREAS: dict[type[StrEnum], str] = {
    Packing: "packing",
    WaterClass: "water",
    Preserved: "preserved",
    Closure: "closure",
    Target: "target",
}


def _open(context: Context, kind: type[StrEnum]) -> list[tuple[str, str]]:
    """Return what may be left open, then all there are by their words."""
    area = _AREAS[kind]
    words = [(context.text(f"formula.{area}.{each.name.lower()}"), each.value) for each in kind]
    return [(context.text(f"{AREA}.not_stated"), ""), *words]


def _label(context: Context) -> Section:
    def warnings() -> list[tuple[str, str]]:
        keys = keys_under("label.warning")
        return [(context.text(key), key.rpartition(".")[2]) for key in keys]

    return Section(
        "label",
        (
            FormField("label.name"),
            FormField("label.strength"),
            FormField("label.target", CHOICE, choices=lambda: _open(context, Target)),
            FormField("label.directions", TEXT, understanding.label_text),
            FormField("label.warnings", CHECKS, choices=warnings),
            FormField("label.extra", TEXT, understanding.label_text, hint=True),
        ),
    )


def _notes(context: Context) -> Section:
    size = understanding.amount(context, MASS, VOLUME, PIECES)

    def special_risks() -> list[tuple[str, str]]:
        area = "formula.special_risk"
        return [(context.text(f"{area}.{each.name.lower()}"), each.value) for each in SpecialRisk]

    return Section(
        "notes",
        (
            FormField("batch.smallest", understand=size),
            FormField("batch.largest", understand=size),
            FormField("purpose", TEXT, understanding.free_text),
            FormField("marketed", TEXT, understanding.free_text),
            FormField("marketed_checked", hint=True),
            FormField("adapted_from", hint=True),
            FormField("cautions", TEXT, understanding.free_text),
            FormField("source", TEXT),
            FormField("special_risks", CHECKS, choices=special_risks),
            *(FormField(f"risk.{name}", hint=name == "product") for name in _RISK),
            FormField("risk.decision", TEXT),
        ),
    )


def _choices(context: Context, name: str, kind: type[StrEnum]) -> list[tuple[str, str]]:
    """Return an empty choice, then all there are by their words."""
    words = [(context.text(f"formula.{name}.{each.name.lower()}"), each.value) for each in kind]
    return [(context.text(f"{AREA}.choose"), ""), *words]
