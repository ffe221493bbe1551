# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands of the command line: thin modules that look like `Command`."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import Protocol

from extension.commands.terminal import Terminal
from nesting.stop import Clock, StopRule


class Command(Protocol):
    """What the module of a command holds."""

    HELP: str
    """What it does, in a line."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Add the arguments of the command."""

    def run(self, arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
        """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
