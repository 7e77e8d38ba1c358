"""The stock and a trace from the command line."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.desk import Desk
from formulary.opening import open_desk
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.list_stock import list_stock
from tests.helpers.stocked import grams, made, weigh

Ask = Callable[..., Any]


@pytest.fixture(scope="module")
def house(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a sample pharmacy whose salicylic acid was weighed into one preparation."""
    path = Path(shutil.copy(sample_file, tmp_path_factory.mktemp("stock")))
    desk = replace(open_desk(path), signed_in=True)
    acid = _first_of(desk, "Salicylic acid")
    made(desk, "m-1", "GS26-00001", patient="x-1")
    weigh(desk, acid, grams(5), "GS26-00001")
    desk.store.close()
    return path


def _first_of(desk: Desk, ingredient: str) -> Any:  # noqa: ANN401  a container
    stock = list_stock(desk.store, desk.today)
    lot = next(each for each in stock.lots if each.ingredient == ingredient)
    return decant_stock(desk, lot.holdings[0].container.id, grams(50))


@pytest.fixture
def asked(house: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Return what a command answers in JSON."""

    def ask(*arguments: str) -> Any:  # noqa: ANN401  whatever JSON says
        assert main([*arguments, "--json", "--formulary", str(house)]) == 0
        return json.loads(capsys.readouterr().out)

    return ask


def test_every_lot_is_listed_with_its_containers_and_what_is_left(asked: Ask) -> None:
    rows = asked("stock")
    acid = next(each for each in rows if each["ingredient"] == "Salicylic acid")
    assert {"lot", "supplier", "status", "expiry", "place", "days_left"} <= set(acid)
    assert set(acid["on_hand"]) == {"amount", "unit"}
    assert acid["containers"] == [each["number"] for each in acid["in_each"]]
    assert len(rows) > 80


def test_what_runs_out_or_has_run_out_is_listed_alone(asked: Ask) -> None:
    rows = asked("stock", "--expiring", "20")
    assert {each["ingredient"] for each in rows} >= {
        "Eucalyptus oil",
        "Hydrogen peroxide solution 3 %",
    }
    assert all(each["days_left"] <= 20 for each in rows)
    assert min(each["days_left"] for each in rows) < 0


def test_what_is_stopped_says_so(asked: Ask) -> None:
    found = {each["ingredient"]: each["status"] for each in asked("stock")}
    assert "frozen" in {each["status"] for each in asked("stock")}
    assert found["Zinc oxide"] == "accepted"


def test_jars_of_which_few_are_left_are_low_too(
    asked: Ask, house: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (jar,) = [each for each in asked("stock", "--low") if each.get("goods")]
    assert (jar["goods"], jar["source"]) == ("Jar 120 mL", "container")
    assert int(jar["usable"]["amount"]) < int(jar["least"]["amount"])
    main(["stock", "--low", "--formulary", str(house)])
    assert "Jar 120 mL: 22 pieces are left, 30 are wanted at the least." in capsys.readouterr().out


def test_what_is_low_is_listed_with_what_is_wanted(asked: Ask) -> None:
    (cortisone,) = [each for each in asked("stock", "--low") if "Hydroc" in each["ingredient"]]
    assert cortisone["usable"] == {"amount": "3.8", "unit": "g"}
    assert cortisone["least"] == {"amount": "10", "unit": "g"}


def test_a_lot_leads_to_what_was_made_and_to_whom_to_call_by_id(asked: Ask) -> None:
    lot = next(e["lot"] for e in asked("stock") if e["ingredient"] == "Salicylic acid")
    found = asked("trace", lot)
    assert found["preparations"] == ["GS26-00001"]
    assert found["jars"] == ["GS26-00001/1", "GS26-00001/2"]
    assert found["to_call"] == [{"id": "x-1", "sort": "patient", "jars": found["jars"]}]
    ids = {node["id"] for node in found["nodes"]}
    assert {end for edge in found["edges"] for end in (edge["from"], edge["to"])} <= ids


def test_a_jar_leads_back_to_lot_and_supplier(asked: Ask) -> None:
    found = asked("trace", "GS26-00001/2")
    assert len(found["came_from"]["lots"]) == 1
    assert found["came_from"]["suppliers"] != []
    assert found["jars"] == ["GS26-00001/2"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("stock",), "Eucalyptus oil"),
        (("stock", "--low"), "wanted at the least"),
        (("stock", "--expiring", "-5000"), "Nothing here fits that."),
        (("trace", "GS26-00001"), "1 patient to call, by id: x-1"),
    ],
)
def test_people_read_sentences(
    house: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], said: str
) -> None:
    assert main([*arguments, "--formulary", str(house)]) == 0
    assert said in capsys.readouterr().out


def test_an_unknown_number_is_told(house: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trace", "GS26-99999", "--formulary", str(house)]) == 1
    assert "GS26-99999" in capsys.readouterr().err


def test_the_register_of_controlled_substances_says_who_signed(asked: Ask) -> None:
    (codeine,) = asked("stock", "--controlled")
    assert codeine["ingredient"] == "Codeine phosphate hemihydrate"
    assert codeine["balance"] == codeine["entries"][-1]["balance"]
    assert {len(each["people"]) for each in codeine["entries"]} == {2}
    assert codeine["entries"][0]["in"] == {"amount": "25", "unit": "g"}
