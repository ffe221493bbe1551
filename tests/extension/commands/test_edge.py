# SPDX-License-Identifier: GPL-2.0-or-later
"""Commands as processes at their edge: closed, full or narrow streams, stops, little memory."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.helpers.places import PROJECT
from tests.helpers.svg_builder import SvgBuilder

LABEL = "Ärmel – 2× zuschneiden"
READ = ("read-label", LABEL)
FAILS = ("check", "nirgends.svg")
ENDLESS = """
import sys, time
import extension.commands.{module} as command
from nesting.search.keeper import Progress
def never(*arguments, **__):
    if {keeps}:
        arguments[2].on_progress(Progress(0.0, 0, 1000.0, 0.5, 900.0))
    print("at work", flush=True)
    while True:
        try:
            time.sleep(0.2)
        except BaseException:
            pass  # as a library does that sees no signal
command.{function} = never
from extension.__main__ import main
sys.exit(main())
"""


def shell(line: str, **environ: str) -> subprocess.CompletedProcess[bytes]:
    """Run a line of shell in which $T is our command line."""
    env = {**os.environ, "T": f"{sys.executable} -m extension", **environ}
    return subprocess.run(
        ["bash", "-c", f"set -o pipefail; {line}"], cwd=PROJECT, env=env, capture_output=True
    )


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        (f"$T read-label '{LABEL}' | true", 0, ""),
        (f"$T read-label '{LABEL}' >&-", 0, ""),
        (f"$T read-label '{LABEL}' <&- >&- 2>&-", 0, ""),
        ("$T --help | true", 0, ""),
        (f"$T read-label '{LABEL}' >/dev/full", 2, "could not be written"),
        ("$T check nirgends.svg 2>/dev/full", 2, ""),
        ("$T check nirgends.svg 2>&-", 2, ""),
        (f"ulimit -v 300000; $T read-label '{LABEL}'", 2, "needs at least 500 MB"),
        (f"ulimit -v 40000; $T read-label '{LABEL}'", 2, "needs at least 500 MB"),
    ],
)
def test_whatever_becomes_of_the_streams_there_is_one_sentence_at_most(
    line: str, code: int, said: str
) -> None:
    done = shell(line)
    told = done.stderr.decode()
    assert done.returncode == code, told
    assert told.count("\n") == bool(said)
    assert said in told


@pytest.mark.parametrize("encoding", ["ascii", "cp932", "cp437", "latin-1"])
def test_letters_that_a_terminal_does_not_have_are_written_plainer(encoding: str) -> None:
    read = shell(f"$T read-label '{LABEL}'", PYTHONIOENCODING=encoding)
    assert (read.returncode, read.stderr) == (0, b"")
    assert "rmel" in read.stdout.decode(encoding)
    refused = shell("$T check nirgends.svg", PYTHONIOENCODING=encoding)
    assert refused.returncode == 2
    assert "nirgends.svg" in refused.stderr.decode(encoding)
    assert "Traceback" not in refused.stderr.decode(encoding)


@pytest.mark.parametrize(
    ("module", "function", "words", "keeps"),
    [
        ("check", "check_layouts", ["check", "in.svg"], False),
        ("join_lines", "join_lines", ["join-lines", "in.svg"], False),
        ("lay_out", "lay_out_materials", ["lay-out", "in.svg", "--fabric-width", "1m"], False),
        ("lay_out", "lay_out_materials", ["lay-out", "in.svg", "--fabric-width", "1m"], True),
    ],
)
def test_a_command_that_hears_nothing_is_ended_all_the_same(
    module: str, function: str, words: list[str], keeps: bool, tmp_path: Path
) -> None:
    """The first signal ends it, the second where the first one asks for the best so far."""
    drawing = SvgBuilder()
    drawing.add("rect", width=50, height=60)
    drawing.write(tmp_path / "in.svg")
    (tmp_path / "out.svg").write_text("before")
    script = ENDLESS.format(module=module, function=function, keeps=keeps)
    process = subprocess.Popen(
        [sys.executable, "-c", script, *words, "--output", "out.svg"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        assert process.stdout is not None
        assert process.stdout.readline() == b"at work\n"
        if keeps:
            process.send_signal(signal.SIGINT)
            time.sleep(2.0)
            assert process.poll() is None
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)
    finally:
        process.kill()
    assert process.returncode == 130
    assert err == b"Ended. Nothing was written.\n"
    assert (tmp_path / "out.svg").read_text() == "before"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["in.svg", "out.svg"]


def test_workers_that_wait_for_more_to_do_do_not_hold_up_the_end(tmp_path: Path) -> None:
    """As those of a table of lengths, that stay for minutes after their last task."""
    script = (
        "import joblib\n"
        "from nesting.streams import end\n"
        "if __name__ == '__main__':\n"
        "    print(joblib.Parallel(2)(joblib.delayed(abs)(-one) for one in range(2)), flush=True)\n"
        "    end(3)\n"
    )
    (tmp_path / "pool.py").write_text(script)
    done = subprocess.run(
        [sys.executable, "pool.py"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        capture_output=True,
        timeout=60,
    )
    assert (done.returncode, done.stdout, done.stderr) == (3, b"[0, 1]\n", b"")
