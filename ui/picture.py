"""Draw the window on the sample house into a file, offscreen: for the README and for looking at."""

from __future__ import annotations

import tempfile
import time
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QSettings
from PySide6.QtTest import QTest

from ui.context import Context, PageName, Topic
from ui.formulas.page import FormulasPage
from ui.opening import Opening
from ui.options import Options
from ui.window import Window

SOUGHT, TARGET = "hydrophilic cream", "3 x 60 g"
CALCULATION = "ethanol-dilution"
PATIENCE_S = 60.0


def draw(options: Options) -> int:
    """Save the picture; return 0, or 1 if it couldn't be drawn or written."""
    with tempfile.TemporaryDirectory() as folder:
        QSettings.setDefaultFormat(QSettings.Format.IniFormat)
        QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, folder)
        context = Context()
        window = Window(context)
        window.resize(*options.size)
        window.show_empty()
        window.show()
        Opening(window, str(Path(folder) / "sample.misce")).make_sample()
        settle(context)
        _show(window, options.page)
        done = window.grab().save(options.picture)
        window.close()
    return 0 if done else 1


def settle(context: Context) -> None:
    """Wait until nothing is under way and everything is painted."""
    until = time.monotonic() + PATIENCE_S
    while context.operations.busy and time.monotonic() < until:
        QCoreApplication.processEvents()
        time.sleep(0.005)
    QTest.qWait(0)


def _show(window: Window, page: str) -> None:
    """Show a formula scaled to a container, then another page if that is wanted."""
    formulas = window.page(PageName.FORMULAS.value)
    if not isinstance(formulas, FormulasPage):
        return
    formulas.search_for(SOUGHT)
    settle(window.context)
    formulas.panel.make(TARGET)
    settle(window.context)
    if page == PageName.FORMULAS.value:
        return
    if page == PageName.LABELS.value:
        formulas.panel.start.trigger()
        settle(window.context)
        window.show_page(page, window.context.desk.store.register()[0].lot)
    elif page == PageName.BENCH.value:
        _show_bench(window)
    elif page == PageName.CALCULATIONS.value:
        _show_calculation(window)
    else:
        window.show_page(page)
    settle(window.context)


def _show_bench(window: Window) -> None:
    """Show a started preparation in the middle of its weighings."""
    from ui.bench.example import begin

    context = window.context
    context.seat(replace(context.desk, signed_in=True))
    context.do(
        begin,
        lambda lot: window.show_page(PageName.BENCH.value, lot),
        changes=(Topic.PREPARATIONS,),
    )


def _show_calculation(window: Window) -> None:
    """Show a calculation that has a picture, with its example."""
    from ui.calculations.page import CalculationsPage

    window.show_page(PageName.CALCULATIONS.value, CALCULATION)
    page = window.page(PageName.CALCULATIONS.value)
    if isinstance(page, CalculationsPage):
        page.sheet.example.trigger()
