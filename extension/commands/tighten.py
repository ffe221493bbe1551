# SPDX-License-Identifier: GPL-2.0-or-later
"""`tighten`: presses the parts of a layout together from where they lie, on a new layer."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.job.limits import time_limit
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import parse, serialise, write_atomically
from nesting.stop import AfterSeconds, AnyOf, Clock, StopRule

HELP = "press the parts of a layout together and undo small overlaps, on a new layer"
USUAL_SECONDS = "20"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with the layout")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="what became of the layout")
    parser.add_argument(
        "--layer", metavar="ID|N", default="", help="needed when there are several: 1 is the first"
    )
    parser.add_argument("--seconds", metavar="S", default="", help="time limit, 20 unless told")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    limit = AfterSeconds(time_limit(arguments.seconds.strip() or USUAL_SECONDS), clock)
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    outcome = tighten_layout(
        document, arguments.layer, Run(clock, AnyOf(limit, stop), terminal.show)
    )
    terminal.clear()
    write_atomically(outcome.drawing or serialise(document), arguments.output)
    write_report(outcome.report, arguments.report)
    for line in outcome.summary:
        terminal.say(line)
    return 0
