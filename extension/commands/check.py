# SPDX-License-Identifier: GPL-2.0-or-later
"""`check`: judges the layouts of a drawing as they lie now.

Exit codes: 0 every rule is kept, 1 some are broken or a layout cannot be judged, 2 bad input.
"""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.operations.check import check_layouts
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "say what is wrong with a layout after it was changed by hand"

CLEAN, BROKEN = 0, 1


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with the layout")
    parser.add_argument("--layer", metavar="ID|N", nargs="+", action="extend", default=[])
    parser.add_argument("--report", metavar="R.json", type=Path, help="what was found")
    parser.add_argument(
        "--output", metavar="OUT.svg", type=Path, help="the drawing with marks and true measures"
    )


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    outcome = check_layouts(document, arguments.layer)
    if arguments.output is not None:
        write_atomically(outcome.drawing, arguments.output)
    write_report(outcome.report, arguments.report)
    for line in outcome.summary:
        terminal.say(line)
    return CLEAN if outcome.is_clean else BROKEN
