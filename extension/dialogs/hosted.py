# SPDX-License-Identifier: GPL-2.0-or-later
"""The menu commands behind the launcher: a file goes in, a file comes out, lines of JSON between.

The launcher tells what the lines are. Exit code 0 is a result, 2 a message without a result; any
other is a fault of ours, whose traceback on stderr the launcher keeps from the person.
"""

from __future__ import annotations

import contextlib
import json
import os
import threading
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Protocol

from extension.dialogs.diagram import diagram_files, diagram_parser
from extension.dialogs.dialog import (
    check_parser,
    chosen_path,
    common_parser,
    detail_changes,
    details_parser,
    hold_parser,
    hold_request,
    join_lines_parser,
    lay_out_options,
    lay_out_parser,
    read_markings_parser,
    selected_layouts,
    tighten_parser,
)
from extension.dialogs.requirements import requirements_options, requirements_parser, result_files
from extension.language.errors import DrawingError
from extension.language.faults import NO_MEMORY
from extension.layouts.checked import check_layouts
from extension.layouts.layers import chosen_layers
from extension.operations.details import set_details
from extension.operations.diagram import Watch, publish
from extension.operations.hold import hold_parts
from extension.operations.join_lines import join_lines, join_options, nothing_joined
from extension.operations.lay_out import Run, lay_out
from extension.operations.progress import progress_text
from extension.operations.read_markings import read_markings
from extension.operations.requirements import fabric_requirements
from extension.operations.tighten import tighten_layout
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.work import Run as TableRun
from extension.requirements_table.work import TableProgress
from extension.svg.document import Document, parse, serialise, write_atomically
from extension.watch import limits_for, watched
from nesting.errors import ThriftlayError
from nesting.search.keeper import Progress
from nesting.stop import AfterSeconds, AnyOf, Clock, Request, StopRule

DONE, REFUSED = 0, 2
AT_WORK = "At work on the drawing…"
MOST_QUESTIONS = 6
"""How many questions a window shows; the review layer has them all."""
LINE_EVERY = 0.2
"""Seconds between two progress lines for the same length."""


class Raw(Protocol):
    """An unbuffered stream: a read blocks without holding a lock.

    A thread that waits in a buffered one makes Python abort at its end.
    """

    def read(self, size: int, /) -> bytes | None:
        """Return some bytes, none at the end."""


class Talk:
    """Tells the launcher what happens."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._notes: list[str] = []

    def note(self, text: str) -> None:
        """Keep a message about the result, to be told with it."""
        self._notes.append(text)

    def tell_notes(self) -> None:
        """Tell the messages about the result."""
        for text in self._notes:
            self.tell("message", text)

    def tell(
        self, kind: str, text: str, done: float | None = None, *, cancels: bool = False
    ) -> None:
        """Write one line of JSON at once; a launcher that has gone is no fault.

        `cancels` says that a stop leaves nothing, not the best so far.
        """
        told = {"kind": kind, "text": text, "done": done}
        line = json.dumps({**told, "cancels": True} if cancels else told)
        try:
            self._stream.write(line.encode("ascii") + b"\n")
            self._stream.flush()
        except OSError:
            return


class ProgressLines:
    """Hears of every better layout and of the time passing, and tells it now and then."""

    def __init__(self, talk: Talk, seconds: float) -> None:
        self._talk = talk
        self._limit = seconds
        self._length = 0.0
        self._next = 0.0

    def __call__(self, now: Progress) -> None:
        """Tell how far the run is, unless the same was told a moment ago."""
        if now.length == self._length and now.seconds < self._next:
            return
        self._length, self._next = now.length, now.seconds + LINE_EVERY
        self._talk.tell("progress", progress_text(now), min(now.seconds / self._limit, 1.0))


@dataclass(frozen=True, slots=True)
class Host:
    """What a command may use: seconds since the start, whether to stop, whom to tell."""

    clock: Clock
    stop: StopRule
    talk: Talk


def lay_out_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with a layout on a new layer."""
    options = lay_out_options(values, document)
    hold = hold_request(values, document)
    progress = ProgressLines(host.talk, options.seconds)
    return lay_out(document, options, Run(host.clock, host.stop, progress), hold).drawing


def join_lines_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with joined outlines on a new layer; tell what needs a look."""
    outcome = join_lines(document, join_options(values.tolerance, values.ids))
    if outcome.drawing is None:
        raise nothing_joined(outcome)
    if outcome.warnings:
        host.talk.note("\n\n".join(outcome.summary))
    return outcome.drawing


def check_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with the selected layouts judged and marked: all with none selected."""
    return check_layouts(document, selected_layouts(document, values.ids)).drawing


def details_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with details set on the selected pieces."""
    return set_details(document, values.ids, detail_changes(values)).drawing


def diagram_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Write the pages that are wanted of the selected layouts, all with none selected."""
    wanted = diagram_files(values)
    layers = chosen_layers(document, selected_layouts(document, values.ids))

    def tell(text: str) -> None:
        host.talk.tell("progress", text, cancels=True)

    publish(document, layers, values.paper, values.scale, wanted, Watch(tell, host.stop))
    return serialise(document)


def hold_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with the selected parts held, or released when all of them are held."""
    return hold_parts(document, selected_layouts(document, values.ids)).drawing


def read_markings_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with what is drawn on the pieces written on them; tell what to look at."""
    outcome = read_markings(document, overwrite=values.overwrite)
    first, *questions = outcome.summary
    if questions:
        more = len(questions) - MOST_QUESTIONS
        rest = [f"{more} more stand in the list beside the drawing."] if more > 0 else []
        host.talk.note("\n\n".join([first, *questions[:MOST_QUESTIONS], *rest]))
    return outcome.drawing


def tighten_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with the selected layout made tighter on a new layer."""
    selected = selected_layouts(document, values.ids)
    layers = chosen_layers(document, selected)
    if len(layers) > 1:
        raise DrawingError("Select the layout to tighten, or a part of it, and no other layout.")
    stop = AnyOf(AfterSeconds(values.seconds, host.clock), host.stop)
    progress = ProgressLines(host.talk, values.seconds)
    outcome = tighten_layout(document, layers[0].id, Run(host.clock, stop, progress))
    if outcome.drawing is None:
        host.talk.note(" ".join(outcome.summary))
    return outcome.drawing or serialise(document)


def requirements_drawing(values: Namespace, document: Document, host: Host) -> bytes:
    """Return the drawing with the table of fabric requirements; write the files that are wanted."""
    options, files = requirements_options(values), result_files(values)
    shelf = Shelf(chosen_path(values.resume, "The folder for finished lengths"))

    def tell(now: TableProgress) -> None:
        host.talk.tell("progress", now.text, now.share)

    with crew_of(options.base.workers, "") as crew:
        run = TableRun(host.clock, host.stop, tell)
        outcome = fabric_requirements(document, options, run, crew, shelf)
    for path, text in zip(files, (outcome.page, outcome.csv), strict=True):
        if path is not None:
            write_atomically(text.encode(), path)
    return outcome.drawing


@dataclass(frozen=True, slots=True)
class Hosted:
    """A command of the menu: the parser of its dialog, what it does, what a stop leaves.

    `keeps`: the best so far; otherwise nothing.
    """

    parser: Callable[[], ArgumentParser]
    act: Callable[[Namespace, Document, Host], bytes]
    keeps: bool = False


COMMANDS = {
    "check": Hosted(check_parser, check_drawing),
    "details": Hosted(details_parser, details_drawing),
    "diagram": Hosted(diagram_parser, diagram_drawing),
    "hold": Hosted(hold_parser, hold_drawing),
    "join-lines": Hosted(join_lines_parser, join_lines_drawing),
    "lay-out": Hosted(lay_out_parser, lay_out_drawing, keeps=True),
    "read-markings": Hosted(read_markings_parser, read_markings_drawing),
    "requirements": Hosted(requirements_parser, requirements_drawing, keeps=True),
    "tighten": Hosted(tighten_parser, tighten_drawing, keeps=True),
}
"""The commands by name; to add one, add it here."""


def run_hosted(
    words: Sequence[str], stdin: Raw, stdout: BinaryIO, clock: Clock, *, alone: bool = False
) -> int:
    """Run a command as the launcher passes it on; return the exit code.

    `alone`: the process is ours, and is ended when the command does not end when it should.
    """
    stop, said = Request(), Request()
    threading.Thread(target=listen, args=(stdin, stop, said), daemon=True).start()
    host = Host(clock, stop, Talk(stdout))
    named, _ = common_parser().parse_known_args(words)
    command = COMMANDS[named.command]
    values = command.parser().parse_args(words)

    def cancelled() -> bool:
        return said(0) and not command.keeps

    if not command.keeps:
        host.talk.tell("progress", AT_WORK, cancels=True)
    try:
        # Bytes, not the path: the editor's temporary name means nothing to a person.
        before = Path(values.file).read_bytes()
        with _watched(values, before, host, cancelled) if alone else contextlib.nullcontext():
            drawing = command.act(values, parse(before), host)
        write_atomically(before if cancelled() else drawing, Path(values.output))
        if not cancelled():
            host.talk.tell_notes()
    except ThriftlayError as error:
        host.talk.tell("message", str(error))
        return REFUSED
    except MemoryError:
        host.talk.tell("message", NO_MEMORY)
        return REFUSED
    return DONE


def _watched(
    values: Namespace, before: bytes, host: Host, cancelled: Callable[[], bool]
) -> AbstractContextManager[None]:
    """Return a watch over a command, which ends the process when it has to."""

    def end(told: str) -> None:
        if told:
            host.talk.tell("message", told)
        else:
            write_atomically(before, Path(values.output))
        os._exit(REFUSED if told else DONE)

    keeps = COMMANDS[values.command].keeps
    asked = float(getattr(values, "seconds", 0.0) or 0.0) if keeps else 0.0
    return watched(limits_for(values.command, Path(values.file), asked), cancelled, end)


def listen(stdin: Raw, stop: Request, said: Request) -> None:
    """Wait for the launcher's "stop", which is all that it ever says, or for its end."""
    if stdin.read(1):
        said.ask()
    stop.ask()
