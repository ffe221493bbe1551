# SPDX-License-Identifier: GPL-2.0-or-later
"""Profiles, options and fixtures that every kind of test shares."""

from __future__ import annotations

import gc
import os
import signal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.helpers.places import PROJECT

settings.register_profile(
    "ci",
    derandomize=True,
    deadline=None,
    print_blob=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("deep", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--benchmarks",
        default=os.environ.get("THRIFTLAY_BENCHMARKS", str(PROJECT.parent / "shared/benchmarks")),
        help="folder with published instances and their layouts",
    )
    parser.addoption(
        "--store-golden",
        action="store_true",
        help="write what is drawn as the new golden files; each test that does so fails once",
    )


def pytest_configure() -> None:
    gc.disable()  # while tests are collected nothing is thrown away
    # Begun in the background of a shell, a process ignores Ctrl+C, and so does what it starts.
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_finish() -> None:
    # Half a million objects of what was collected need not be looked through again and again.
    gc.collect()
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session")
def samples() -> Path:
    """Return the folder of the drawings that are shown to people and run by tests."""
    return PROJECT / "sample_svgs"


@pytest.fixture(scope="session")
def benchmark_folder(request: pytest.FixtureRequest) -> Path:
    """Return the folder of published instances; the test is skipped, visibly, without it."""
    folder = Path(request.config.getoption("--benchmarks"))
    if not folder.is_dir():
        pytest.skip(f"no published instances at {folder}: name their folder with --benchmarks")
    return folder
