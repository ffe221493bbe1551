# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine knows no editor, the judge no search, and imports run one way."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import nesting

FOLDER = Path(nesting.__file__).parent
MODULES = sorted(path.stem for path in FOLDER.glob("*.py"))
JUDGE = {"check", "bookkeeping", "verdict"}
WORDS = {"model", "errors"}


def imports_of(module: str) -> set[str]:
    """Every module that is imported anywhere in a file of the engine, in functions as well."""
    tree = ast.parse((FOLDER / f"{module}.py").read_text(encoding="utf-8"))
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def own(module: str) -> set[str]:
    """The modules of the engine that one of them imports."""
    names = {name.split(".")[1] for name in imports_of(module) if name.startswith("nesting.")}
    return names & set(MODULES)


def roots(module: str) -> set[str]:
    return {name.split(".")[0] for name in imports_of(module)}


@pytest.mark.parametrize("module", MODULES)
def test_no_module_knows_the_editor_or_svg(module: str) -> None:
    assert not roots(module) & {"inkex", "lxml", "extension", "tests", "gi", "tkinter"}


@pytest.mark.parametrize("module", MODULES)
def test_one_module_alone_knows_the_clipping_library(module: str) -> None:
    assert ("pyclipper" in roots(module)) == (module == "clip")


@pytest.mark.parametrize("module", sorted(JUDGE))
def test_the_judge_shares_no_code_with_the_search(module: str) -> None:
    assert own(module) <= JUDGE | WORDS
    assert roots(module) <= {*sys.stdlib_module_names, "nesting", "numpy", "shapely"}


@pytest.mark.parametrize("module", MODULES)
def test_no_module_uses_a_clock_or_chance_that_was_not_handed_in(module: str) -> None:
    allowed = {"__main__": {"time"}}.get(module, set())
    assert not roots(module) & {"time", "datetime", "random", "secrets", "uuid"} - allowed


@pytest.mark.parametrize("module", MODULES)
def test_imports_run_one_way(module: str) -> None:
    reached, ahead = set(), own(module)
    while ahead:
        reached |= ahead
        ahead = {name for one in ahead for name in own(one)} - reached
    assert module not in reached


def test_the_whole_engine_loads_without_the_editor() -> None:
    code = (
        "import sys\n"
        "sys.modules.update(dict.fromkeys(['inkex', 'lxml', 'extension']))\n"
        f"for name in {MODULES}:\n"
        "    __import__('nesting.' + name)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=FOLDER.parent, timeout=120)


def test_this_test_can_see_an_import_inside_a_function() -> None:
    assert "nesting.command" in imports_of("__main__")
