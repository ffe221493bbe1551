# SPDX-License-Identifier: GPL-2.0-or-later
"""`put-together`: the pages of a pattern become one sheet, on a new layer of the first drawing."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.operations.put_together import pages_options, put_together
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "put the pages of a pattern together, on a new layer"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with all pages")
    parser.add_argument(
        "more",
        metavar="PAGE.svg",
        type=Path,
        nargs="*",
        help="or a drawing for each page, in their order, the first of which gets the sheet",
    )
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="which page lies where")
    for name in ("rows", "columns"):
        parser.add_argument(
            f"--{name}", metavar="N", default="auto", help=f"how many {name} of pages; auto"
        )
    parser.add_argument(
        "--overlap",
        metavar="LENGTH",
        default="auto",
        help="by how much pages overlap, such as 10mm, or 10mm x 15mm across and down; auto",
    )
    parser.add_argument(
        "--scale-by-square",
        action="store_true",
        help="enlarge the sheet so that its test square has the size that it states",
    )
    parser.add_argument("--select", metavar="ID", nargs="+", action="extend", default=[])


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    options = pages_options(
        arguments.rows,
        arguments.columns,
        arguments.overlap,
        arguments.select,
        arguments.scale_by_square,
    )
    documents = [parse(path) for path in (arguments.input, *arguments.more)]
    check_targets(arguments.input, arguments.output, arguments.report)
    outcome = put_together(documents, options)
    write_report(outcome.report, arguments.report)
    write_atomically(outcome.drawing, arguments.output)
    for line in outcome.summary:
        terminal.say(line)
    return 0
