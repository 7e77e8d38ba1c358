from __future__ import annotations

from pathlib import Path

import pytest

from formulary.errors import BadText, NotFound
from formulary.labels.stock import label_stock, label_stocks, read_stock

GOOD = 'code = "80x40"\nwidth_mm = 80\nheight_mm = 40\nmargin_mm = 2\n'


def test_the_usual_roll_sizes_come_with_the_program() -> None:
    assert {"62x29", "70x35", "100x50"} <= {stock.code for stock in label_stocks()}


def test_every_shipped_code_says_its_size() -> None:
    for stock in label_stocks():
        size = f"{stock.width_mm:g}x{stock.height_mm:g}"
        assert stock.code == (f"{size}-a4" if stock.sheet else size)


def test_an_unknown_stock_is_refused_with_those_there_are() -> None:
    with pytest.raises(NotFound) as refusal:
        label_stock("80x40")
    said = dict(refusal.value.message.parameters)
    assert said["code"] == "80x40"
    assert "70x35" in str(said["there_are"])


def test_a_file_in_the_house_folder_is_a_new_stock(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(GOOD, encoding="utf-8")
    stock = label_stock("80x40", tmp_path)
    assert (stock.width_mm, stock.height_mm, stock.dots_per_inch) == (80, 40, 203)


@pytest.mark.parametrize(
    ("content", "key"),
    [
        ("not toml", "label.bad_stock_file"),
        ('code = "80x40"', "label.bad_stock_file"),
        (GOOD.replace("80\n", '"eighty"\n'), "label.bad_stock_file"),
        (GOOD.replace("= 40", "= 4"), "label.impossible_stock"),
        (GOOD.replace("= 80\n", "= 8000\n"), "label.impossible_stock"),
        (GOOD.replace("= 2", "= 0"), "label.impossible_stock"),
        (GOOD.replace("= 2", "= 15"), "label.impossible_stock"),
        (GOOD + "dots_per_inch = 72\n", "label.impossible_stock"),
    ],
)
def test_a_file_that_describes_no_label_is_refused_by_name(
    tmp_path: Path, content: str, key: str
) -> None:
    path = tmp_path / "ours.toml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(BadText) as refusal:
        read_stock(path)
    assert refusal.value.message.key == key
    assert dict(refusal.value.message.parameters)["file"] == "ours.toml"
