"""No text that comes in is ever run: what could do that doesn't stand in the program."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from formulary.starting import CLONE

LOADERS = {"pickle", "cPickle", "marshal", "shelve", "dill", "jsonpickle", "yaml", "joblib"}
RUNNERS = {"eval", "exec", "compile", "__import__"}
FILES = sorted(each for folder in ("formulary", "ui") for each in (CLONE / folder).rglob("*.py"))


def found_in(tree: ast.AST) -> Iterator[str]:
    """Yield what loads or runs whatever a text says."""
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                yield from (each.name for each in names if each.name.split(".")[0] in LOADERS)
            case ast.ImportFrom(module=str(module)) if module.split(".")[0] in LOADERS:
                yield module
            case ast.Call(func=ast.Name(id=name)) if name in RUNNERS:
                yield name
            case ast.Call(func=ast.Attribute(value=ast.Name(id="os"), attr="system" | "popen")):
                yield "os"
            case ast.keyword(arg="shell", value=ast.Constant(value=True)):
                yield "shell"
            case ast.Attribute(attr="extractall" | "unpack_archive"):
                yield "unpacked to names that an archive gives"


@pytest.mark.parametrize(
    "code",
    [
        "import pickle",
        "from yaml import load",
        "eval(text)",
        "import os\nos.system(text)",
        "run(text, shell=True)",
        "archive.extractall()",
    ],
)
def test_what_runs_a_text_would_be_found(code: str) -> None:
    assert [*found_in(ast.parse(code))]


def test_no_module_of_the_program_runs_a_text() -> None:
    assert len(FILES) > 500
    found = {
        path.relative_to(CLONE): what
        for path in FILES
        if (what := [*found_in(ast.parse(Path(path).read_text(encoding="utf-8")))])
    }
    assert found == {}
