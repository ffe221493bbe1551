# SPDX-License-Identifier: GPL-2.0-or-later
"""`join-lines`: closes dashed and chopped outlines and writes the drawing with a new layer."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.operations.join_lines import join_lines, join_options, nothing_joined
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "close dashed or chopped outlines, on a new layer"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="what was joined and left")
    parser.add_argument(
        "--tolerance",
        metavar="LENGTH",
        default="",
        help="the longest gap that no dash pattern explains, 1mm unless told",
    )
    parser.add_argument("--select", metavar="ID", nargs="+", action="extend", default=[])


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    options = join_options(arguments.tolerance, arguments.select)
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    outcome = join_lines(document, options)
    write_report(outcome.report, arguments.report)
    if outcome.drawing is None:
        raise nothing_joined(outcome)
    write_atomically(outcome.drawing, arguments.output)
    for line in outcome.summary:
        terminal.say(line)
    return 0
