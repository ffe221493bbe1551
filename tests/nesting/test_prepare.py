# SPDX-License-Identifier: GPL-2.0-or-later
"""Preparing compiles all that a run needs, into the folder that is named for it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.helpers.places import PROJECT

JOBS = Path(__file__).parent / "jobs"

PROBE = """
import json, pkgutil, importlib, sys
from pathlib import Path
from numba.core.dispatcher import Dispatcher
import nesting
from nesting.jobs.jobfile import job_from_json
from nesting.prepare import prepare
from nesting.solve import solve
from nesting.stop import AfterRounds

def compiled():
    every = pkgutil.walk_packages(nesting.__path__, "nesting.")
    names = sorted(module.name for module in every if module.name != "nesting.__main__")
    modules = [importlib.import_module(name) for name in names]
    loops = {
        f"{module.__name__}.{name}": thing
        for module in modules
        for name, thing in vars(module).items()
        if isinstance(thing, Dispatcher)
    }
    return {name: sorted(map(str, loop.signatures)) for name, loop in loops.items()}

found = {"before": compiled()}
prepare()
found["prepared"] = compiled()
for path in sys.argv[1:]:
    job = job_from_json(Path(path).read_bytes())
    solve(job, stop=AfterRounds(5), clock=lambda: 0.0, workers=2)
found["after"] = compiled()
print(json.dumps(found))
"""


@pytest.mark.slow
def test_after_preparing_no_run_compiles_anything() -> None:
    """In a process of its own: no loop meets arguments of kinds that preparing did not show it."""
    names = ("two-garments-with-gap", "short-cloth", "held-in-the-middle", "drawn-far-away")
    jobs = [str(JOBS / f"{name}.json") for name in names]
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *jobs],
        cwd=PROJECT,
        capture_output=True,
        check=True,
        timeout=280,
    )
    found = json.loads(done.stdout)
    assert not any(found["before"].values())
    # Loops that only other loops call show nothing when those come from the cache.
    assert sum(map(bool, found["prepared"].values())) >= 5
    assert found["after"] == found["prepared"]
