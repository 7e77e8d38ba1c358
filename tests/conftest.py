"""What holds for every test: no screen, fixed seeds, and a home of its own."""

from __future__ import annotations

import os
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest

pytest_plugins = ["tests.helpers.stores"]

# Before anything imports PySide6: Qt reads it once.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# The examples are the same in each run. How long one takes depends on the machine, so no test
# fails for that.
hypothesis.settings.register_profile(
    "everyday",
    derandomize=True,
    deadline=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.register_profile(
    "full", parent=hypothesis.settings.get_profile("everyday"), max_examples=2000
)
hypothesis.settings.load_profile("full" if os.environ.get("MISCE_FULL") else "everyday")


_LONG = ("load", "readme", "crash", "flows", "fuzz", "packaging")
"""Folders of files with few and long tests; begun last, one of them would be waited for alone."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest, so that both processes end together."""
    tests = Path(__file__).parent
    items.sort(key=lambda each: each.path.relative_to(tests).parts[0] not in _LONG)


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give each test empty folders for data and settings, so that none touches the person's."""
    home = tmp_path / "home"
    for kind in ("DATA", "CONFIG", "STATE", "CACHE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(home / kind.lower()))
    if "PySide6.QtCore" in sys.modules:
        _point_settings_to(home / "config")
    return home


def _point_settings_to(folder: Path) -> None:
    """Point QSettings there; it reads the environment only the first time it is used."""
    from PySide6.QtCore import QSettings

    for format_ in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(format_, QSettings.Scope.UserScope, str(folder))


@pytest.fixture(autouse=True)
def no_window_left(own_home: Path) -> Iterator[None]:  # noqa: ARG001 - torn down before the home
    """Close what a test left open; the garbage collector would take it at some later moment."""
    yield
    if "PySide6.QtWidgets" not in sys.modules:
        return
    from PySide6.QtCore import QCoreApplication, QEvent, Qt
    from PySide6.QtWidgets import QApplication

    if QApplication.instance() is None:
        return
    for window in QApplication.topLevelWidgets():
        # A list that pops up goes with its line; taken before it, the line is left with a hole.
        if window.windowType() is not Qt.WindowType.Popup:
            window.close()
            window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the figures that tests gave with ``record_property``, added up under their names."""
    figures: defaultdict[str, list[int]] = defaultdict(list)
    for report in terminalreporter.getreports("passed"):
        for name, figure in report.user_properties:
            figures[str(name)].append(int(str(figure)))
    if figures:
        terminalreporter.section("figures")
    for name, given in sorted(figures.items()):
        terminalreporter.line(f"{name}: {sum(given)} in {len(given)} runs")
