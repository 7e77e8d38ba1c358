"""The states that a version passes through."""

from __future__ import annotations

from itertools import product

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import Forbidden
from formulary.formula.version import State
from tests.helpers.kept import a_version

ALLOWED = {
    (State.DRAFT, State.IN_REVIEW),
    (State.DRAFT, State.WITHDRAWN),
    (State.IN_REVIEW, State.DRAFT),
    (State.IN_REVIEW, State.IN_USE),
    (State.IN_REVIEW, State.WITHDRAWN),
    (State.IN_USE, State.WITHDRAWN),
}


@pytest.mark.parametrize(("before", "after"), sorted(ALLOWED))
def test_a_version_moves_on(before: State, after: State) -> None:
    assert a_version(state=before).moved_to(after).state is after


@pytest.mark.parametrize(("before", "after"), sorted(set(product(State, State)) - ALLOWED))
def test_a_version_never_jumps_or_comes_back(before: State, after: State) -> None:
    with pytest.raises(Forbidden) as caught:
        a_version(state=before).moved_to(after)
    assert "Zinc cream" in Catalogue().text(caught.value.message)
