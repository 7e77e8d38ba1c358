"""Papers from the command line: each is written, numbered, and refused with a sentence."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.opening import create_sample
from formulary.verbs.look_up import current_version, formula_named
from formulary.verbs.start_preparation import Order, start_preparation
from tests.helpers.pdf_text import page_texts, squeezed

Ask = Callable[..., tuple[int, Any, str]]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Make a sample pharmacy with one preparation started; give its lot."""
    path = tmp_path_factory.mktemp("papers") / "house.misce"
    desk = replace(create_sample(path, worked=False), signed_in=True)
    version = current_version(desk.store, formula_named(desk.store, "CR-003").id)
    order = Order("2 x 50 g", directions="Zweimal am Tag dünn auftragen.", language="de")
    lot = start_preparation(desk, version.id, order).lot
    desk.store.close()
    return path, lot


@pytest.fixture
def ask(made: tuple[Path, str], capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Ask:
    """Return what asks for a paper: code, data, and what stands in the file."""
    out = tmp_path / "paper.pdf"

    def asked(*words: str) -> tuple[int, Any, str]:
        place = ["--formulary", str(made[0]), "--out", str(out), "--json"]
        code = main(["paper", *words, *place])
        printed = capsys.readouterr()
        if code:
            return code, printed.err, ""
        return code, json.loads(printed.out), squeezed("".join(page_texts(out.read_bytes())))

    return asked


def test_a_formula_sheet(ask: Ask) -> None:
    code, data, text = ask("formula", "CR-003")
    assert (code, data["paper"]) == (0, "formula")
    assert squeezed("Urea cream 10 %") in text
    assert squeezed(f"Page 1 of {data['pages']}") in text


@pytest.mark.parametrize(
    ("paper", "says"), [("record", "Worksheet"), ("labels", "Labels of a preparation")]
)
def test_papers_of_a_lot(ask: Ask, made: tuple[Path, str], paper: str, says: str) -> None:
    code, _, text = ask(paper, made[1])
    assert code == 0
    assert squeezed(says) in text
    assert made[1] in text


def test_whoever_is_named_stands_on_the_paper_once_the_pin_is_right(
    ask: Ask, made: tuple[Path, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MISCE_PIN", "2718")
    code, _, text = ask("record", made[1], "--as", "Tobias Quell")
    assert code == 0
    assert squeezed("by Tobias Quell") in text
    monkeypatch.setenv("MISCE_PIN", "0000")
    assert ask("record", made[1], "--as", "Tobias Quell")[0] == 1
    assert squeezed("by somebody who hadn't signed in") in ask("record", made[1])[2]


def test_a_leaflet_in_another_language(ask: Ask, made: tuple[Path, str]) -> None:
    code, data, text = ask("leaflet", made[1], "--language", "de")
    assert (code, data["pages"]) == (0, 1)
    assert squeezed("Hinweise für Patienten") in text
    code, refusal, _ = ask("leaflet", made[1], "--language", "fr")
    assert (code, "in German" in refusal) == (1, True)


def test_the_stock_list_and_the_pack_of_a_period(ask: Ask) -> None:
    assert squeezed("Stock list") in ask("stock")[2]
    code, _, text = ask("pack", "--first", "2020-01-01", "--last", "2020-01-31")
    assert code == 0
    assert squeezed("1 Jan 2020 to 31 Jan 2020") in text


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("leaflet",), 2, "Name the lot"),
        (("formula",), 2, "Name the formula"),
        (("record", "K26-99999"), 1, "K26-99999"),
        (("pack",), 2, "misce paper pack --first 2026-01-01 --last 2026-03-31"),
        (("pack", "--first", "soon", "--last", "2026-01-01"), 2, "“soon” isn’t a day"),
        (("pack", "--first", "2026-02-01", "--last", "2026-01-01"), 1, "Exchange the two days"),
    ],
)
def test_what_cant_be_written_is_refused_with_a_sentence(
    ask: Ask, words: tuple[str, ...], code: int, said: str
) -> None:
    found, error, _ = ask(*words)
    assert found == code
    assert said in error
