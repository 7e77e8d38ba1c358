"""What a label lacks of all that its jurisdiction's profile asks for, before it is printed."""

from __future__ import annotations

from collections.abc import Iterable

from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.formula.content import Route
from formulary.labels.content import CHILDREN, LabelContent
from formulary.labels.parts import FIELDS
from formulary.labels.wording import statement, typed_beside
from formulary.messages import Message, message
from formulary.wording.label_profile import (
    PLACES,
    Element,
    Profile,
    Requirement,
    element_name,
    label_profile,
)

# Asked for as they are needed: their being empty is an answer.
_IF_ANY = frozenset({Element.AFTER_OPENING, Element.EXCIPIENTS})
_OF_MEDICINES = frozenset({Element.ROUTE, Element.FORM, Element.CHILDREN, Element.TARGET})


def missing(content: LabelContent, profile: Profile) -> tuple[Finding, ...]:
    """Return each element that the profile asks for and the label doesn't say.

    Each is a finding with the field to go to and the profile's source.
    """
    return tuple(
        Finding(
            Severity.STOP,
            lacks(each.element),
            PLACES[each.element],
            message("label.profile_source", source=each.source, profile=profile.title),
        )
        for each in profile.requires
        if _asked(each, content) and not _is_said(each.element, content)
    )


def lacks(element: Element) -> Message:
    """Return the sentence that a label lacks an element, with where it is given."""
    whose = PLACES[element].partition(".")[0]
    place = whose if whose in ("house", "order") else "formula"
    return message(
        "label.lacks", element=element_name(element), place=message(f"label.place.{place}")
    )


class Incomplete(Refusal):
    """A label lacks what its profile asks for; ``fields`` are the places to go to."""

    def __init__(self, profile: Profile, found: tuple[Finding, ...]) -> None:
        said = tuple(each.said for each in found)
        super().__init__(message("label.incomplete", profile=profile.title, missing=said))
        self.fields = tuple(each.field for each in found)


def require_complete(contents: Iterable[LabelContent]) -> None:
    """Raise :class:`Incomplete`, which lists all a label lacks."""
    for content in contents:
        profile = label_profile(content.profile)
        found = missing(content, profile)
        if found:
            raise Incomplete(profile, found)


def _asked(one: Requirement, content: LabelContent) -> bool:
    if one.for_patients and not content.patient:
        return False
    return not (content.route is Route.NOT_A_MEDICINE and one.element in _OF_MEDICINES)


def _is_said(element: Element, content: LabelContent) -> bool:
    if element in _IF_ANY:
        return True
    if element is Element.CHILDREN:
        return CHILDREN in content.warnings
    if element is Element.DIRECTIONS and typed_beside(content):
        return True
    return bool(statement(content, FIELDS[element]))
