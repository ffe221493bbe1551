# SPDX-License-Identifier: GPL-2.0-or-later
"""`read-label`: says what the text on a pattern piece means, as JSON."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from dataclasses import asdict
from typing import Any

from extension.commands.terminal import Terminal
from extension.labels.reading import LabelReading, read_label
from nesting.stop import Clock, StopRule

HELP = "say what the text on a piece means, in seven languages"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("text", metavar="TEXT", help="such as “CUT 2 ON FOLD”; put -- before a -")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code."""
    reading = plain(read_label(arguments.text))
    terminal.say(json.dumps(reading, ensure_ascii=False, indent=1))
    return 0


def plain(reading: LabelReading) -> dict[str, Any]:
    """Return a reading as JSON has it; an allowance that is a number is in mm."""
    return asdict(reading)
