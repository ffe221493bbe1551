# SPDX-License-Identifier: GPL-2.0-or-later
"""Compiled loops are kept as long as they are right, and a run needs no place to keep them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import nesting
from tests.helpers.loops import stands_twice

pytestmark = stands_twice

PACKAGE = Path(nesting.__file__).parent
LOOP = """
from nesting.compiled import compiled
from nesting.{source} import STEP

@compiled
def onwards(number):
    return number + STEP
"""
ASK = "from nesting.loop import onwards; print(onwards(1), sum(onwards.stats.cache_hits.values()))"


@pytest.fixture
def engine(tmp_path: Path) -> Path:
    """Return a folder with a tiny engine: a loop that takes a number from another module."""
    package = tmp_path / "engine/nesting"
    package.mkdir(parents=True)
    (package / "__init__.py").touch()
    shutil.copy(PACKAGE / "compiled.py", package)
    (package / "loop.py").write_text(LOOP.format(source="measures"), encoding="utf-8")
    (package / "measures.py").write_text("STEP = 1\n", encoding="utf-8")
    return package.parent


def answer(engine: Path, kept: str = "", home: str = "") -> tuple[int, int]:
    """Return what the loop makes of 1 in a process of its own, and how often it came from before.

    `kept` is the folder that is named for compiled code, "" for none.
    """
    environ = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    environ.pop("NUMBA_CACHE_DIR", None)
    environ.update({"NUMBA_CACHE_DIR": kept} if kept else {})
    environ.update({"HOME": home, "XDG_CACHE_HOME": home} if home else {})
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", ASK],
        cwd=engine,
        env=environ,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    number, hits = done.stdout.split()
    return int(number), int(hits)


@pytest.mark.parametrize("named", [True, False])
def test_what_was_compiled_is_used_again(engine: Path, tmp_path: Path, named: bool) -> None:
    kept = str(tmp_path / "not" / "there yet") if named else ""
    assert answer(engine, kept) == (2, 0)
    assert answer(engine, kept) == (2, 1)


def test_a_loop_is_compiled_anew_when_something_it_takes_from_elsewhere_has_changed(
    engine: Path, tmp_path: Path
) -> None:
    kept = str(tmp_path / "kernels")
    assert answer(engine, kept) == (2, 0)
    (engine / "nesting/measures.py").write_text("STEP = 40\n", encoding="utf-8")
    assert answer(engine, kept) == (41, 0)


def test_it_is_compiled_anew_when_that_comes_from_further_away(
    engine: Path, tmp_path: Path
) -> None:
    kept = str(tmp_path / "kernels")
    (engine / "nesting/search").mkdir()
    (engine / "nesting/search/table.py").write_text("STEP = 5\n", encoding="utf-8")
    (engine / "nesting/measures.py").write_text(
        "from nesting.search.table import STEP as STEP\n", encoding="utf-8"
    )
    assert answer(engine, kept) == (6, 0)
    (engine / "nesting/search/table.py").write_text("STEP = 7\n", encoding="utf-8")
    assert answer(engine, kept) == (8, 0)


def test_what_no_loop_depends_on_changes_nothing(engine: Path, tmp_path: Path) -> None:
    kept = str(tmp_path / "kernels")
    assert answer(engine, kept) == (2, 0)
    (engine / "nesting/words.py").write_text("HELLO = 1\n", encoding="utf-8")
    assert answer(engine, kept) == (2, 1)


def test_where_nothing_can_be_kept_it_works_all_the_same(engine: Path, tmp_path: Path) -> None:
    """A file stands where the folder should be: not even an administrator can write there."""
    in_the_way = tmp_path / "kernels"
    in_the_way.touch()
    assert answer(engine, str(in_the_way)) == (2, 0)
    assert answer(engine, str(in_the_way)) == (2, 0)
    assert in_the_way.read_bytes() == b""


def test_where_no_folder_at_all_can_be_written_it_works_all_the_same(
    engine: Path, tmp_path: Path
) -> None:
    (engine / "nesting/__pycache__").touch()
    nobody = tmp_path / "nobody"
    nobody.touch()
    assert answer(engine, home=str(nobody)) == (2, 0)
