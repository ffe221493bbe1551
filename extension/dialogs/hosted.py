# SPDX-License-Identifier: GPL-2.0-or-later
"""The menu commands behind the launcher: a file goes in, a file comes out, lines of JSON between.

The launcher tells what the lines are. Exit code 0 is a result, 2 a message without a result; any
other is a fault of ours, whose traceback on stderr the launcher keeps from the person.
"""

from __future__ import annotations

import importlib
import threading
import warnings
from argparse import ArgumentParser
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Protocol

from extension.dialogs.talk import Host, Talk
from extension.language.errors import DrawingError
from extension.language.faults import NO_MEMORY, OTHER_DIALOG
from extension.operations import KEEPS_BEST
from nesting.errors import ThriftlayError
from nesting.stop import Clock, Request

if TYPE_CHECKING:
    from extension.dialogs.menu_command import MenuCommand

DONE, REFUSED = 0, 2
AT_WORK = "At work on the drawing…"


class Raw(Protocol):
    """An unbuffered stream: a read blocks without holding a lock.

    A thread that waits in a buffered one makes Python abort at its end.
    """

    def read(self, size: int, /) -> bytes | None:
        """Return some bytes, none at the end."""


def command_names() -> list[str]:
    """Return the names of the menu commands: each has its dialog (.inx) in this folder."""
    return sorted(file.stem.replace("_", "-") for file in Path(__file__).parent.glob("*.inx"))


def command_of(name: str) -> Callable[[Host], MenuCommand]:
    """Return the class of a menu command: `JoinLines` in join_lines.py for `join-lines`.

    Only that command is loaded, and what it needs. Raises DrawingError for one there is not.
    """
    if name not in command_names():
        raise DrawingError(OTHER_DIALOG)
    with warnings.catch_warnings():  # inkex switches on all of them, and they go to stderr
        module = importlib.import_module(f"extension.dialogs.{name.replace('-', '_')}")
    made: Callable[[Host], MenuCommand] = getattr(module, name.title().replace("-", ""))
    return made


def run_hosted(
    words: Sequence[str], stdin: Raw, stdout: BinaryIO, clock: Clock, *, alone: bool = False
) -> int:
    """Run a command as the launcher passes it on; return the exit code.

    `alone`: the process is ours, and is ended when the command does not end when it should.
    """
    stop, cancel = Request(), Request()
    name, talk = named(words), Talk(stdout)
    if name not in KEEPS_BEST:
        talk.tell("progress", AT_WORK, cancels=True)
    threading.Thread(target=listen, args=(stdin, stop, cancel, talk), daemon=True).start()
    host = Host(clock, stop, talk, lambda: cancel(0), alone)
    try:
        command_of(name)(host).run(list(words))
        if not host.cancelled():
            talk.tell_notes()
    except ThriftlayError as error:
        talk.tell("message", str(error))
        return REFUSED
    except MemoryError:
        talk.tell("message", NO_MEMORY)
        return REFUSED
    return DONE


def named(words: Sequence[str]) -> str:
    """Return which command is asked for."""
    parser = ArgumentParser(add_help=False, allow_abbrev=False)
    parser.add_argument("--command", required=True)
    return str(parser.parse_known_args(words)[0].command)


def listen(stdin: Raw, stop: Request, cancel: Request, talk: Talk) -> None:
    """Wait for what the launcher says, "stop" or "cancel", or for its end, which is a stop.

    As long as nothing that can be kept was told of, a stop cancels.
    """
    said = stdin.read(1)
    if said == b"c" or (said and not talk.keeps):
        cancel.ask()
    stop.ask()
