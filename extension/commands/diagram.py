# SPDX-License-Identifier: GPL-2.0-or-later
"""`diagram`: the layouts of a drawing as a page to print and to lay the pieces out by."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path

from extension.commands.terminal import Terminal
from extension.diagram.paper import PAPERS, SCALES
from extension.operations.diagram import Look, Wanted, Watch, publish
from extension.svg.document import parse
from nesting.stop import Clock, StopRule

HELP = "make a cutting diagram to print from the layouts of a drawing"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with the layouts")
    results = parser.add_argument_group("results, at least one of them")
    results.add_argument("--output", metavar="OUT.html", type=Path, help="a web page to print")
    results.add_argument("--pdf", metavar="OUT.pdf", type=Path, help="the same, by the editor")
    results.add_argument(
        "--full-size",
        metavar="OUT.svg|OUT.pdf",
        type=Path,
        help="one layout in full size, for a projector or plotter",
    )
    parser.add_argument(
        "--tiles",
        choices=PAPERS,
        default=None,
        help="the full size on leaves of this paper, to be put together with tape",
    )
    parser.add_argument("--paper", choices=PAPERS, default="a4")
    parser.add_argument("--scale", choices=tuple(SCALES), default="fit")
    parser.add_argument(
        "--layout",
        metavar="ID|N",
        default="",
        help="one of several: its id, or 1 for the first; all unless told",
    )


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    document = parse(arguments.input)
    wanted = Wanted.named(arguments.output, arguments.pdf, arguments.full_size)
    wanted.check(arguments.input)
    ids = [arguments.layout] if arguments.layout else []
    look = Look(arguments.paper, arguments.scale, date.today(), arguments.tiles)
    left = publish(document, ids, look, wanted, Watch(terminal.show_line, stop))
    terminal.clear()
    for sentence in left:
        terminal.say(sentence)
    for path in wanted.files:
        terminal.say(f"The cutting diagram is in “{path}”.")
    return 0
