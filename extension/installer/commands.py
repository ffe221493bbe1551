# SPDX-License-Identifier: GPL-2.0-or-later
"""The installer's command line: what was asked for, done with plain words."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from extension.installer import plugin
from extension.installer.environment import TESTS, ensure, outer_environment
from extension.installer.places import PROJECT, Editor, Home, find_editor
from extension.installer.report import Say, SetupError, say, writing_to

SIDE_BY_SIDE = ("-n", "2", "--dist", "loadfile")
"""How pytest runs: two processes, since most of the time the editor is waited for."""


def parser() -> argparse.ArgumentParser:
    """Return the parser of the installer's arguments."""
    made = argparse.ArgumentParser(
        prog="install.py",
        description="Puts Thriftlay into the editor. Without an argument it installs.",
        epilog="Arguments after --test go to pytest.",
        allow_abbrev=False,
    )
    which = made.add_mutually_exclusive_group()
    which.add_argument("--check", action="store_true", help="look whether all is in order")
    which.add_argument("--uninstall", action="store_true", help="take everything away again")
    which.add_argument(
        "--demo",
        nargs="?",
        const="demo-output",
        metavar="FOLDER",
        help="lay out a sample; leave SVG, PNG and HTML in FOLDER (demo-output)",
    )
    which.add_argument("--test", action="store_true", help="run the tests")
    made.add_argument(
        "--extensions-dir",
        type=Path,
        metavar="DIR",
        help="the editor's user extensions folder, if it is not found by itself",
    )
    return made


def main(arguments: Sequence[str]) -> int:
    """Do what the arguments say; return the exit code."""
    ours, for_pytest = split(arguments)
    options = parser().parse_args(ours)
    home = Home(sys.platform, os.environ, Path.home())
    try:
        return run(options, for_pytest, home)
    except SetupError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("\nInterrupted: run this again to finish what was begun.\n")
        return 130


def split(arguments: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return our own arguments and those for pytest, which are all that follow --test."""
    if "--test" not in arguments:
        return list(arguments), []
    here = list(arguments).index("--test") + 1
    return list(arguments[:here]), list(arguments[here:])


def run(options: argparse.Namespace, for_pytest: Sequence[str], home: Home) -> int:
    """Do what the options say; return the exit code. Raises SetupError."""
    data = home.data()
    if options.demo is not None:
        return demo(Path(options.demo).absolute(), data)
    if options.test:
        return test(for_pytest, data)
    if options.uninstall:
        plugin.uninstall(editor_if_any(home, options.extensions_dir), data, say)
        return 0
    editor = find_editor(home, options.extensions_dir)
    if options.check:
        return 0 if plugin.check(editor, data, say) else 1
    if editor.version:
        say(f"Found {editor.version}: {editor.program}")
    plugin.install(editor, data, say)
    say("Done. Start the editor anew: Extensions > Thriftlay > 5. Lay Out on Fabric")
    return 0


def editor_if_any(home: Home, given: Path | None) -> Editor | None:
    """Return the editor, or None: taking Thriftlay away must work after the editor has gone."""
    try:
        return find_editor(home, given)
    except SetupError:
        return None


def demo(folder: Path, data: Path) -> int:
    """Lay out a sample and leave the result in a folder."""
    with writing_to(folder):
        folder.mkdir(parents=True, exist_ok=True)
    plugin.prepare(ensure(TESTS, data, say), PROJECT, data, say)
    return in_tests_environment(["-m", "extension.demo", str(folder)], data, lambda _: None)


def test(for_pytest: Sequence[str], data: Path) -> int:
    """Run the tests, two files at once; words for pytest have the last say."""
    return in_tests_environment(["-m", "pytest", *SIDE_BY_SIDE, *for_pytest], data)


def in_tests_environment(arguments: Sequence[str], data: Path, tell: Say = say) -> int:
    """Run the environment's Python in the project's folder; return its exit code."""
    python = ensure(TESTS, data, tell)
    with writing_to(data):
        folder = plugin.kernels(data)
    return subprocess.run(
        [str(python), "-s", "-X", "utf8", *arguments],
        cwd=PROJECT,
        env={**outer_environment(), "NUMBA_CACHE_DIR": str(folder)},
        check=False,
    ).returncode
