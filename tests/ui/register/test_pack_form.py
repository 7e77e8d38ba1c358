"""Papers of the register: the inspection pack by keys, stopped half-way, and a lot's papers."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from formulary.preparation import Preparation
from tests.helpers.pdf_text import page_texts, squeezed
from tests.ui.at_desk import unnamed
from tests.ui.file_questions import choose_file
from tests.ui.stock.keyboard import keys
from ui.context import Context
from ui.register.page import RegisterPage

Settle = Callable[[], None]


@pytest.fixture
def out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the file that is chosen wherever one is asked for."""
    path = tmp_path / "paper.pdf"
    choose_file(monkeypatch, path)
    return path


def text_of(path: Path) -> str:
    return squeezed("".join(page_texts(path.read_bytes())))


def test_the_pack_of_a_period_is_written_by_keys(
    register: RegisterPage, paste: Preparation, out: Path, settle: Settle
) -> None:
    keys(register.search, "Ctrl+Shift+P")
    assert unnamed(register) == []
    made_on = paste.made_on.isoformat()
    for name in ("first", "last"):
        register.pack.form.inputs[name].setFocus()
        register.pack.form.show_values(register.pack.form.values() | {name: made_on})
    keys(register.pack, "Ctrl+Return")
    settle()
    assert paste.lot in text_of(out)
    assert register.pack.write.isEnabled()
    assert not register.pack.progress.isVisible()


def test_it_can_be_stopped_and_then_nothing_is_written(
    register: RegisterPage, paste: Preparation, context: Context, out: Path, settle: Settle
) -> None:
    keys(register.search, "Ctrl+Shift+P")
    values = dict.fromkeys(("first", "last"), paste.made_on.isoformat())
    register.pack.form.show_values(values)
    worker_waits = threading.Event()
    context.do(lambda _: worker_waits.wait(10))
    keys(register.pack, "Ctrl+Return")
    assert register.pack.progress.isVisible()
    keys(register.pack, "Ctrl+Backspace")
    worker_waits.set()
    settle()
    assert not out.exists()
    assert context.say.history[-1].message.key == "papers.pack.stopped"
    assert register.pack.write.isEnabled()


def test_a_period_that_cant_be_is_refused_at_its_field(
    register: RegisterPage, out: Path, settle: Settle
) -> None:
    keys(register.search, "Ctrl+Shift+P")
    register.pack.form.inputs["last"].setFocus()
    register.pack.form.show_values({"first": "2026-03-02", "last": "2026-03-01"})
    keys(register.pack, "Ctrl+Return")
    settle()
    assert not out.exists()
    register.pack.form.show_values({"first": "yesterday", "last": "2026-03-01"})
    keys(register.pack, "Ctrl+Return")
    settle()
    assert not out.exists()
    assert register.pack.form.first_trouble() == "first"


def test_a_lots_record_and_list_of_labels_are_written(
    register: RegisterPage, paste: Preparation, out: Path, settle: Settle
) -> None:
    register.open_lot(paste.lot)
    settle()
    for shortcut, says in (
        ("Ctrl+Shift+P", "Everything that happened"),
        ("Ctrl+Shift+B", "Labels of a preparation"),
    ):
        keys(register.details, shortcut)
        settle()
        assert paste.lot in text_of(out)
        assert squeezed(says) in text_of(out)
