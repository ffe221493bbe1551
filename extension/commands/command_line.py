# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands without the editor: which there are, and how one is run.

Exit codes: 0 done, 1 a layout breaks a rule (check), 2 bad input or a result that cannot be
written, 3 not all fits on the cloth that is there (lay-out, whose layout is written all the same),
70 a fault of ours, 130 ended by Ctrl+C (the second one where the first keeps the best).
"""

from __future__ import annotations

import contextlib
import os
import re
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator, Sequence
from typing import NoReturn

from extension.commands import (
    Command,
    check,
    compare,
    details,
    diagram,
    hold,
    join_lines,
    lay_out,
    put_together,
    read_label,
    read_markings,
    requirements,
    tighten,
)
from extension.commands.terminal import Terminal
from extension.language.errors import OptionError
from extension.language.faults import OWN_FAULT, is_memory, sentence_of
from extension.operations import KEEPS_BEST
from extension.watch import Limits, Signals, limits_for, watched
from nesting import VERSION
from nesting.errors import ThriftlayError
from nesting.interrupts import ending, stopping
from nesting.stop import Clock, Request

COMMANDS: dict[str, Command] = {
    "check": check,
    "compare": compare,
    "details": details,
    "diagram": diagram,
    "hold": hold,
    "join-lines": join_lines,
    "lay-out": lay_out,
    "put-together": put_together,
    "read-label": read_label,
    "read-markings": read_markings,
    "requirements": requirements,
    "tighten": tighten,
}
"""Every command by its name; to add one, add its module here."""

BAD_INPUT = 2
USUAL_SECONDS = 200.0
"""As long as any command takes, and more, when no time is typed."""
_OPTION, _NEGATIVE = re.compile(r"--[a-z][a-z-]*"), re.compile(r"-[.,]?\d")
_LACKING = re.compile(r"argument (\S+): expected (?:one|at least one) argument")

INTERRUPTED = 130
"""What shells expect of a program ended by Ctrl+C."""


ENDED = "Ended. Nothing was written."


def run(
    words: Sequence[str],
    terminal: Terminal,
    clock: Clock,
    *,
    alone: bool = False,
    called: str = "python -m extension",
) -> int:
    """Run a command line and return its exit code. `clock` gives the seconds since its start.

    `alone`: the process is ours, and is ended when the command does not end when it should.
    `called` is what the person typed before the words.
    """
    try:
        arguments = parser(called).parse_args(tied(words))
        with _stoppable(arguments, terminal, alone) as stop:
            code = COMMANDS[arguments.command].run(arguments, terminal, clock, stop)
        terminal.finish()
        return code
    except ThriftlayError as error:
        terminal.clear()
        terminal.complain(str(error))
        return BAD_INPUT
    except KeyboardInterrupt:
        terminal.clear()
        terminal.complain(ENDED)
        return INTERRUPTED
    except Exception as error:
        terminal.clear()
        terminal.complain(sentence_of(error))
        return BAD_INPUT if is_memory(error) else OWN_FAULT


@contextlib.contextmanager
def _stoppable(arguments: Namespace, terminal: Terminal, alone: bool) -> Iterator[Request]:
    """Let signals stop a command; the first one ends it as long as there is nothing to keep."""
    stop = Request()
    keeps = arguments.command in KEEPS_BEST
    with stopping(stop) if keeps else ending():
        if not alone:
            yield stop
            return
        signals = Signals()

        def end(told: str) -> None:
            terminal.clear()
            terminal.complain(told or ENDED)
            sys.stderr.flush()
            os._exit(BAD_INPUT if told else INTERRUPTED)

        asked = _Asked(signals, lambda: keeps and terminal.best(0))
        with watched(_limits(arguments), asked, end):
            yield stop


class _Asked:
    """Whether a command is asked to end: by the first signal where there is nothing to keep.

    What has something to keep then is asked to stop by the first and to end by the second.
    """

    def __init__(self, signals: Signals, keeps: Callable[[], bool]) -> None:
        self._signals, self._keeps = signals, keeps
        self._spared: int | None = None

    def __call__(self) -> bool:
        count = self._signals.counted()
        if count and self._spared is None:
            self._spared = int(self._keeps())
        return count > (self._spared or 0)


def _limits(arguments: Namespace) -> Limits:
    """Return the limits of a command; a number of rounds takes as long as it takes."""
    asked: float | None = 0.0
    if arguments.command in KEEPS_BEST:
        with contextlib.suppress(ValueError):  # what is no number is refused in a moment
            asked = float(getattr(arguments, "seconds", "") or USUAL_SECONDS)
        if getattr(arguments, "rounds", ""):
            asked = None
    return limits_for(arguments.command, getattr(arguments, "input", None), asked)


def parser(called: str = "python -m extension") -> ArgumentParser:
    """Return the parser of all commands; `called` is what the person types before them."""
    made = _Parser(prog=called, description=__doc__, allow_abbrev=False)
    made.add_argument("--version", action="version", version=f"Thriftlay {VERSION}")
    commands = made.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, module in COMMANDS.items():
        command = commands.add_parser(
            name,
            help=module.HELP,
            description=module.__doc__,
            epilog="Ctrl+C stops and keeps the best so far; before there is one, it ends."
            if name in KEEPS_BEST
            else "Ctrl+C ends it: nothing is written then.",
            allow_abbrev=False,
        )
        module.add_arguments(command)
    return made


def tied(words: Sequence[str]) -> list[str]:
    """Return words with a value such as `-5cm` tied to the option before it: `--gap=-5cm`.

    Else it would be taken for an option; tied, it is judged like every other value. `--nap` needs
    no value, so a drawing behind it is none.
    """
    found: list[str] = []
    for word in words:
        before = found[-1] if found else ""
        if before == "--nap" and word.lower().endswith(".svg"):
            found[-1] = "--nap=yes"
        if _NEGATIVE.match(word) and _OPTION.fullmatch(before):
            found[-1] = f"{before}={word}"
        else:
            found.append(word)
    return found


class _Parser(ArgumentParser):
    """A parser whose faults are one line, like every other fault."""

    def error(self, message: str) -> NoReturn:
        """Raise the fault instead of printing how the command is used."""
        lacking = _LACKING.fullmatch(message)
        if lacking:
            message = f"there is no value behind {lacking[1]}, so type one there"
        raise OptionError(f"{message[0].upper()}{message[1:]}: see {self.prog} --help.")
