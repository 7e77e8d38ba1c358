"""The filled jars that are still here."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from formulary.bench.kept import FilledJar, Place
from formulary.bench.stages import Stage
from formulary.preparation import Preparation
from formulary.register.shelf import (
    JarStanding,
    on_shelf,
    running_out,
    standing_of,
    to_throw_away,
)
from formulary.signing import Meaning
from formulary.stock.recall import Reach, Recall
from tests.formulary.stock.shelf import grams, signed
from tests.helpers.kept import a_preparation

MADE = replace(a_preparation(), stage=Stage.RELEASED)
TODAY = MADE.made_on


def jar(number: int, made: Preparation = MADE, place: Place = Place.SHELF) -> FilledJar:
    return FilledJar(f"{made.lot}/{number}", made.id, place, grams(50))


def recall(
    *, jars: tuple[str, ...] = (), made: tuple[str, ...] = (), practice: bool = False
) -> Recall:
    reach = Reach(("lot-1",), (), (), made, jars)
    return Recall("r", ("lot-1",), "wrong salt", signed(Meaning.DECIDED), reach, (), practice)


@pytest.mark.parametrize(
    ("left", "standing"),
    [
        (-1, JarStanding.EXPIRED),
        (0, JarStanding.ENDING),
        (14, JarStanding.ENDING),
        (15, JarStanding.GOOD),
    ],
)
def test_the_last_day_of_use_counts(left: int, standing: JarStanding) -> None:
    assert standing_of(Stage.RELEASED, TODAY + timedelta(days=left), TODAY) is standing


def test_only_jars_that_are_here_are_listed() -> None:
    jars = [jar(1), jar(2, place=Place.PATIENT), jar(3, place=Place.NOWHERE)]
    found = on_shelf(jars, {MADE.id: MADE}, (), TODAY)
    assert [each.jar_id for each in found] == ["K26-00001/1"]
    assert found[0].days_left(TODAY) == (MADE.use_by - TODAY).days


def test_a_recalled_jar_has_to_go_and_one_of_a_practice_stays() -> None:
    of = {MADE.id: MADE}
    for each in (recall(jars=("K26-00001/1",)), recall(made=("m-1",))):
        (found,) = on_shelf([jar(1)], of, [each], TODAY)
        assert found.standing is JarStanding.RECALLED
    (drill,) = on_shelf([jar(1)], of, [recall(made=("m-1",), practice=True)], TODAY)
    assert drill.standing is JarStanding.GOOD


def test_what_has_to_go_comes_first_and_what_runs_out_next() -> None:
    soon = replace(MADE, id="m-2", lot="K26-00002", use_by=TODAY + timedelta(days=3))
    over = replace(MADE, id="m-3", lot="K26-00003", use_by=TODAY - timedelta(days=3))
    bad = replace(MADE, id="m-4", lot="K26-00004", stage=Stage.REJECTED)
    made = {each.id: each for each in (MADE, soon, over, bad)}
    found = on_shelf([jar(1, each) for each in made.values()], made, (), TODAY)
    assert [each.lot for each in found] == ["K26-00004", "K26-00003", "K26-00002", "K26-00001"]
    assert [each.lot for each in to_throw_away(found)] == ["K26-00004", "K26-00003"]
    assert [each.lot for each in running_out(found)] == ["K26-00002"]
