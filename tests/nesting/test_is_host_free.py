# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine knows no editor, the judge no search, and nobody a clock that was not handed in."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.helpers.places import PROJECT
from tests.test_house import modules, taken_by

MODULES = {name: file for name, file in modules().items() if name.startswith("nesting.")}
WORDS = {"nesting.model", "nesting.errors"}
each_module = pytest.mark.parametrize("module", sorted(MODULES))


def roots(module: str) -> set[str]:
    """Return what a module imports, by the first word of its name."""
    return {name.split(".")[0] for name in taken_by(MODULES[module])}


@each_module
def test_no_module_knows_the_editor_or_svg(module: str) -> None:
    assert not roots(module) & {"inkex", "lxml", "extension", "tests", "gi", "tkinter"}


@each_module
def test_one_module_alone_knows_the_clipping_library(module: str) -> None:
    assert ("pyclipper" in roots(module)) == (module == "nesting.geometry.clip")


@pytest.mark.parametrize("module", sorted(m for m in MODULES if m.startswith("nesting.judge.")))
def test_the_judge_shares_no_code_with_the_search(module: str) -> None:
    own = taken_by(MODULES[module]) & set(MODULES)
    assert {name for name in own if not name.startswith("nesting.judge")} <= WORDS
    assert roots(module) <= {*sys.stdlib_module_names, "nesting", "numpy", "shapely"}


@each_module
def test_no_module_uses_a_clock_or_chance_that_was_not_handed_in(module: str) -> None:
    allowed = {"nesting.__main__": {"time"}}.get(module, set())
    assert not roots(module) & {"time", "datetime", "random", "secrets", "uuid"} - allowed


def test_the_whole_engine_loads_without_the_editor() -> None:
    code = (
        "import sys\n"
        "sys.modules.update(dict.fromkeys(['inkex', 'lxml', 'extension']))\n"
        f"for name in {sorted(set(MODULES) - {'nesting.__main__'})}:\n"
        "    __import__(name)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=PROJECT, timeout=120)
