"""What is being labelled, read on the worker: a started preparation, or a trial."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypedDict

from formulary.bench.stages import Stage, is_earlier
from formulary.desk import Desk
from formulary.errors import NotFound
from formulary.formula.content import Content, Route
from formulary.formula.version import Version
from formulary.ingredient import Ingredient
from formulary.labels.content import LabelContent, with_people
from formulary.labels.durable import needs_durable
from formulary.messages import Message, message
from formulary.people import Identity
from formulary.preparation import LabelPrint, Preparation
from formulary.quantity.amount import Concentration
from formulary.verbs.address_preparation import preparation_of
from formulary.verbs.date_preparation import date_on_record
from formulary.verbs.issue_labels import TRIAL_LOT, label_contents, trial_contents
from formulary.verbs.last_supply import strength_changes
from formulary.verbs.look_up_order import order_with
from formulary.verbs.order_at_bench import as_ordered
from formulary.verbs.shortened_treatment import too_short_for_treatment
from formulary.wording.directions import Dosing
from formulary.wording.strength import only_strength
from formulary.wording.warnings import Warned, warnings_for
from ui.context import Trial


@dataclass(frozen=True, slots=True)
class Address:
    """How the preparation is used and for whom, as typed, and what the patient reads.

    With a ``dosing`` the directions are its sentences in the house's label language.
    """

    directions: str = ""
    patient: str = ""
    prescriber: str = ""
    language: str = ""
    dosing: Dosing | None = None

    def tidy(self) -> Address:
        """Return it without outer spaces."""
        names = ("directions", "patient", "prescriber")
        return replace(self, **{name: getattr(self, name).strip() for name in names})


@dataclass(frozen=True, slots=True)
class Subject:
    """What the page labels. ``working`` is that of the use-by date, ``bound_by`` what bound it.

    ``notes`` must be thought of before anything is printed, ``why`` says what calls for each
    warning; ``route`` and ``strength`` are what directions are built by.

    Exactly one of ``preparation`` and ``trial`` is there.
    """

    title: str
    code: str
    version_number: int
    address: Address
    preparation: Preparation | None = None
    trial: Trial | None = None
    prints: tuple[LabelPrint, ...] = ()
    bound_by: str = ""
    working: tuple[str, ...] = ()
    notes: tuple[Message, ...] = ()
    why: tuple[Message, ...] = ()
    route: Route = Route.SKIN
    strength: Concentration | None = None

    @property
    def lot(self) -> str:
        """Return the lot that the label bears."""
        return self.preparation.lot if self.preparation else TRIAL_LOT

    @property
    def addressable(self) -> bool:
        """Whether directions and people may be changed here; those of an order are at the order."""
        made = self.preparation
        return made is None or (not made.order_id and is_earlier(made.stage, Stage.PACKED))

    @property
    def printed(self) -> bool:
        """Return whether labels were printed before, so that another print needs a reason."""
        return any(not each.proof for each in self.prints)

    def _written_in(self, said: Address) -> str:
        """Return the language of directions: that chosen as they were typed."""
        same = said.directions == self.address.directions.strip()
        return self.address.language if same else said.language

    def contents(self, desk: Desk, address: Address, language: str) -> tuple[LabelContent, ...]:
        """Return what each label says with the address as it stands on screen."""
        said = address.tidy()
        if self.trial is not None:
            order = replace(
                self.trial.order,
                directions=said.directions,
                language=self._written_in(said),
                patient=said.patient,
                prescriber=said.prescriber,
                dosing=said.dosing,
            )
            return trial_contents(desk, self.trial.version_id, order, language=language)
        if self.preparation is None:
            return ()
        unaddressed = replace(
            self.preparation,
            directions=said.directions,
            language=self._written_in(said),
            dosing=said.dosing,
            patient_id="",
            prescriber_id="",
        )
        return tuple(
            with_people(each, said.patient, said.prescriber)
            for each in label_contents(desk, unaddressed, language=language)
        )


def of_lot(desk: Desk, lot: str) -> Subject:
    """Return the preparation with that lot. Raises NotFound."""
    preparation = as_ordered(desk.store, preparation_of(desk, lot))
    version = _version(desk, preparation.version_id)
    dated = date_on_record(preparation)
    return Subject(
        title=preparation.title,
        code=preparation.code,
        version_number=preparation.version_number,
        address=Address(
            preparation.directions or version.content.label.directions,
            _name(desk, preparation.patient_id),
            _name(desk, preparation.prescriber_id),
            preparation.language or desk.house.label_language,
            preparation.dosing,
        ),
        preparation=preparation,
        prints=tuple(desk.store.prints(preparation.id)),
        bound_by=dated.bound_by if dated else "",
        working=(*dated.working, dated.rules) if dated else (),
        notes=_notes(desk, preparation),
        **_of_content(desk, version.content),
    )


def of_trial(desk: Desk, trial: Trial) -> Subject:
    """Return a trial of any version. Raises NotFound."""
    version = _version(desk, trial.version_id)
    order = trial.order
    return Subject(
        title=version.content.title,
        code=version.content.code,
        version_number=version.number,
        address=Address(
            order.directions or version.content.label.directions,
            order.patient,
            order.prescriber,
            order.language or desk.house.label_language,
            order.dosing,
        ),
        trial=trial,
        **_of_content(desk, version.content),
    )


def _notes(desk: Desk, preparation: Preparation) -> tuple[Message, ...]:
    if not preparation.order_id:
        return ()
    short = too_short_for_treatment(desk.store, preparation)
    changes = strength_changes(desk.store, order_with(desk.store, preparation.order_id))
    return (*((short,) if short else ()), *changes)


class _OfContent(TypedDict):
    """What the page needs to know of a content."""

    why: tuple[Message, ...]
    route: Route
    strength: Concentration | None


def _of_content(desk: Desk, content: Content) -> _OfContent:
    chosen = warnings_for(content, desk.store.every(Ingredient))
    durable = needs_durable(content)
    printed = (_why("why", each) for each in chosen.printed)
    left = (_why("left_out", each) for each in chosen.left)
    why = (*printed, *left, *((durable,) if durable is not None else ()))
    return _OfContent(why=why, route=content.route, strength=only_strength(content))


def _why(key: str, each: Warned) -> Message:
    said = message(f"label.warning.{each.code}")
    return message(f"ui_labels.warning.{key}", said=said, why=each.why)


def _version(desk: Desk, version_id: str) -> Version:
    version = desk.store.get(Version, version_id)
    if version is None:
        raise NotFound(message("verbs.no_such_formula", text=version_id))
    return version


def _name(desk: Desk, identity_id: str) -> str:
    found = desk.store.get(Identity, identity_id) if identity_id else None
    return found.name if found else ""
