# SPDX-License-Identifier: GPL-2.0-or-later
"""The contributor guide names every module there is, and none that is gone."""

from __future__ import annotations

import re
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent


def packages() -> dict[str, set[str]]:
    """Return the modules of each package, by the package's folder."""
    found: dict[str, set[str]] = {}
    for top in ("nesting", "extension"):
        for path in (PROJECT / top).rglob("*.py"):
            if path.name != "__init__.py":
                folder = path.parent.relative_to(PROJECT).as_posix()
                found.setdefault(folder, set()).add(path.name)
    return found


def test_the_guide_names_every_module_under_its_folder() -> None:
    guide = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")
    tables = re.findall(r"\*\*`([\w/]+)/`[^\n]*\n\n((?:\|[^\n]*\n)+)", guide)
    named = {folder: set(re.findall(r"^\| `([\w.]+)`", rows, re.M)) for folder, rows in tables}
    assert named == packages()
