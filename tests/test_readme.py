# SPDX-License-Identifier: GPL-2.0-or-later
"""What the README says works, and its commands are those that are tried elsewhere."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

from extension.installer.commands import parser
from extension.installer.inx import NAMESPACE
from nesting import VERSION
from tests.helpers.laid import read_layouts
from tests.helpers.places import PROJECT

README = (PROJECT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^ {4}((?:python|thriftlay) ?.*)$", README, re.MULTILINE)
"""Every indented command line."""


def test_the_command_that_runs_the_tests_is_the_one_of_continuous_integration() -> None:
    script = (PROJECT / ".ci/run").read_text(encoding="utf-8")
    (tests,) = [command for command in COMMANDS if "--test" in command]
    assert f"\n{tests} " in script


def test_every_set_up_command_is_understood() -> None:
    entry = [shlex.split(command) for command in COMMANDS if "install.py" in command]
    assert [words[:2] for words in entry] == [["python3", "extension/install.py"]] * 3
    for words in entry:
        parser().parse_args(words[2:])  # exits when it does not understand
    options = set(re.findall(r"`(--[a-z-]+)", README)) - {"--help"}
    known = {option for action in parser()._actions for option in action.option_strings}
    assert options <= known


def test_every_file_that_is_pointed_at_is_there() -> None:
    targets = set(re.findall(r"\]\(([^)#]+)\)", README)) | set(
        re.findall(r"`(sample_svgs/\S+)`", README)
    )
    assert targets
    missing = {target for target in targets if not (PROJECT / target).exists()}
    assert not missing


def installed(command: str) -> str:
    """Return a program that does what `pip install` makes of a command in pyproject.toml."""
    text = (PROJECT / "pyproject.toml").read_text(encoding="utf-8")
    entry = re.search(rf'^\[project.scripts\]\n(?:.+\n)*?{command} = "(.+):(.+)"$', text, re.M)
    assert entry
    return f"import sys; from {entry[1]} import {entry[2]} as run; sys.exit(run())"


def test_the_version_is_told_by_every_command_and_is_the_newest_in_the_readme() -> None:
    newest = re.search(r"## What is new\n\n\*\*(.+?)\*\*", README)
    assert newest
    assert VERSION.startswith(f"{newest[1]}.")
    for words in (["-m", "extension"], ["-m", "nesting"], ["-c", installed("thriftlay")]):
        command = [sys.executable, *words, "--version"]
        done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout, done.stderr) == (0, f"Thriftlay {VERSION}\n", "")


def test_the_version_of_the_package_is_taken_from_the_program() -> None:
    text = (PROJECT / "pyproject.toml").read_text(encoding="utf-8")
    project = text[text.index("[project]") : text.index("[project.scripts]")]
    assert not re.search(r"^version\b", project, re.M)
    assert re.search(r'^dynamic = \["version"\]', project, re.M)
    assert 'version = { attr = "nesting.VERSION" }' in text


def test_a_fault_names_the_command_that_was_typed() -> None:
    command = [sys.executable, "-c", installed("thriftlay"), "lie-down"]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr.endswith("see thriftlay --help.\n")


def test_the_commands_without_the_editor_write_what_they_name(tmp_path: Path) -> None:
    commands = [shlex.split(one)[1:] for one in COMMANDS if one.startswith("thriftlay ")]
    assert [words[0] for words in commands] == ["lay-out", "requirements"]
    for words in commands:
        typed = [*words[:-1], str(tmp_path / words[-1])]
        program = [sys.executable, "-c", installed("thriftlay"), *typed, "--rounds", "1"]
        done = subprocess.run(program, cwd=PROJECT, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
    assert len(read_layouts((tmp_path / "layout.svg").read_bytes())) == 1
    assert "<h1>Fabric requirements: " in (tmp_path / "table.html").read_text(encoding="utf-8")


def test_menu_and_button_are_called_as_they_are_called_there() -> None:
    dialog = (PROJECT / "extension/dialogs/lay_out.inx").read_text(encoding="utf-8")
    window = (PROJECT / "extension/host/session.py").read_text(encoding="utf-8")
    assert NAMESPACE.strip("{}") in dialog
    for words in ("Lay Out on Fabric", "Thriftlay", "between the selvedges", "as on the bolt"):
        assert words in README
        assert words in dialog
    for words in ("Stop and keep the best so far",):
        assert words in README.replace("\n   ", " ")
        assert words in window
