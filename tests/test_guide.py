# SPDX-License-Identifier: GPL-2.0-or-later
"""The house can be read from the first lines of its modules."""

from __future__ import annotations

import ast
from collections import Counter

from tests.helpers.places import PROJECT


def first_lines() -> dict[str, str]:
    """Return the first line of each module's docstring by the module's file, "" without one."""
    found: dict[str, str] = {}
    for top in ("nesting", "extension"):
        for path in (PROJECT / top).rglob("*.py"):
            text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
            found[path.relative_to(PROJECT).as_posix()] = text.split("\n")[0]
    return found


def test_every_module_and_package_says_in_one_line_what_it_holds() -> None:
    assert [file for file, line in first_lines().items() if not line] == []


def test_no_two_modules_say_that_they_hold_the_same() -> None:
    told = Counter(first_lines().values())
    assert [line for line, times in told.items() if times > 1] == []
