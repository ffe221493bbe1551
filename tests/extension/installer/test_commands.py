# SPDX-License-Identifier: GPL-2.0-or-later
"""The installer's command line, with stand-ins for what takes minutes."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from extension.installer import commands
from extension.installer.commands import in_tests_environment, main, split
from extension.installer.places import PROJECT


@pytest.fixture(autouse=True)
def own_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep every test away from this person's folders and editor."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("INKSCAPE_PROFILE_DIR", raising=False)


def test_what_follows_test_goes_to_pytest_untouched() -> None:
    assert split(["--test", "-k", "--demo", "x"]) == (["--test"], ["-k", "--demo", "x"])
    assert split(["--demo", "here"]) == (["--demo", "here"], [])


def test_no_editor_is_one_sentence_and_an_exit_code(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("The editor (Inkscape) was not found")
    assert told.err.count("\n") == 1


def test_taking_away_needs_no_editor(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--uninstall"]) == 0
    assert "Nothing of Thriftlay" in capsys.readouterr().out


@pytest.mark.parametrize(
    "arguments", [["--demo", "--check"], ["--extensions"], ["--nonsense"]], ids=str
)
def test_arguments_that_make_no_sense_are_refused(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2


def test_a_check_of_nothing_fails_and_tells_what_to_do(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["--check", "--extensions-dir", str(tmp_path / "extensions")]) == 1
    assert "To mend it, run: python3 extension/install.py" in capsys.readouterr().out


def test_tests_run_in_the_projects_folder_and_give_their_exit_code(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(commands, "ensure", lambda kind, data, say: Path(sys.executable))
    asked = "import os, sys; sys.exit(7 if os.getcwd() == sys.argv[1] else 1)"
    assert in_tests_environment(["-c", asked, str(PROJECT)], tmp_path) == 7


def test_extra_arguments_reach_pytest(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[list[str]] = []
    monkeypatch.setattr(
        commands, "in_tests_environment", lambda words, data: seen.append(list(words)) or 5
    )
    assert main(["--test", "-q", "tests/nesting"]) == 5
    assert seen == [["-m", "pytest", *commands.SIDE_BY_SIDE, "-q", "tests/nesting"]]


def test_the_demonstration_goes_where_she_is_or_says(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    seen: list[str] = []
    monkeypatch.setattr(commands, "ensure", lambda kind, data, say: Path(sys.executable))
    monkeypatch.setattr(commands.plugin, "prepare", lambda *_: None)
    monkeypatch.setattr(
        commands, "in_tests_environment", lambda words, *_: seen.append(words[-1]) or 0
    )
    monkeypatch.chdir(tmp_path)
    assert main(["--demo"]) == 0
    assert main(["--demo", "anders wö"]) == 0
    assert seen == [str(tmp_path / "demo-output"), str(tmp_path / "anders wö")]
    assert all(Path(folder).is_dir() for folder in seen)


def test_a_place_that_cannot_be_written_is_named(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    assert main(["--demo", str(tmp_path / "file/demo")]) == 1
    assert "make that folder writable" in capsys.readouterr().err


def test_an_interruption_is_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupt(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(commands, "run", interrupt)
    assert main([]) == 130
    assert "Interrupted" in capsys.readouterr().err


def test_no_shell_is_ever_used() -> None:
    folder = PROJECT / "extension"
    files = [
        *(folder / "installer").glob("*.py"),
        folder / "install.py",
        folder / "host/launcher.py",
    ]
    text = "".join(file.read_text(encoding="utf-8") for file in files)
    assert "subprocess.run" in text
    assert not [word for word in ("shell=True", "os.system", "popen(") if word in text]
