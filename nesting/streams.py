# SPDX-License-Identifier: GPL-2.0-or-later
"""The streams of a terminal: open, never too narrow for a letter, and let go when nobody reads.

The standard library alone: this comes before anything heavy is loaded.
"""

from __future__ import annotations

import atexit
import codecs
import contextlib
import io
import multiprocessing
import os
import sys
import unicodedata
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn, TextIO

try:
    import resource
except ImportError:  # a system without such limits
    resource = None  # type: ignore[assignment]

PLAINER = "thriftlay.plainer"
"""Name of the error handler that writes letters in plainer ones."""
LEAST_MEMORY = 500_000_000
"""Bytes of address space under which the libraries cannot be loaded: with less they fail in ways of
their own, or never end (measured: 450 MB fails, 500 MB is enough for the samples)."""

_PLAIN = str.maketrans(
    {
        **dict.fromkeys("–—‒−‐‑", "-"),
        **dict.fromkeys("“”„«»″", '"'),
        **dict.fromkeys("‘’‚′", "'"),
        "…": "...",
        "×": "x",
        "²": "2",
        "ß": "ss",
        "•": "*",
        "→": "->",
        "°": " deg",
        "ø": "o",
        "Ø": "O",
        "æ": "ae",
        "Æ": "AE",
        "œ": "oe",
        "Œ": "OE",
        "ł": "l",
        "Ł": "L",
    }
)


def _plainer(error: UnicodeError) -> tuple[str, int]:
    """Return plain letters for those that a terminal does not have, and where to go on."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    text = error.object[error.start : error.end].translate(_PLAIN)
    apart = unicodedata.normalize("NFKD", text)
    letters = (one for one in apart if not unicodedata.combining(one))
    return "".join(one if one.isascii() else "?" for one in letters), error.end


codecs.register_error(PLAINER, _plainer)


def prepare() -> None:
    """Make the three standard streams usable, whatever they were closed or set to."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            # Else the next file that is opened would take its number, and get what we say.
            os.open(os.devnull, os.O_RDWR)
    if sys.stdin is None:
        sys.stdin = Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115 (open to the end)
    sys.stdout = _usable(sys.stdout)
    sys.stderr = _usable(sys.stderr)


def _usable(stream: TextIO | None) -> TextIO:
    """Return a stream that takes every letter; one that leads nowhere in place of none."""
    if stream is None:
        return Path(os.devnull).open("w", encoding="utf-8")
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(errors=PLAINER)
    return stream


def let_go(stream: TextIO) -> None:
    """Let a stream that cannot be written to lead nowhere, also what it still holds."""
    with contextlib.suppress(OSError, ValueError):  # a stream without a number needs nothing
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def finish(stream: TextIO) -> OSError | None:
    """Write what a stream still holds; return why it could not be, None also when nobody reads."""
    try:
        stream.flush()
    except OSError as error:
        let_go(stream)
        return None if isinstance(error, BrokenPipeError) else error
    return None


def end(code: int) -> NoReturn:
    """End the process with all that is left running in it; what is registered for its end is done.

    Python would wait for threads of a search that was stopped in the midst of something, and take
    down all that was loaded: measured, a third of a second at best, a minute at worst. Workers
    that wait for more to do would be waited for in turn, five minutes: they are ended first.
    """
    for child in multiprocessing.active_children():
        child.terminate()
    atexit._run_exitfuncs()  # noqa: SLF001 (there is no other way to it)
    finish(sys.stdout)
    finish(sys.stderr)
    os._exit(code)


def too_little_memory() -> str:
    """Return the sentence for a limit on memory under which nothing can be done, "" for none."""
    if resource is None:
        return ""
    most = resource.getrlimit(resource.RLIMIT_AS)[0]
    if most == resource.RLIM_INFINITY or most >= LEAST_MEMORY:
        return ""
    return (
        f"This terminal allows a program {most // 1_000_000} MB of memory, and Thriftlay needs at "
        f"least {LEAST_MEMORY // 1_000_000} MB: raise the limit (ulimit -v) and try again."
    )


@contextlib.contextmanager
def quiet_libraries() -> Iterator[None]:
    """Keep from the person what libraries warn developers of, and let them use one thread each."""
    for library in ("OMP", "OPENBLAS", "MKL"):
        # More threads would fight the search's own, and could add up in another order.
        os.environ.setdefault(f"{library}_NUM_THREADS", "1")
    with warnings.catch_warnings():
        if not sys.warnoptions:
            warnings.simplefilter("ignore")
        yield
