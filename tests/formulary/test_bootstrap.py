"""Setting up: what a bare machine is told, what is installed, and when nothing needs doing."""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from formulary import bootstrap, starting
from formulary.bootstrap import COMMAND, PICTURE, TESTS, WINDOW, Environment, Machine, NotReady


@dataclass
class Diary:
    """What the set-up ran and said; making an environment leaves its Python behind."""

    commands: list[list[str]] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)

    def run(self, command: Sequence[str]) -> None:
        self.commands.append(list(command))
        if "venv" in command:
            python = Path(command[-1]) / "bin" / "python"
            python.parent.mkdir(parents=True, exist_ok=True)
            python.touch()

    def ran(self, *words: str) -> int:
        """How many commands held all these words."""
        return sum(set(words) <= set(command) for command in self.commands)


@pytest.fixture
def diary() -> Diary:
    return Diary()


@pytest.fixture
def machine(diary: Diary) -> Machine:
    """A Debian machine where nothing is missing, used by an ordinary person."""
    return Machine(
        python=(3, 11),
        linux=True,
        apt=True,
        root=False,
        ci=False,
        postgres=False,
        ensurepip=True,
        loads=lambda _soname: True,
        run=diary.run,
        say=diary.sentences.append,
    )


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    folder = tmp_path / "clone"
    folder.mkdir()
    (folder / "pyproject.toml").write_text("[project]\n")
    (folder / "constraints.txt").write_text("pint==0.25.3\n")
    return folder


def without(*sonames: str) -> Callable[[str], bool]:
    return lambda soname: soname not in sonames


def test_an_old_python_is_refused_in_a_sentence() -> None:
    with pytest.raises(NotReady, match=r"Misce needs Python 3\.11 or newer.*this is Python 3\.8\."):
        bootstrap.refuse_old_python((3, 8))


@pytest.mark.parametrize("version", [(3, 11), (3, 13), (4, 0)])
def test_a_python_that_is_new_enough_is_not_refused(version: tuple[int, int]) -> None:
    bootstrap.refuse_old_python(version)


@pytest.mark.parametrize(
    "name",
    [
        "formulary/__init__.py",
        "formulary/__main__.py",
        "formulary/bootstrap.py",
        "formulary/starting.py",
        "tests/__init__.py",
        "tests/__main__.py",
    ],
)
def test_what_runs_first_can_be_read_by_an_old_python_with_nothing_installed(name: str) -> None:
    tree = ast.parse((starting.CLONE / name).read_text(), feature_version=(3, 7))
    imported = {
        part.split(".")[0]
        for node in ast.walk(tree)
        for part in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert imported <= sys.stdlib_module_names | {"formulary"}


def test_an_ordinary_person_is_given_the_one_line_that_installs_what_is_missing(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    lacks = replace(machine, loads=without("libxcb-keysyms.so.1", "libEGL.so.1"))
    with pytest.raises(NotReady) as told:
        Environment(clone, lacks).make_ready(WINDOW)
    assert str(told.value).splitlines()[-1] == (
        "sudo apt-get install -y --no-install-recommends libegl1 libxcb-keysyms1"
    )
    assert diary.commands == []


def test_root_on_debian_installs_exactly_what_is_missing(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    lacks = replace(machine, root=True, ensurepip=False, loads=without("libGL.so.1"))
    Environment(clone, lacks).make_ready(PICTURE)
    assert diary.commands[:2] == [
        ["apt-get", "update"],
        ["apt-get", "install", "-y", "--no-install-recommends", "libgl1", "python3.11-venv"],
    ]


def test_elsewhere_the_missing_libraries_are_named(machine: Machine, clone: Path) -> None:
    lacks = replace(machine, apt=False, root=True, loads=without("libxcb-xkb.so.1"))
    with pytest.raises(NotReady, match=r"libxcb-xkb\.so\.1"):
        Environment(clone, lacks).make_ready(WINDOW)


def test_a_command_needs_nothing_of_what_a_window_needs(machine: Machine, clone: Path) -> None:
    Environment(clone, replace(machine, loads=lambda _soname: False)).make_ready(COMMAND)


def test_other_systems_bring_qts_libraries_with_qt(machine: Machine) -> None:
    other = replace(machine, linux=False, loads=lambda _soname: False)
    assert bootstrap.lacking(WINDOW, other) == {}


@pytest.mark.parametrize(
    ("ci", "root", "there", "expected"),
    [
        (True, True, False, ["postgresql"]),
        (True, True, True, []),
        (True, False, False, []),
        (False, True, False, []),
    ],
)
def test_postgresql_is_installed_only_in_ci_as_root(
    machine: Machine, *, ci: bool, root: bool, there: bool, expected: list[str]
) -> None:
    here = replace(machine, ci=ci, root=root, postgres=there)
    assert list(bootstrap.lacking(TESTS, here).values()) == expected
    assert "postgresql" not in bootstrap.lacking(WINDOW, here).values()


def test_the_second_start_does_nothing(machine: Machine, clone: Path, diary: Diary) -> None:
    Environment(clone, machine).make_ready(COMMAND)
    done = len(diary.commands)
    Environment(clone, machine).make_ready(COMMAND)
    assert (done, len(diary.commands)) == (2, 2)


def test_a_window_after_a_command_installs_no_package_again(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    Environment(clone, machine).make_ready(COMMAND)
    Environment(clone, machine).make_ready(WINDOW)
    assert diary.ran("pip") == 1


def test_tests_after_a_start_add_only_the_tools(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    Environment(clone, machine).make_ready(COMMAND)
    Environment(clone, machine).make_ready(TESTS)
    Environment(clone, machine).make_ready(COMMAND)
    assert (diary.ran("venv"), diary.ran("pip"), diary.ran(f"{clone}[test]")) == (1, 2, 1)


def test_changed_pins_are_installed_into_the_same_environment(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    Environment(clone, machine).make_ready(COMMAND)
    (clone / "constraints.txt").write_text("pint==0.25.3\nalembic==1.20.1\n")
    Environment(clone, machine).make_ready(COMMAND)
    assert (diary.ran("venv"), diary.ran("pip")) == (1, 2)


def test_another_python_gets_a_new_environment(machine: Machine, clone: Path, diary: Diary) -> None:
    Environment(clone, machine).make_ready(COMMAND)
    Environment(clone, replace(machine, python=(3, 13))).make_ready(COMMAND)
    assert diary.ran("venv", "--clear") == 2


def test_a_half_built_environment_is_built_anew(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    def killed_in_pip(command: Sequence[str]) -> None:
        diary.run(command)
        if "pip" in command:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        Environment(clone, replace(machine, run=killed_in_pip)).make_ready(COMMAND)
    Environment(clone, machine).make_ready(COMMAND)
    assert diary.ran("venv", "--clear") == 2


def test_an_environment_that_lost_its_python_is_built_anew(
    machine: Machine, clone: Path, diary: Diary
) -> None:
    environment = Environment(clone, machine)
    environment.make_ready(COMMAND)
    environment.python.unlink()
    environment.make_ready(COMMAND)
    assert diary.ran("venv", "--clear") == 2


def test_outside_a_clone_nothing_is_set_up(machine: Machine, tmp_path: Path, diary: Diary) -> None:
    assert bootstrap.prepare(WINDOW, tmp_path, machine) == sys.executable
    assert diary.commands == []


def test_inside_its_own_environment_nothing_is_set_up(
    machine: Machine, clone: Path, diary: Diary, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "prefix", str(clone / ".venv"))
    assert bootstrap.prepare(WINDOW, clone, machine) == sys.executable
    assert diary.commands == []


def test_a_failing_tool_shows_its_last_lines() -> None:
    with pytest.raises(NotReady, match="no such wheel"):
        bootstrap.run_quietly([sys.executable, "-c", "print('no such wheel'); raise SystemExit(1)"])


def test_a_machine_that_is_not_ready_ends_with_code_3(capsys: pytest.CaptureFixture[str]) -> None:
    def act() -> int:
        raise NotReady("Install this.")

    assert bootstrap.told(act) == 3
    assert capsys.readouterr().err == "Install this.\n"


@pytest.mark.parametrize(
    ("arguments", "environment", "purpose"),
    [
        ([], {"DISPLAY": ":0"}, WINDOW),
        ([], {}, COMMAND),
        (["--picture", "out.png"], {}, PICTURE),
        (["find", "zinc"], {"DISPLAY": ":0"}, COMMAND),
    ],
)
def test_only_what_the_start_needs_is_asked_of_the_system(
    arguments: list[str], environment: dict[str, str], purpose: bootstrap.Purpose
) -> None:
    assert bootstrap.purpose_of(arguments, environment) is purpose
