"""The verbs without a window: answers, refusals with a sentence, exit codes."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from formulary.command_line import main
from formulary.opening import default_location, open_desk
from formulary.starting import CLONE
from tests.helpers.pdf_text import page_sizes_mm, page_texts, squeezed

STOCK = "100x70"
DONE, REFUSED, WRONG_USAGE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Said:
    """What a command answered."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> Any:  # noqa: ANN401  whatever JSON says
        return json.loads(self.out)

    @property
    def plain(self) -> str:
        return self.out.replace("\N{NO-BREAK SPACE}", " ")


Misce = Callable[..., Said]


@pytest.fixture
def house(sample_file: Path, tmp_path: Path) -> Path:
    """Return a sample pharmacy of this test's own."""
    return Path(shutil.copy(sample_file, tmp_path / "house.misce"))


@pytest.fixture
def bare(capsys: pytest.CaptureFixture[str]) -> Misce:
    """Run a command in this process. A traceback in an answer fails every test."""

    def run(*arguments: str | Path) -> Said:
        capsys.readouterr()
        code = main([str(each) for each in arguments])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        assert bool(err) == (code != DONE), err
        return Said(code, out, err)

    return run


@pytest.fixture
def misce(bare: Misce, house: Path, monkeypatch: pytest.MonkeyPatch) -> Misce:
    """Run a command on the sample pharmacy, where needed as Ilse Corrander."""
    monkeypatch.setenv("MISCE_PIN", "3141")
    return lambda command, *arguments: bare(command, "--formulary", house, *arguments)


GOOD = """format = 1
title = "Menthol cream 1 %"
code = "X-1"
form = "cream"
route = "skin"

[[ingredient]]
name = "Menthol"
quantity = "1 % w/w"
role = "active"

[[ingredient]]
name = "Plain cream"
quantity = "to 100 g"
role = "base"

[storage]
highest = 25

[shelf_life]
unopened = "35 days"
"""


def last_act(house: Path) -> tuple[str, str]:
    """Return the verb and the person of the newest history entry."""
    desk = open_desk(house)
    try:
        last = desk.store.history(0, 1000)[-1]
    finally:
        desk.store.close()
    return last.verb, last.act.person


@pytest.fixture
def good_file(tmp_path: Path) -> Path:
    """Return a formula file."""
    path = tmp_path / "good.toml"
    path.write_text(GOOD, encoding="utf-8")
    return path


@pytest.fixture
def bad_file(tmp_path: Path) -> Path:
    """Return a formula file with a trouble on line 9."""
    path = tmp_path / "bad.toml"
    path.write_text(GOOD.replace("1 % w/w", "1,250 g"), encoding="utf-8")
    return path


class TestFind:
    def test_it_lists_what_the_counter_asks(self, misce: Misce) -> None:
        rows = misce("find", "zinc", "--json").data
        assert rows
        for row in rows:
            assert set(row) == {"code", "title", "form", "state", "storage", "shelf_life"}
            assert row["storage"]
            assert row["shelf_life"]
        assert "CR-002" in [row["code"] for row in rows]

    def test_it_says_how_each_is_kept_without_json(self, misce: Misce) -> None:
        found = misce("find", "CR-002")
        assert found.code == DONE
        assert "Zinc oxide cream 10 %" in found.plain
        assert "35 days" in found.plain

    def test_several_words_narrow_the_search(self, misce: Misce) -> None:
        rows = misce("find", "zinc", "paste", "--json").data
        assert [row["code"] for row in rows] == ["PA-001"]

    def test_nothing_found_is_no_failure(self, misce: Misce) -> None:
        assert misce("find", "moondust", "--json").data == []
        assert misce("find", "moondust").code == DONE

    def test_marks_that_a_search_language_could_mean_are_only_text(self, misce: Misce) -> None:
        for text in ('"', "zinc*", "a OR b", "%", "'; DROP TABLE x", "(", "NEAR(", "\N{SNOWMAN}"):
            assert misce("find", "--json", "--", text).code == DONE


class TestShow:
    def test_a_formula_by_code_or_title(self, misce: Misce) -> None:
        by_code = misce("show", "CR-001", "--json").data
        assert by_code["code"] == "CR-001"
        assert (by_code["version"], by_code["state"]) == (1, "in use")
        assert misce("show", by_code["title"], "--json").data == by_code

    def test_a_formula_is_read_as_text(self, misce: Misce) -> None:
        shown = misce("show", "CR-001").plain
        for part in ("version 1, in use", "9 % w/w", "to 100 g", "15 to 25 °C", "1. [A] Melt"):
            assert part in shown

    def test_a_file(self, bare: Misce, good_file: Path) -> None:
        assert bare("show", "--file", good_file, "--json").data["title"] == "Menthol cream 1 %"
        assert "Menthol" in bare("show", "--file", good_file).plain

    def test_an_unknown_formula(self, misce: Misce) -> None:
        refused = misce("show", "moondust")
        assert refused.code == REFUSED
        assert "moondust" in refused.err

    def test_when_it_is_to_be_looked_at_again(self, misce: Misce) -> None:
        assert misce("show", "CR-001", "--json").data["review_due"] == "2027-02-05"
        assert "looked at again by 5 Feb 2027" in misce("show", "CR-001").plain
        assert misce("show", "CR-005", "--json").data["review_due"] is None

    def test_what_changed_from_the_version_before(self, misce: Misce) -> None:
        shown = misce("show", "CR-003", "--difference").plain
        assert "from version 1 to version 2" in shown
        assert "Purified water: quantity: 10 % w/w > 5 % w/w" in shown
        assert "Do not use on broken skin." in shown
        changes = misce("show", "CR-003", "--difference", "--json").data["changes"]
        ph = next(each for each in changes if each["place"] == "pH: limits")
        assert (ph["before"], ph["after"]) == ("5 to 7.5", "4 to 6")

    def test_what_changed_the_other_way_round(self, misce: Misce) -> None:
        found = misce("show", "CR-003", "--difference", "2..1", "--json").data
        assert (found["from"], found["to"]) == (2, 1)
        assert {"place": "pH: limits", "before": "4 to 6", "after": "5 to 7.5"} in found["changes"]

    @pytest.mark.parametrize(
        ("code", "versions", "sentence"),
        [
            ("CR-003", "9", "has no version 9"),
            ("CR-003", "1..x", "names no versions"),
            ("CR-001", "", "one version only"),
        ],
    )
    def test_versions_that_can_t_be_compared(
        self, misce: Misce, code: str, versions: str, sentence: str
    ) -> None:
        wanted = ("--difference", versions) if versions else ("--difference",)
        refused = misce("show", code, *wanted)
        assert refused.code == REFUSED
        assert sentence in refused.err

    def test_words_that_fit_several(self, misce: Misce) -> None:
        refused = misce("show", "zinc")
        assert refused.code == REFUSED
        assert "Use the code" in refused.err


class TestScale:
    def test_it_gives_what_was_promised(self, misce: Misce) -> None:
        plan = misce("scale", "CR-001", "--to", "3 x 60 g", "--excess", "3 %", "--json").data
        assert plan["target"]["amount"] == "180"
        assert plan["to_make"] == {"amount": "185.4", "unit": "g"}
        wax = plan["lines"][0]
        assert wax["ingredient"] == "Cetomacrogol emulsifying wax"
        assert wax["as_written"] == "9 % w/w"
        assert wax["required"] == {"amount": "16.686", "unit": "g"}
        assert wax["to_measure"] == {"amount": "16.69", "unit": "g"}
        assert wax["with"] == "Precision balance, middle bench"
        assert wax["working"]
        assert wax["findings"] == []
        assert {"total", "strengths", "findings"} <= set(plan)

    def test_every_figure_has_its_working_below(self, misce: Misce) -> None:
        said = misce("scale", "CR-001", "--to", "3 x 60 g").plain
        assert "9 % w/w of 180 g = 16.2 g" in said
        assert "16.2 g with Precision balance, middle bench" in said
        assert "Makes " in said

    def test_a_bare_number_is_dose_units(self, misce: Misce) -> None:
        plan = misce("scale", "PD-001", "--to", "12", "--json").data
        assert plan["target"] | {"count": 1} == plan["target"]
        assert plan["to_make"] == {"amount": "12", "unit": "piece"}
        assert plan["lines"][0]["required"] == {"amount": "32.4", "unit": "g"}

    def test_a_file_without_any_formulary_rounds_nothing(
        self, bare: Misce, good_file: Path
    ) -> None:
        plan = bare("scale", "--file", good_file, "--to", "33.333 g", "--json").data
        line = plan["lines"][0]
        assert line["required"] == line["to_measure"] == {"amount": "0.33333", "unit": "g"}
        assert [each["severity"] for each in line["findings"]] == ["note"]

    def test_a_file_with_a_formulary_is_rounded_on_its_balances(
        self, misce: Misce, good_file: Path
    ) -> None:
        plan = misce("scale", "--file", good_file, "--to", "33.333 g", "--json").data
        assert plan["lines"][0]["to_measure"] == {"amount": "0.3333", "unit": "g"}

    @pytest.mark.parametrize(
        ("target", "told"),
        [
            ("60 u", "u"),
            ("0 g", "nothing"),
            ("-3", "nothing"),
            ("12", "dose unit"),
            ("1,250 g", "1,250"),
            ("60", "dose unit"),
            ("", "number"),
            ("3 x", "“x”"),
        ],
    )
    def test_what_cannot_be_made_is_refused_with_a_sentence(
        self, misce: Misce, target: str, told: str
    ) -> None:
        refused = misce("scale", "CR-001", f"--to={target}")
        assert refused.code == REFUSED
        assert refused.out == ""
        assert told in refused.err
        assert refused.err.rstrip().endswith(".")

    def test_a_bad_file_is_told_by_line_field_and_sentence(
        self, bare: Misce, bad_file: Path
    ) -> None:
        refused = bare("scale", "--file", bad_file, "--to", "60 g")
        assert refused.code == REFUSED
        for part in ("9", "ingredient 1, quantity", "1,250"):
            assert part in refused.err

    def test_the_lot_at_hand_changes_what_is_measured_and_nothing_declared(
        self, misce: Misce
    ) -> None:
        lot = "cetomacrogol emulsifying wax: assay=80"
        plan = misce("scale", "CR-001", "--to", "100 g", "--lot", lot, "--json").data
        wax = plan["lines"][0]
        assert wax["required"] == {"amount": "9", "unit": "g"}
        assert wax["to_measure"] == {"amount": "11.25", "unit": "g"}
        assert wax["correction"]["factor"] == "1.25"
        said = misce("scale", "CR-001", "--to", "100 g", "--lot", lot).plain
        assert "9 g declared x 1.25 for the lot = 11.25 g to measure" in said

    def test_a_lot_of_nothing_in_the_formula(self, misce: Misce) -> None:
        refused = misce("scale", "CR-001", "--to", "100 g", "--lot", "moondust: assay=80")
        assert refused.code == REFUSED
        assert "no moondust" in refused.err

    def test_no_such_file(self, bare: Misce, tmp_path: Path) -> None:
        refused = bare("scale", "--file", tmp_path / "none.toml", "--to", "60 g")
        assert refused.code == REFUSED
        assert "none.toml" in refused.err


class TestPrepareAndLabel:
    def test_a_preparation_gets_its_lot(self, misce: Misce) -> None:
        first = misce("prepare", "CR-001", "--to", "3 x 60 g", "--json").data
        second = misce("prepare", "CR-001", "--to", "60 g", "--json").data
        assert first["containers"] == 3
        assert first["lot"] != second["lot"]
        assert len(first["lot"]) <= 14

    def test_it_says_lot_and_last_day_of_use(self, misce: Misce) -> None:
        said = misce("prepare", "CR-001", "--to", "3 x 60 g").plain
        assert said.startswith("Lot GS")
        assert "use by" in said

    def test_as_names_who_acts(
        self, misce: Misce, house: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("MISCE_PIN", "1618")
        assert misce("prepare", "CR-001", "--to", "60 g", "--as", "maren odenholt").code == DONE
        assert last_act(house) == ("start_preparation", "Maren Odenholt")

    def test_another_s_pin_starts_nothing(self, misce: Misce, house: Path) -> None:
        refused = misce("prepare", "CR-001", "--to", "60 g", "--as", "maren odenholt")
        assert refused.code == REFUSED
        assert "Maren Odenholt" in refused.err
        assert last_act(house) == ("wrong_pin", "Maren Odenholt")

    def test_without_a_pin_nothing_is_started_but_everything_is_read(
        self, misce: Misce, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.delenv("MISCE_PIN")
        refused = misce("prepare", "CR-001", "--to", "60 g")
        assert refused.code == REFUSED
        assert "MISCE_PIN" in refused.err
        assert misce("scale", "CR-001", "--to", "60 g").code == DONE
        assert misce("show", "CR-001").code == DONE

    def test_a_reader_starts_nothing_by_this_door_either(
        self, misce: Misce, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("MISCE_PIN", "5772")
        refused = misce("prepare", "CR-001", "--to", "60 g", "--as", "Runa Veitch")
        assert refused.code == REFUSED
        assert "Runa Veitch is here as reader" in refused.err

    def test_the_terminal_is_asked_where_there_is_one(
        self, misce: Misce, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        asked: list[str] = []

        def answer(prompt: str) -> str:
            asked.append(prompt)
            return "3141"

        monkeypatch.delenv("MISCE_PIN")
        monkeypatch.setattr("sys.stdin.isatty", lambda: True)
        monkeypatch.setattr("getpass.getpass", answer)
        assert misce("prepare", "CR-001", "--to", "60 g").code == DONE
        assert asked == ["PIN of Ilse Corrander: "]

    def test_as_nobody_is_refused(self, misce: Misce) -> None:
        refused = misce("prepare", "CR-001", "--to", "60 g", "--as", "Nobody")
        assert refused.code == REFUSED
        assert "Maren Odenholt" in refused.err

    def test_a_draft_is_not_made(self, misce: Misce) -> None:
        refused = misce("prepare", "CR-005", "--to", "60 g")
        assert refused.code == REFUSED
        assert "draft" in refused.err

    def test_a_lot_gets_its_labels(self, misce: Misce, tmp_path: Path) -> None:
        lot = misce("prepare", "CR-001", "--to", "3 x 60 g", "--json").data["lot"]
        out = tmp_path / "label.pdf"
        told = misce("label", lot, "--stock", STOCK, "--out", out, "--json").data
        assert told == {
            "lot": lot,
            "stock": STOCK,
            "copies": 3,
            "language": "en",
            "out": str(out),
        }
        pdf = out.read_bytes()
        assert page_sizes_mm(pdf) == [(100.0, 70.0)] * 3
        for text in page_texts(pdf):
            assert squeezed(lot) in squeezed(text)

    def test_several_lots_go_onto_one_sheet(self, misce: Misce, tmp_path: Path) -> None:
        lots = [misce("prepare", "CR-001", "--to", "2 x 60 g", "--json").data["lot"] for _ in "ab"]
        out = tmp_path / "sheet.pdf"
        stock = "99.1x38.1-a4"
        told = misce("label", *lots, "--stock", stock, "--start", "3", "--out", out, "--json").data
        assert (told["lots"], told["copies"]) == (lots, 4)
        assert page_sizes_mm(out.read_bytes()) == [(210, 297)]
        refused = misce("label", *lots, "--stock", stock, "--start", "15", "--out", out)
        assert refused.code == REFUSED
        assert "no place 15" in refused.err

    def test_what_has_no_room_goes_to_a_second_label_or_a_leaflet(
        self, misce: Misce, tmp_path: Path
    ) -> None:
        out = tmp_path / "trial.pdf"
        trial = ("label", "CR-005", "--to", "60 g", "--trial", "--json", "--out")
        assert misce(*trial, out, "--overflow", "second-label").data["copies"] == 2
        told = misce(*trial, out, "--overflow", "leaflet").data
        assert told["copies"] == 1
        assert told["leaflet"] == ["made_on", "address"]

    def test_a_page_to_align_a_printer_by(self, misce: Misce, tmp_path: Path) -> None:
        out = tmp_path / "calibration.pdf"
        assert misce("label", "--calibrate", "--stock", "70x35", "--out", out).code == 0
        (text,) = page_texts(out.read_bytes())
        assert "35 mm from the left edge and 17.5 mm" in " ".join(text.split())

    def test_the_sample_pharmacys_labels_say_not_for_use(
        self, misce: Misce, tmp_path: Path
    ) -> None:
        out = tmp_path / "trial.pdf"
        told = misce(
            "label", "CR-005", "--to", "60 g", "--trial", "--stock", STOCK, "--out", out, "--json"
        )
        assert told.data["lot"] is None
        assert "notforuse" in squeezed(page_texts(out.read_bytes())[0]).casefold()

    def test_a_trial_label_of_a_file(self, misce: Misce, good_file: Path, tmp_path: Path) -> None:
        out = tmp_path / "trial.pdf"
        told = misce(
            "label", "--file", good_file, "--to", "60 g", "--trial", "--stock", STOCK, "--out", out
        )
        assert told.code == DONE
        assert str(out) in told.out
        assert out.exists()

    def test_an_unknown_lot(self, misce: Misce, tmp_path: Path) -> None:
        refused = misce("label", "GS26-99999", "--out", tmp_path / "x.pdf")
        assert refused.code == REFUSED
        assert "GS26-99999" in refused.err
        assert not (tmp_path / "x.pdf").exists()

    @pytest.mark.parametrize(
        "more",
        [
            ("--stock", "9x9"),
            ("--language", "xx"),
            ("--printer", "Nobody's"),
            ("--out", "/nowhere/label.pdf"),
        ],
    )
    def test_what_cannot_be_labelled_leaves_nothing_on_record(
        self, misce: Misce, house: Path, tmp_path: Path, more: tuple[str, str]
    ) -> None:
        lot = misce("prepare", "CR-001", "--to", "60 g", "--json").data["lot"]
        given = ("--stock", STOCK, "--out", str(tmp_path / "x.pdf"), *more)
        refused = misce("label", lot, *given)
        assert refused.code == REFUSED
        desk = open_desk(house)
        try:
            assert desk.store.history(after=1)[-1].verb == "start_preparation"
        finally:
            desk.store.close()

    def test_a_formula_without_trial_is_wrong_usage(self, misce: Misce) -> None:
        assert misce("label", "CR-001", "--to", "60 g").code == WRONG_USAGE

    def test_a_trial_without_target_is_wrong_usage(self, misce: Misce) -> None:
        assert misce("label", "CR-001", "--trial").code == WRONG_USAGE


class TestImportAndExport:
    def test_what_is_exported_is_imported_into_another_house(
        self, misce: Misce, tmp_path: Path, sample_file: Path, bare: Misce
    ) -> None:
        out = tmp_path / "out.toml"
        assert misce("export", "CR-001", "--out", out).code == DONE
        renamed = out.read_text(encoding="utf-8").replace("CR-001", "CR-901")
        out.write_text(renamed, encoding="utf-8")
        other = Path(shutil.copy(sample_file, tmp_path / "other.misce"))
        told = bare("import", out, "--formulary", other, "--json").data
        assert told == {"code": "CR-901", "version": 1, "state": "draft", "findings": []}
        again = bare("export", "CR-901", "--formulary", other)
        assert again.out == renamed

    def test_export_writes_to_standard_output(self, misce: Misce) -> None:
        text = misce("export", "CR-001").out
        assert misce("export", "CR-001", "--json").data["text"] == text
        assert text.startswith("format = 1\n")

    def test_an_import_is_a_draft_that_can_be_found(self, misce: Misce, good_file: Path) -> None:
        assert "draft" in misce("import", good_file).out
        assert misce("find", "menthol", "cream", "--json").data[0]["state"] == "draft"

    def test_importing_again_writes_over_the_draft(self, misce: Misce, good_file: Path) -> None:
        for _ in range(2):
            assert misce("import", good_file, "--json").data["version"] == 1

    def test_a_new_version_of_what_is_in_use_needs_a_reason(
        self, misce: Misce, tmp_path: Path
    ) -> None:
        out = tmp_path / "out.toml"
        misce("export", "CR-001", "--out", out)
        assert misce("import", out).code == REFUSED
        assert misce("import", out, "--reason", "tidied", "--json").data["version"] == 2

    def test_a_bad_file_keeps_nothing(self, misce: Misce, bad_file: Path) -> None:
        refused = misce("import", bad_file)
        assert refused.code == REFUSED
        for part in ("9", "ingredient 1, quantity"):
            assert part in refused.err
        assert misce("find", "menthol", "cream", "--json").data == []

    def test_no_place_to_export_to(self, misce: Misce) -> None:
        refused = misce("export", "CR-001", "--out", "/nowhere/out.toml")
        assert refused.code == REFUSED
        assert "/nowhere/out.toml" in refused.err


class TestSample:
    def test_it_is_made_and_tells_what_it_is(self, bare: Misce, tmp_path: Path) -> None:
        path = tmp_path / "new" / "folder" / "sample.misce"
        told = bare("sample", path, "--untouched", "--json").data
        assert told["formulas"] >= 18
        assert path.exists()

    def test_it_never_takes_the_place_of_a_file(self, bare: Misce, house: Path) -> None:
        before = house.read_bytes()
        refused = bare("sample", house)
        assert refused.code == REFUSED
        assert str(house) in refused.err
        assert house.read_bytes() == before

    def test_without_a_path_it_is_made_in_the_data_folder(self, bare: Misce) -> None:
        assert bare("sample", "--untouched").code == DONE
        assert default_location().exists()
        assert bare("find", "zinc", "--json").data

    def test_a_place_that_cannot_be_written(self, bare: Misce, house: Path) -> None:
        refused = bare("sample", house / "under-a-file" / "sample.misce")
        assert refused.code == REFUSED
        assert "inside Misce" not in refused.err


class TestAnyCommand:
    def test_there_is_no_formulary_yet(self, bare: Misce) -> None:
        refused = bare("find", "zinc")
        assert refused.code == REFUSED
        assert "misce sample" in refused.err

    def test_what_is_no_formulary(self, bare: Misce, good_file: Path, tmp_path: Path) -> None:
        for place in (good_file, tmp_path):
            refused = bare("find", "zinc", "--formulary", place)
            assert refused.code == REFUSED
            assert str(place) in refused.err

    @pytest.mark.parametrize(
        "arguments",
        [
            ("find",),
            ("fly",),
            ("show",),
            ("show", "CR-001", "--file", "x.toml"),
            ("scale", "CR-001"),
            ("prepare", "CR-001"),
            ("find", "zinc", "--colour"),
            ("label",),
        ],
    )
    def test_wrong_usage(self, bare: Misce, arguments: tuple[str, ...]) -> None:
        wrong = bare(*arguments)
        assert wrong.code == WRONG_USAGE
        assert "usage: misce" in wrong.err

    def test_help(self, bare: Misce) -> None:
        assert "find" in bare("--help").out
        for command in ("find", "show", "scale", "prepare", "label", "import", "export", "sample"):
            assert f"usage: misce {command}" in bare(command, "--help").out

    def test_a_mistake_inside_is_a_sentence_and_goes_to_the_log(
        self, bare: Misce, monkeypatch: pytest.MonkeyPatch, good_file: Path, own_home: Path
    ) -> None:
        def broken(_options: object) -> object:
            raise ZeroDivisionError("a mistake")

        monkeypatch.setitem(sys.modules["formulary.commands"].RUN, "show", broken)
        failed = bare("show", "--file", good_file)
        assert failed.code == REFUSED
        assert "Something went wrong inside Misce" in failed.err
        logs = list(own_home.rglob("misce.log"))
        assert len(logs) == 1
        assert "ZeroDivisionError" in logs[0].read_text(encoding="utf-8")


def _process(*arguments: str | Path, home: Path) -> subprocess.CompletedProcess[str]:
    environment = os.environ | {"PYTHONPATH": str(CLONE), "XDG_DATA_HOME": str(home)}
    command = [sys.executable, "-m", "formulary.command_line", *map(str, arguments)]
    return subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", env=environment, check=False
    )


def test_as_a_process_of_its_own(house: Path, bad_file: Path, tmp_path: Path) -> None:
    found = _process("find", "zinc", "--json", "--formulary", house, home=tmp_path)
    assert found.returncode == DONE
    assert json.loads(found.stdout)
    assert found.stderr == ""
    refused = _process("show", "--file", bad_file, home=tmp_path)
    assert (refused.returncode, refused.stdout) == (REFUSED, "")
    assert "ingredient 1, quantity" in refused.stderr
    assert _process("fly", home=tmp_path).returncode == WRONG_USAGE


def test_a_reader_that_stops_listening_is_no_failure(house: Path, tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONPATH": str(CLONE), "XDG_DATA_HOME": str(tmp_path)}
    command = [sys.executable, "-m", "formulary.command_line"]
    find = [*command, "find", "", "--json", "--formulary", str(house)]
    with subprocess.Popen(
        find, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == DONE


def test_an_answer_on_a_terminal_without_its_letters(house: Path, tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONPATH": str(CLONE), "PYTHONIOENCODING": "ascii"}
    command = [sys.executable, "-m", "formulary.command_line", "show", "CR-001"]
    done = subprocess.run(
        [*command, "--formulary", str(house)],
        capture_output=True,
        env=environment | {"XDG_DATA_HOME": str(tmp_path)},
        check=False,
    )
    assert (done.returncode, done.stderr) == (DONE, b"")
    assert b"15 to 25 ?C" in done.stdout


def test_json_on_a_terminal_without_its_letters_loses_none(house: Path, tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONPATH": str(CLONE), "PYTHONIOENCODING": "ascii"}
    command = [sys.executable, "-m", "formulary.command_line", "find", "CR-001", "--json"]
    done = subprocess.run(
        [*command, "--formulary", str(house)],
        capture_output=True,
        env=environment | {"XDG_DATA_HOME": str(tmp_path)},
        check=False,
    )
    assert json.loads(done.stdout)[0]["storage"] == "15 to 25 °C"


def test_an_overfull_file_is_kept_as_a_draft_that_says_so(misce: Misce, tmp_path: Path) -> None:
    overfull = tmp_path / "overfull.toml"
    overfull.write_text(
        'format = 1\ntitle = "Overfull"\ncode = "O-1"\nform = "cream"\nroute = "skin"\n'
        '[[ingredient]]\nname = "A"\nquantity = "10 % w/w"\n'
        '[[ingredient]]\nname = "B"\nquantity = "95 g"\n'
        '[[ingredient]]\nname = "C"\nquantity = "to 100 g"\n'
    )
    findings = misce("import", overfull, "--json").data["findings"]
    assert [each["severity"] for each in findings] == ["stop"]
