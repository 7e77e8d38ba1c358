"""What a formula sheet is about: a version with its reasons, signatures, findings and past."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from formulary.desk import Desk
from formulary.dossier import DossierItem
from formulary.errors import Refusal
from formulary.formula.review import Review, review_of
from formulary.formula.version import State, Version
from formulary.house import House
from formulary.kept_calculation import KeptCalculation
from formulary.messages import Message, message
from formulary.papers.paper_head import sample_stamps
from formulary.papers.printed import Printed, printed_now
from formulary.people import Person
from formulary.shelf_life.dating import Dated
from formulary.verbs.acknowledge_version import readers_of
from formulary.verbs.date_preparation import date_version
from formulary.verbs.keep_dossier import dossier_of
from formulary.verbs.review_formula import Reviewed, review_version


@dataclass(frozen=True, slots=True)
class FormulaSubject:
    """A version on paper; ``versions`` are all of its formula, oldest first.

    ``names`` are the people of the house by their ids. ``lasts`` is how long it would last if made
    today, None where no rule says so. ``kept`` are the calculations kept with the formula.
    """

    house: House
    version: Version
    versions: tuple[Version, ...]
    names: Mapping[str, str]
    reviewed: Reviewed
    printed: Printed
    lasts: Dated | None = None
    due: Review | None = None
    kept: tuple[KeptCalculation, ...] = ()
    dossier: tuple[DossierItem, ...] = ()
    read: tuple[Message, ...] = ()

    @property
    def stamps(self) -> tuple[Message, ...]:
        """Why nothing may be made by it, if so."""
        trial = () if self.version.state is State.IN_USE else (_not_in_use(self.version),)
        return (*trial, *sample_stamps(self.house))


def of_version(desk: Desk, version: Version) -> FormulaSubject:
    """Return a version with all that is on record of it."""
    house = desk.house
    return FormulaSubject(
        house=house,
        version=version,
        versions=tuple(desk.store.versions(version.formula_id)),
        names={each.id: each.name for each in desk.store.every(Person)},
        reviewed=review_version(desk, version),
        printed=printed_now(desk),
        lasts=_lasts(desk, version),
        due=review_of(version, house.review_months),
        kept=tuple(desk.store.having(KeptCalculation, subject_id=version.formula_id)),
        dossier=tuple(dossier_of(desk.store, version.formula_id)),
        read=readers_of(desk.store, version).said if version.state is State.IN_USE else (),
    )


def _lasts(desk: Desk, version: Version) -> Dated | None:
    try:
        return date_version(desk.house, version, desk.today)
    except Refusal:
        # Without a shelf life there is nothing to date; the review says so as a stop.
        return None


def _not_in_use(version: Version) -> Message:
    return message(f"formula.state.{version.state.name.lower()}")
