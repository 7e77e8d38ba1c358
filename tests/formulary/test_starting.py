"""Starting: which arguments open the window, and what happens where there is no screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from formulary import starting


class Started:
    """Notes what would have been started."""

    command: Sequence[str] = ()
    environment: Mapping[str, str] = {}

    def __call__(self, command: Sequence[str], environment: Mapping[str, str]) -> int:
        self.command, self.environment = command, environment
        return 0


@pytest.fixture
def started() -> Started:
    return Started()


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["--formulary", "house.db"],
        ["--formulary=house.db"],
        ["--picture", "out.png"],
        ["--formulary", "house.db", "--picture=out.png"],
    ],
)
def test_no_argument_or_only_the_windows_open_the_window(arguments: list[str]) -> None:
    assert starting.wants_window(arguments)


@pytest.mark.parametrize(
    "arguments",
    [
        ["find", "zinc"],
        ["--help"],
        ["--formulary", "house.db", "scale", "ZO-1"],
        ["--formulary"],
        ["scale", "--picture", "out.png"],
    ],
)
def test_everything_else_is_a_command(arguments: list[str], started: Started) -> None:
    starting.start(arguments, python="/v/python", environment={}, replace=started)
    assert started.command == ["/v/python", "-P", "-m", "formulary.command_line", *arguments]


def test_the_window_is_a_process_of_its_own(started: Started) -> None:
    screen = {"DISPLAY": ":0"}
    starting.start(["--formulary", "a.db"], python="/v/python", environment=screen, replace=started)
    assert started.command == ["/v/python", "-P", "-m", "ui", "--formulary", "a.db"]


def test_a_picture_needs_no_screen(started: Started) -> None:
    starting.start_window(["--picture", "out.png"], environment={}, replace=started)
    assert started.environment["QT_QPA_PLATFORM"] == "offscreen"


def test_without_a_screen_a_sentence_names_what_works(
    started: Started, capsys: pytest.CaptureFixture[str]
) -> None:
    code = starting.start_window([], environment={"DISPLAY": ""}, replace=started)
    said = capsys.readouterr().err
    assert (code, started.command) == (1, ())
    assert "There is no screen here" in said
    assert "python3 -m formulary find TEXT" in said
    assert "python3 -m formulary --picture" in said


@pytest.mark.parametrize(
    ("environment", "platform", "expected"),
    [
        ({}, "linux", False),
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({"QT_QPA_PLATFORM": "offscreen"}, "linux", True),
        ({"QT_QPA_PLATFORM": "xcb"}, "linux", False),
        ({"QT_QPA_PLATFORM": "wayland;xcb"}, "linux", False),
        ({"QT_QPA_PLATFORM": "vnc:size=800x600"}, "linux", True),
        ({}, "darwin", True),
        ({}, "win32", True),
    ],
)
def test_a_screen_is_what_qt_can_draw_on(
    environment: dict[str, str], platform: str, *, expected: bool
) -> None:
    assert starting.has_screen(environment, platform) is expected
