# SPDX-License-Identifier: GPL-2.0-or-later
"""`hold`: holds parts of a layout where they are, or releases them again."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets
from extension.commands.terminal import Terminal
from extension.operations.hold import hold_parts
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "hold parts of a layout where they are, or release them"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with the layout")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument(
        "--select",
        metavar="ID",
        nargs="+",
        action="extend",
        required=True,
        help="parts, groups of parts, or layouts",
    )
    parser.add_argument("--release", action="store_true", help="release them instead")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, None)
    outcome = hold_parts(document, arguments.select, not arguments.release)
    write_atomically(outcome.drawing, arguments.output)
    for line in outcome.summary:
        terminal.say(line)
    return 0
