# SPDX-License-Identifier: GPL-2.0-or-later
"""Who does the tasks: processes on this computer, or a Dask cluster. Both through joblib."""

from __future__ import annotations

import asyncio
import contextlib
import tempfile
from collections.abc import Iterator
from concurrent.futures import CancelledError
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any, Protocol

from extension.language.errors import OptionError
from extension.requirements_table.tasks import NO_MORE, engine_here

NO_DASK = (
    "Running on a cluster needs Dask, which is not installed here: install Thriftlay with its "
    "extra “cluster”, or leave the cluster out to run on this computer."
)
PATIENCE = 10.0
"""Seconds within which a cluster must answer."""


AtWork = contextlib.AbstractContextManager[Any]


class Crew(Protocol):
    """Some workers. `flag` is the file that tells them to stop, "" when they cannot see one."""

    workers: int
    flag: str
    lost: tuple[type[BaseException], ...]
    """What is raised when workers are gone."""
    sorry: str
    """The sentence for it."""

    def at_work(self) -> AtWork:
        """Return the context within which joblib hands tasks to them."""

    def stop(self) -> None:
        """Make them stop soon; may be called from another thread, and twice."""

    def no_more(self) -> None:
        """After a stop: make them begin nothing that waits; may be called from another thread."""


class LocalCrew:
    """Processes on this computer; a single one is this process itself."""

    lost: tuple[type[BaseException], ...] = (BrokenProcessPool,)
    sorry = (
        "One of the processes that lay out the sizes was ended by the system, perhaps for want of "
        "memory: run again with fewer workers."
    )

    def __init__(self, workers: int, folder: Path) -> None:
        self.workers = workers
        self.flag = str(folder / "stop")

    def at_work(self) -> AtWork:
        """Return the context for joblib's own processes, which are spawned."""
        # Imported only now: it takes a while, and other commands do without.
        import joblib

        # One thread each: more would fight each other, and could add up in another order.
        made: AtWork = joblib.parallel_config("loky", n_jobs=self.workers, inner_max_num_threads=1)
        return made

    def stop(self) -> None:
        """Raise the flag; each keeps the best it has."""
        Path(self.flag).touch()

    def no_more(self) -> None:
        """Tell them that the time for first layouts is over as well."""
        Path(self.flag + NO_MORE).touch()


class ClusterCrew:
    """The workers of a Dask cluster. They cannot be stopped half-way, only be left."""

    flag = ""

    def __init__(self, client: Any, address: str) -> None:
        from distributed import KilledWorker

        self.lost: tuple[type[BaseException], ...] = (CancelledError, OSError, KilledWorker)
        self._client = client
        self.workers = sum(client.ncores().values())
        self.sorry = (
            f"The Dask cluster at “{address}” broke off the work: see that its workers run and "
            "have memory enough, and run again."
        )

    def at_work(self) -> AtWork:
        """Return the context for joblib's Dask backend."""
        import joblib

        made: AtWork = joblib.parallel_config("dask", client=self._client, n_jobs=-1)
        return made

    def stop(self) -> None:
        """Take back what has not been begun, and wait for no more."""
        self._client.close()

    def no_more(self) -> None:
        """Do nothing: what has not been begun is taken back with the stop."""


@contextlib.contextmanager
def crew_of(workers: int, cluster: str) -> Iterator[Crew]:
    """Provide workers: so many processes, or those of the cluster at an address.

    Raises OptionError when the cluster does not answer, or Dask is not there.
    """
    if not cluster:
        with tempfile.TemporaryDirectory(prefix="thriftlay-") as folder:
            yield LocalCrew(workers, Path(folder))
        return
    with contextlib.closing(_client(cluster)) as client:
        yield ClusterCrew(client, cluster)


def _client(address: str) -> Any:
    """Return a client of the cluster at an address, with workers."""
    try:
        from distributed import Client
    except ImportError:
        raise OptionError(NO_DASK) from None
    try:
        # First without a client: one that is given up half made complains when it is thrown away.
        asyncio.run(asyncio.wait_for(_greeted(address), PATIENCE))
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except Exception as error:  # whatever answers there may be anything
        raise OptionError(
            f"No Dask cluster answers at “{address}”: start it, or check the address, which is "
            "like “tcp://192.0.2.7:8786”."
        ) from error
    try:
        _check_workers(client, address)
    except BaseException:
        client.close()
        raise
    return client


async def _greeted(address: str) -> None:
    """Wait until the scheduler at an address has said who it is."""
    from distributed import rpc

    async with rpc(address) as scheduler:
        await scheduler.identity()


def _check_workers(client: Any, address: str) -> None:
    """Raise OptionError unless there are workers and all of them have this version of Thriftlay."""
    if not client.ncores():
        raise OptionError(f"The Dask cluster at “{address}” has no workers: start some.")
    answers = client.run(engine_here, on_error="return").values()
    if any(answer != engine_here() for answer in answers):
        raise OptionError(
            f"Not every worker of the Dask cluster at “{address}” has this version of Thriftlay: "
            "install it there, and run again."
        )
