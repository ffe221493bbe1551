# SPDX-License-Identifier: GPL-2.0-or-later
"""Workers elsewhere: a local Dask cluster of two gives what one process gives."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from extension.language.errors import OptionError
from extension.requirements_table import crews
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.work import Run, Work, Worked
from nesting.stop import StopRule
from tests.extension.requirements_table.test_work import JOBS, never, placements
from tests.helpers.diagrams import SAMPLES
from tests.helpers.layouts import no_time


@pytest.fixture(scope="module")
def cluster() -> Iterator[str]:
    """Return the address of a cluster of two processes on this computer."""
    distributed = pytest.importorskip(
        "distributed", reason="Dask's distributed is not installed: it comes with extra “test”"
    )
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=40
    ) as made:
        yield made.scheduler_address


def worked(cluster: str, rounds: int | None, stop: StopRule = never) -> Worked:
    with crew_of(1, cluster) as crew:
        each = None if rounds is None else [rounds] * len(JOBS)
        return Work(JOBS, 0, each, 100.0, crew, Run(no_time, stop), Shelf(None)).do()


def test_a_cluster_gives_the_same_layouts(cluster: str) -> None:
    there, here = worked(cluster, 2), worked("", 2)
    assert placements(there) == placements(here)
    assert all(there.finished)


def test_a_cluster_counts_its_workers(cluster: str) -> None:
    with crew_of(1, cluster) as crew:
        assert (crew.workers, crew.flag) == (2, "")


def test_a_stop_leaves_the_cluster_at_once(cluster: str) -> None:
    result = worked(cluster, 200_000, stop=lambda rounds: True)
    assert not any(result.finished)


def test_workers_of_another_version_are_refused(
    cluster: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def other(_: Any, function: Callable[[], str], **__: Any) -> dict[str, str]:
        return {"tcp://a": function(), "tcp://b": "thriftlay 0.1"}

    distributed = pytest.importorskip("distributed")
    monkeypatch.setattr(distributed.Client, "run", other)
    with pytest.raises(OptionError, match="Not every worker"), crew_of(1, cluster):
        pass


def test_no_cluster_is_told_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(crews, "PATIENCE", 0.5)
    for address in ("tcp://127.0.0.1:9", "nowhere at all"):
        with (
            pytest.raises(OptionError, match=f"No Dask cluster answers at “{address}”"),
            crew_of(1, address),
        ):
            pass


@pytest.mark.parametrize("address", ["nonsense", "127.0.0.1", "tcp://127.0.0.1:{port}"])
def test_a_wrong_address_is_told_in_one_sentence_and_nothing_else(address: str) -> None:
    pytest.importorskip("distributed")
    with socket.create_server(("127.0.0.1", 0)) as stranger:  # takes calls, and says nothing
        wanted = address.format(port=stranger.getsockname()[1])
        code = (
            "import sys; from extension.requirements_table import crews; crews.PATIENCE = 0.5; "
            "from extension.__main__ import main; sys.exit(main())"
        )
        words = ["requirements", str(SAMPLES / "first-apron.svg"), "--widths", "140cm"]
        words += ["--csv", os.devnull, "--cluster", wanted]
        ended = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True)
    assert (ended.returncode, ended.stdout) == (2, "")
    (line,) = ended.stderr.splitlines()
    assert line.startswith(f"No Dask cluster answers at “{wanted}”")


def test_without_dask_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(OptionError, match="extra “cluster”"), crew_of(1, "tcp://127.0.0.1:9"):
        pass
