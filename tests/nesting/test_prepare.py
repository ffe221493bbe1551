# SPDX-License-Identifier: GPL-2.0-or-later
"""Preparing compiles all that a run needs, into the folder that is named for it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]
JOBS = Path(__file__).parent / "jobs"


@pytest.mark.slow
def test_after_preparing_no_run_compiles_anything(tmp_path: Path) -> None:
    def nesting(*arguments: str) -> set[tuple[str, int]]:
        """Run the engine; return the files of the cache with the times they were written."""
        done = subprocess.run(
            [sys.executable, "-m", "nesting", *arguments],
            cwd=PROJECT,
            env={**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)},
            stdout=subprocess.DEVNULL,
            check=False,
            timeout=280,
        )
        assert done.returncode in (0, 3)
        files = (path for path in tmp_path.rglob("*") if path.is_file())
        return {(str(path), path.stat().st_mtime_ns) for path in files}

    prepared = nesting("--prepare")
    assert prepared
    for name in ("two-garments-with-gap", "short-cloth", "held-in-the-middle"):
        assert nesting(str(JOBS / f"{name}.json"), "--rounds", "3") == prepared
