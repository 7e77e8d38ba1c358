"""What a label must say, as data: before any language, type or paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import TypedDict

from formulary.catalogue import ENGLISH
from formulary.errors import BadText, Refusal
from formulary.formula.content import Content, Form, Period, Route, Storage, Target
from formulary.house import House
from formulary.labels.composition import Composition, actives_of, composition_of, excipients_of
from formulary.labels.jar_code import JarCode
from formulary.labels.parts import Part
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.use_by import last_day
from formulary.wording.directions import Dosing
from formulary.wording.label_profile import Element, Profile, label_profile
from formulary.wording.strength import Held, held, only_strength

FROM_THE_RIGHT = frozenset({"ar"})
"""Languages that are read from right to left."""

CHILDREN = "keep_out_of_reach_of_children"


class Stamp(StrEnum):
    """Why what is in the container must not be used, if so."""

    NONE = "none"
    TRIAL = "trial"
    SAMPLE = "sample"
    PROOF = "proof"
    AWAITING = "awaiting"
    SAMPLE_TRIAL = "sample_trial"
    SAMPLE_PROOF = "sample_proof"
    SAMPLE_AWAITING = "sample_awaiting"


_IN_SAMPLE = {
    Stamp.NONE: Stamp.SAMPLE,
    Stamp.TRIAL: Stamp.SAMPLE_TRIAL,
    Stamp.PROOF: Stamp.SAMPLE_PROOF,
}
_SAMPLES = frozenset({Stamp.SAMPLE, Stamp.SAMPLE_PROOF, Stamp.SAMPLE_AWAITING})
_TRIALS = frozenset({Stamp.TRIAL, Stamp.SAMPLE_TRIAL})


@dataclass(frozen=True, slots=True)
class Occasion:
    """What one batch adds to its formula: ``fill`` is what each of ``containers`` holds.

    ``directions`` take the place of the formula's own, and a ``dosing`` that of both; ``trial``
    marks a batch of a draft and ``proof`` one that isn't packed yet. ``warnings`` are those called
    for, in place of the formula's own; ``own`` are the house's wordings in the label's language.
    ``written_in`` is the language of what is typed of the directions, the label's own if empty.
    """

    lot: str
    made_on: date
    use_by: date | None
    fill: Amount
    containers: int = 1
    directions: str = ""
    trial: bool = False
    proof: bool = False
    dosing: Dosing | None = None
    warnings: tuple[str, ...] = ()
    own: tuple[tuple[str, str], ...] = ()
    written_in: str = ""
    one_off: bool = False


@dataclass(frozen=True, slots=True)
class LabelContent:
    """All that one label says. ``quantity`` is that of this container, number ``container``.

    ``unit_name`` is what the house calls one dose unit, where the quantity is a number of them;
    ``gtin`` is its GS1 item number, where it has one.
    ``held`` is what 1 mL and the container hold of the actives, or one dose unit does: said in
    place of ``strength`` where it is known. A ``dosing`` is said in place of ``directions``, with
    ``dose_strength`` for mg beside mL. ``own`` are the house's wordings by their codes.

    ``profile`` is the code of the jurisdiction's; ``form`` to ``compounded`` stand there where it
    asks for them. ``beside`` is the language in which the essentials stand a second time, with the
    house's wordings in it, ``beside_own``. ``copy`` counts prints of the same label, ``part`` is
    which of two labels it is. ``written_in`` is the language of what is typed of the directions
    where it isn't the label's own.

    ``language`` and ``decimal_sign`` are the label's own, whatever the screen shows. Patient and
    prescriber are put in by :func:`with_people` for drawing and never stored. Raises
    :class:`formulary.errors.Refusal` where something that must be said is missing.
    """

    name: str
    lot: str
    use_by: date
    made_on: date
    quantity: Amount
    strength: str = ""
    container: int = 1
    containers: int = 1
    directions: str = ""
    after_opening: Period | None = None
    storage: Storage | None = None
    warnings: tuple[str, ...] = ()
    extra: tuple[str, ...] = ()
    house: str = ""
    address: tuple[str, ...] = ()
    telephone: str = ""
    stamp: Stamp = Stamp.NONE
    language: str = "en"
    decimal_sign: str = "."
    patient: str = ""
    prescriber: str = ""
    unit_name: str = ""
    gtin: str = ""
    held: tuple[Held, ...] = ()
    dosing: Dosing | None = None
    dose_strength: Concentration | None = None
    own: tuple[tuple[str, str], ...] = ()
    profile: str = ""
    form: Form | None = None
    route: Route | None = None
    composition: Composition | None = None
    excipients: tuple[str, ...] | None = None
    target: Target | None = None
    compounded: bool = False
    copy: int = 1
    part: Part = Part.WHOLE
    beside: str = ""
    beside_own: tuple[tuple[str, str], ...] = ()
    written_in: str = ""

    def __post_init__(self) -> None:
        for field in ("name", "lot"):
            if not getattr(self, field).strip():
                raise _missing(field)
        if self.use_by < self.made_on:
            said = message("label.use_by_before_made", use_by=self.use_by, made_on=self.made_on)
            raise BadText(said, field="use_by")
        if self.patient and self.dosing is None and not self.directions.strip():
            raise BadText(message("label.patient_without_directions"), field="directions")


def label_content(content: Content, house: House, occasion: Occasion) -> LabelContent:
    """Return what the labels of a batch say, without any person; the first container's.

    The strength is the one the formula declares, never one corrected for a lot. Raises
    :class:`formulary.errors.Refusal` without a name, a lot or a last day of use.
    """
    if occasion.use_by is None:
        raise _missing("use_by")
    label, profile = content.label, label_profile(house.label_profile)
    opened = content.shelf_life.opened if content.shelf_life else None
    return LabelContent(
        name=label.name or content.title,
        lot=occasion.lot,
        use_by=occasion.use_by,
        made_on=occasion.made_on,
        quantity=occasion.fill,
        strength=label.strength,
        containers=occasion.containers,
        directions=occasion.directions or label.directions,
        after_opening=opened if opened and _binds(opened, occasion) else None,
        storage=content.storage,
        warnings=_with_required(occasion.warnings or label.warnings, content, profile),
        extra=label.extra,
        house=house.name,
        address=house.address,
        telephone=house.telephone,
        stamp=_stamp(house, occasion),
        language=house.label_language,
        decimal_sign=house.decimal_sign,
        unit_name=content.unit_name,
        gtin=house.gtin,
        held=held(content, occasion.fill),
        dosing=occasion.dosing,
        dose_strength=only_strength(content) if occasion.dosing else None,
        own=_phrases(profile, house.label_language, occasion.own),
        written_in=_written_in(house.label_language, occasion),
        profile=profile.code,
        **_asked_for(content, profile, actives=occasion.one_off and not label.strength),
    )


def each_container(content: LabelContent) -> tuple[LabelContent, ...]:
    """Return one content per container: 1 of n, 2 of n and so on."""
    return tuple(replace(content, container=number) for number in range(1, content.containers + 1))


def declaring(label: LabelContent, content: Content, net: Amount | None) -> LabelContent:
    """Return a label that declares what its container was filled with, where that is known.

    What is weighed of something ordered by volume can't be compared: the order's amount stays.
    """
    if net is None or units.dimension(net.unit) is not units.dimension(label.quantity.unit):
        return label
    filled = net.to(label.quantity.unit)
    if filled == label.quantity:
        return label
    return replace(label, quantity=filled, held=held(content, filled))


def awaiting_release(content: LabelContent) -> LabelContent:
    """Return the label for a batch that is packed and not released: for the tray, never a jar.

    It names nobody and says nothing about use; a sample's says that too, and a trial, which is
    never released, stays a trial.
    """
    return replace(
        without_people(content),
        containers=1,
        container=1,
        directions="",
        written_in="",
        dosing=None,
        warnings=(),
        extra=(),
        copy=1,
        stamp=_awaiting(content.stamp),
    )


def jar_of(content: LabelContent) -> JarCode:
    """Return what the square code of a label says."""
    return JarCode(content.lot, content.container, content.use_by, content.gtin)


def with_people(content: LabelContent, patient: str, prescriber: str = "") -> LabelContent:
    """Return the content with names, for drawing only. Raises Refusal without directions."""
    return replace(content, patient=patient, prescriber=prescriber)


def in_two_languages(
    content: LabelContent, house_language: str, own: Mapping[str, tuple[tuple[str, str], ...]]
) -> LabelContent:
    """Return a label that is read from the right with its essentials in the house's language too.

    ``own`` are the house's wordings by language. Any other label stays as it is.
    """
    if content.language not in FROM_THE_RIGHT:
        return content
    other = ENGLISH if house_language in FROM_THE_RIGHT else house_language
    return replace(content, beside=other, beside_own=own.get(other, ()))


def without_people(content: LabelContent) -> LabelContent:
    """Return the content as it may be kept."""
    return replace(content, patient="", prescriber="")


def _written_in(language: str, occasion: Occasion) -> str:
    """Return the language of what was typed of the directions, where it isn't the label's."""
    typed = occasion.dosing is None or occasion.dosing.note.strip()
    return occasion.written_in if typed and occasion.written_in != language else ""


def _binds(opened: Period, occasion: Occasion) -> bool:
    """Tell whether a container opened on the day it was made would outlast that period."""
    return occasion.use_by is None or last_day(occasion.made_on, opened).result < occasion.use_by


def _stamp(house: House, occasion: Occasion) -> Stamp:
    """Return what the band says: what the batch is, and that the house is a sample."""
    own = Stamp.PROOF if occasion.proof else Stamp.NONE
    if occasion.trial:
        own = Stamp.TRIAL
    return _IN_SAMPLE[own] if house.sample else own


def _awaiting(stamp: Stamp) -> Stamp:
    if stamp in _TRIALS:
        return stamp
    return Stamp.SAMPLE_AWAITING if stamp in _SAMPLES else Stamp.AWAITING


class _Asked(TypedDict, total=False):
    """What stands on a label only where its profile asks for it."""

    form: Form
    route: Route
    composition: Composition
    excipients: tuple[str, ...]
    target: Target | None
    compounded: bool


def _asked_for(content: Content, profile: Profile, *, actives: bool) -> _Asked:
    """Return that; ``actives`` are stated anyway where nothing else says the strength."""
    asked, found = profile.elements, _Asked()
    if actives:
        found["composition"] = actives_of(content)
    if Element.FORM in asked:
        found["form"] = content.form
    if Element.ROUTE in asked:
        found["route"] = content.route
    if Element.COMPOSITION in asked:
        found["composition"] = composition_of(content)
    if Element.EXCIPIENTS in asked:
        found["excipients"] = excipients_of(content)
    if Element.TARGET in asked:
        found["target"] = content.label.target
    if Element.COMPOUNDED in asked:
        found["compounded"] = True
    return found


def _with_required(
    warnings: tuple[str, ...], content: Content, profile: Profile
) -> tuple[str, ...]:
    """Return the warnings, with that on children where the profile asks for it of a medicine."""
    medicine = content.route is not Route.NOT_A_MEDICINE
    if medicine and Element.CHILDREN in profile.elements and CHILDREN not in warnings:
        return (*warnings, CHILDREN)
    return warnings


def _phrases(
    profile: Profile, language: str, own: tuple[tuple[str, str], ...]
) -> tuple[tuple[str, str], ...]:
    """Return the profile's phrases under the house's own wordings."""
    return tuple(sorted({**dict(profile.phrases_in(language)), **dict(own)}.items()))


def _missing(field: str) -> Refusal:
    return BadText(message("label.missing", field=message(f"label.field.{field}")), field=field)
