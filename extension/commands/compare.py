# SPDX-License-Identifier: GPL-2.0-or-later
"""`compare`: the layouts of a drawing side by side."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.operations.check import compare_layouts
from extension.svg.document import parse
from nesting.stop import Clock, StopRule

HELP = "show the layouts of a drawing side by side"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing with the layouts")
    parser.add_argument("--report", metavar="R.json", type=Path, help="the same as JSON")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    document = parse(arguments.input)
    check_targets(arguments.input, None, arguments.report)
    lines, report = compare_layouts(document)
    write_report(report, arguments.report)
    for line in lines:
        terminal.say(line)
    return 0
