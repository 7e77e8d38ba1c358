"""The trade's sums from the command line."""

from __future__ import annotations

import json

import pytest

from formulary.calculating.help_text import as_lines, help_text
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import Catalogue
from formulary.command_line import main


def test_the_list_describes_every_calculation(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calculate", "--list", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert [each["name"] for each in listed] == [each.name for each in every_calculation()]
    for each in listed:
        assert each["source"]
        assert set(each) == {"name", "inputs", "source"}
        for described in each["inputs"]:
            assert set(described) == {"name", "kinds", "units", "required", "default"}


@pytest.mark.parametrize("name", [each.name for each in every_calculation()])
def test_every_calculation_answers_its_own_example(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    example = next(each.examples for each in every_calculation() if each.name == name)
    assert example
    assert main(["calculate", name, "--json", *(f"{key}={value}" for key, value in example)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["results"]
    assert answer["working"]
    assert answer["source"]
    for result in answer["results"]:
        assert isinstance(result["amount"], str)
        assert {"name", "amount", "unit"} <= set(result)


def test_tablets_as_the_source_are_counted_and_weighed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    given = ["dose=3 mg", "units=40", "spare=5 %", "strength=10 mg", "mean_mass=120 mg"]
    assert main(["calculate", "tablets-as-source", "--json", *given]) == 0
    answer = json.loads(capsys.readouterr().out)
    results = {each["name"]: (each["amount"], each["unit"]) for each in answer["results"]}
    assert ("13", "units") in results.values()
    assert ("1.512", "g") in results.values()


def test_a_refusal_is_a_sentence_with_exit_one(capsys: pytest.CaptureFixture[str]) -> None:
    given = ["stock_strength=2 %", "target_strength=3 %", "target=120 mL"]
    assert main(["calculate", "dilution", *given]) == 1
    assert capsys.readouterr().err.strip().endswith(".")


@pytest.mark.parametrize(
    "wrong", [[], ["dilution", "nonsense"], ["dilution", "target=1 mL", "target=2 mL"]]
)
def test_wrong_usage_is_exit_two(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calculate", *wrong]) == 2
    assert capsys.readouterr().err


def test_a_misread_input_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    given = ["stock_strength=2 %", "target_strength=0.1 %", "target=5 u"]
    assert main(["calculate", "dilution", *given]) == 1
    assert capsys.readouterr().err.startswith("target: ")


@pytest.mark.parametrize("asked", [["--help"], ["-h"], [], ["target=1 mL", "--help"]])
def test_a_calculation_describes_itself(
    asked: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["calculate", "dilution", *asked]) == 0
    expected = as_lines(help_text(calculation_named("dilution"), Catalogue()))
    assert capsys.readouterr().out.splitlines() == expected


def test_without_a_name_help_is_the_commands_own(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calculate", "--help"]) == 0
    assert capsys.readouterr().out.startswith("usage: misce calculate")


def test_a_description_as_json_has_the_ranges(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calculate", "ethanol-dilution", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    temperature = next(each for each in said["inputs"] if each["name"] == "temperature")
    assert (temperature["least"], temperature["most"]) == ("-20", "40")
    assert temperature["default"] == "20 °C"


def test_an_answer_for_people_is_rounded_and_each_line_says_what_it_is(
    capsys: pytest.CaptureFixture[str],
) -> None:
    given = ["amount=1 g", "molar_mass=CaCl2.2H2O"]
    assert main(["calculate", "millimoles-and-milliequivalents", *given]) == 0
    lines = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ").splitlines()
    assert lines[0] == "Equivalents of the ion: calcium (Ca²⁺): 13.6047 mEq"
    for head in ("Working:", "Note: Counted", "Source: mmol", "Limits: ", "Caution: "):
        assert any(line.startswith(head) for line in lines), head
    assert any("6.80235089247 mmol" in line for line in lines if line.startswith("  "))


def test_a_count_is_said_in_the_right_number(capsys: pytest.CaptureFixture[str]) -> None:
    given = ["ordered=10", "spare=2", "mould=2 g", "doses=200 mg", "displacement_values=2"]
    assert main(["calculate", "suppositories", *given]) == 0
    assert "12 pieces" in capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("BSA", "body-surface-area"),
        ("FTU", "fingertip-units"),
        ("IU", "international-units"),
        ("eye drops", "isotonicity"),
        ("tonicity", "isotonicity"),
        ("specific gravity", "mass-and-volume"),
        ("C1V1", "dilution"),
        ("suppository", "suppositories"),
        ("mEq", "millimoles-and-milliequivalents"),
        ("percent", "strength-conversion"),
        ("proof", "ethanol-strength"),
        ("ratio strength", "strength-conversion"),
        ("triturate", "trituration-plan"),
        ("pounds", "inches-and-pounds"),
        ("half-life", "remaining-potency"),
    ],
)
def test_a_calculation_is_found_by_what_the_trade_calls_it(
    words: str, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["calculate", "--list", *words.split()]) == 0
    assert name in capsys.readouterr().out.splitlines()


def test_a_mistyped_word_is_answered_by_words_near_to_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["calculate", "--list", "isotonicty"]) == 1
    assert "isotonic, tonicity" in capsys.readouterr().err


def test_words_that_find_nothing_say_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calculate", "--list", "zzz"]) == 1
    assert capsys.readouterr().err.strip().endswith(".")
