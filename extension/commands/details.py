# SPDX-License-Identifier: GPL-2.0-or-later
"""`details`: sets cutting details on pieces, and leaves those that are not named as they are."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets
from extension.commands.terminal import Terminal
from extension.operations.details import changes_from, set_details
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "set cutting details on pieces: count, grain, fold, size and others"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--select", metavar="ID", nargs="+", action="extend", default=[])
    parser.add_argument(
        "--set",
        metavar="NAME=VALUE",
        nargs="+",
        action="extend",
        default=[],
        help="such as cut=2 or grain=up, as seen on the drawing; NAME= takes a detail away",
    )


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    changes = changes_from(arguments.set)
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, None)
    outcome = set_details(document, arguments.select, changes)
    write_atomically(outcome.drawing, arguments.output)
    for line in outcome.summary:
        terminal.say(line)
    return 0
