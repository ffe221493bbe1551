# SPDX-License-Identifier: GPL-2.0-or-later
"""`diagram`: the layouts of a drawing as a page to print and to lay the pieces out by."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path

from extension.commands.terminal import Terminal
from extension.diagram.layout_picture import USUAL, Resolution
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
    results.add_argument(
        "--png",
        metavar="OUT.png",
        type=Path,
        help="a picture of one layout as it is drawn, by the editor",
    )
    size = parser.add_mutually_exclusive_group()
    size.add_argument(
        "--png-width",
        metavar="PIXELS",
        type=int,
        default=USUAL,
        help=f"how wide the picture is ({USUAL} unless told)",
    )
    size.add_argument(
        "--png-dpi", metavar="DPI", type=float, help="or how many pixels to an inch of the cloth"
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
    wanted = Wanted.named(arguments.output, arguments.pdf, arguments.full_size, arguments.png)
    wanted.check(arguments.input)
    ids = [arguments.layout] if arguments.layout else []
    size = Resolution(arguments.png_width, arguments.png_dpi)
    look = Look(arguments.paper, arguments.scale, date.today(), arguments.tiles, size)
    left = publish(document, ids, look, wanted, Watch(terminal.show_line, stop))
    terminal.clear()
    for sentence in left:
        terminal.say(sentence)
    for path in wanted.files:
        what = "picture of the layout" if path == wanted.picture else "cutting diagram"
        terminal.say(f"The {what} is in “{path}”.")
    return 0
