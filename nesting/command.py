# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine on the command line: a job file goes in, a result file comes out.

Exit codes: 0 done, 2 bad input, 3 the parts do not fit on the given length (the best partial
layout is still written).
"""

from __future__ import annotations

import argparse
import contextlib
import math
import os
import stat
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from nesting import VERSION
from nesting.errors import JobError, ThriftlayError
from nesting.interrupts import stopping
from nesting.jobs.jobfile import job_from_json, layout_to_json
from nesting.model import Layout
from nesting.prepare import prepare
from nesting.search.keeper import Progress
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Clock, Request, StopRule
from nesting.streams import let_go

DONE, BAD_INPUT, DOES_NOT_FIT = 0, 2, 3
SECONDS = 20.0
"""Time limit when none is given."""
MOST_WORKERS = 64
LINE_EVERY = 1.0
"""Seconds between two progress lines for the same length."""


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the arguments in one sentence, like every other bad input."""

    def error(self, message: str) -> NoReturn:
        """Raise the fault instead of printing the usage."""
        raise JobError(f"{message[0].upper()}{message[1:]}: see python -m nesting --help.")


def run(arguments: Sequence[str], *, clock: Clock) -> int:
    """Run the command; return its exit code. `clock` gives the seconds since its start."""
    try:
        return _run(_parser().parse_args(arguments), clock)
    except ThriftlayError as error:
        _say(str(error))
        return BAD_INPUT


def _parser() -> argparse.ArgumentParser:
    """Return the parser of the arguments."""
    parser = _Parser(
        prog="python -m nesting",
        description="Lay out a job file on fabric in as little length as possible.",
        epilog="Ctrl-C stops and keeps the best layout so far.",
    )
    parser.add_argument("--version", action="version", version=f"Thriftlay {VERSION}")
    parser.add_argument("job", nargs="?", help="job file (JSON); - reads standard input")
    limit = parser.add_mutually_exclusive_group()
    limit.add_argument("--seconds", type=_seconds, help=f"time limit (default {SECONDS:g})")
    limit.add_argument("--rounds", type=_whole(0, 10**9), help="rounds instead of a time limit")
    parser.add_argument("--seed", type=_whole(0, 2**32 - 1), default=0, help="default 0")
    parser.add_argument(
        "--workers", type=_whole(1, MOST_WORKERS), default=1, help="chains side by side"
    )
    parser.add_argument("--output", type=Path, help="result file; absent: standard output")
    parser.add_argument("--prepare", action="store_true", help="only compile the search once")
    return parser


def _run(options: argparse.Namespace, clock: Clock) -> int:
    """Prepare, or read, solve and write; return the exit code."""
    if options.prepare:
        prepare()
        return DONE
    if options.job is None:
        raise JobError("No job file is named: see python -m nesting --help.")
    if options.output is not None:
        # Told now, not after the search has used its time.
        if not options.output.absolute().parent.is_dir():
            raise JobError(f"There is no folder to write “{options.output}” into: make it first.")
        if options.output.is_dir():
            raise JobError(f"The result “{options.output}” is a folder: name a file.")
    job = job_from_json(_read(options.job))
    request = Request()
    with stopping(request):
        layout = solve(
            job,
            seed=options.seed,
            stop=AnyOf(request, _limit(options, clock)),
            workers=options.workers,
            clock=clock,
            on_progress=_ProgressLines() if sys.stderr.isatty() else None,
        )
    _write(options.output, layout_to_json(layout))
    if layout.left_over:
        _say(_left_over(layout))
        return DOES_NOT_FIT
    return DONE


def _limit(options: argparse.Namespace, clock: Clock) -> StopRule:
    """Return the stop rule that was asked for."""
    if options.rounds is not None:
        return AfterRounds(options.rounds)
    return AfterSeconds(SECONDS if options.seconds is None else options.seconds, clock)


def _left_over(layout: Layout) -> str:
    """Return what did not fit as a sentence."""
    copies = sum(len(rest.copies) for rest in layout.left_over)
    names = ", ".join(f"“{rest.piece}”" for rest in layout.left_over[:5])
    more = ", …" if len(layout.left_over) > 5 else ""
    what = "1 part does" if copies == 1 else f"{copies} parts do"
    on = "any of these pieces of cloth" if layout.fabrics else "this length of cloth"
    return f"{what} not fit on {on}: copies of {names}{more}."


class _ProgressLines:
    """Writes a line on the terminal for every better layout, and now and then in between."""

    def __init__(self) -> None:
        self._length = math.inf
        self._seconds = -math.inf

    def __call__(self, now: Progress) -> None:
        """Write how far the run is, unless the same was written a moment ago."""
        if now.length == self._length and now.seconds < self._seconds + LINE_EVERY:
            return
        self._length, self._seconds = now.length, now.seconds
        _say(
            f"{now.seconds:6.1f} s, round {now.rounds}: {now.length:.1f} mm, "
            f"{100.0 * now.utilisation:.1f} % used (not possible below {now.lower_bound:.1f} mm)"
        )


def _say(sentence: str) -> None:
    """Write one line to the person."""
    with contextlib.suppress(OSError):  # nobody left to tell
        sys.stderr.write(sentence + "\n")
        sys.stderr.flush()


def _read(name: str) -> bytes:
    """Return the content of a file, or of standard input."""
    try:
        return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        raise JobError(f"The job file “{name}” cannot be read: {error.strerror}.") from error


def _write(output: Path | None, text: str) -> None:
    """Write the result whole or not at all."""
    try:
        if output is None:
            sys.stdout.buffer.write(text.encode())
            sys.stdout.buffer.flush()
        elif output.exists() and not stat.S_ISREG(output.stat().st_mode):
            output.write_text(text, encoding="utf-8")  # a pipe or device cannot be put in place
        else:
            _put_in_place(output, text)
    except OSError as error:
        if output is None:
            let_go(sys.stdout)
        what = "The result" if output is None else f"The result “{output}”"
        raise JobError(f"{what} cannot be written: {error.strerror}.") from error


def _put_in_place(output: Path, text: str) -> None:
    """Write a file beside its place and move it there in one step."""
    handle, name = tempfile.mkstemp(prefix=f".{output.name}.", dir=output.absolute().parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        umask = os.umask(0)
        os.umask(umask)
        Path(name).chmod(0o666 & ~umask)
        Path(name).replace(output)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _seconds(text: str) -> float:
    """Return a time limit from an argument."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0.0 <= value < math.inf:
        raise argparse.ArgumentTypeError(f"“{text}” is not a number of seconds from 0 up")
    return value


def _whole(low: int, high: int) -> Callable[[str], int]:
    """Return a reader of whole numbers between two bounds."""

    def read(text: str) -> int:
        value = int(text) if text.strip().isdecimal() and len(text) < 20 else -1
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"“{text}” is no whole number from {low} to {high}")
        return value

    return read
