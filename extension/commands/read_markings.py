# SPDX-License-Identifier: GPL-2.0-or-later
"""`read-markings`: reads text, arrows, brackets and sizes, and writes them on the pieces."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.operations.read_markings import read_markings
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "read the details that are drawn on the pieces, and write them on them"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="what was read")
    parser.add_argument(
        "--overwrite", action="store_true", help="also replace what was set by hand"
    )
    parser.add_argument(
        "--match-notches",
        action="store_true",
        help="set match points, for stripes and checks, where notches of one kind seem to meet",
    )


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    outcome = read_markings(
        document, overwrite=arguments.overwrite, match_notches=arguments.match_notches
    )
    write_atomically(outcome.drawing, arguments.output)
    write_report(outcome.report, arguments.report)
    for line in (*outcome.summary, *outcome.matches):
        terminal.say(line)
    return 0
