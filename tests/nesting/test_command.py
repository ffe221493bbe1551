# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine on the command line: exit codes, what is written where, and one-sentence refusals."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from nesting import command
from nesting.jobs.jobfile import layout_from_json
from nesting.search.keeper import Progress
from nesting.solve import solve
from tests.helpers.places import PROJECT

JOB = {
    "format": "thriftlay-job",
    "version": 1,
    "fabric": {"width": 250, "nap": False},
    "pieces": [
        {"id": "Ärmel", "outline": [[0, 0], [100, 0], [100, 100], [0, 100]], "cut": 3},
        {"id": "gore", "outline": [[0, 0], [90, 0], [0, 60]], "cut": 4},
    ],
}


def no_clock() -> float:
    return 0.0


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "täglich job.json"
    path.write_text(json.dumps(JOB), encoding="utf-8")
    return path


def in_process(*arguments: object) -> int:
    return command.run([str(one) for one in arguments], clock=no_clock)


def as_process(*arguments: object, **options: object) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "nesting", *map(str, arguments)],
        cwd=PROJECT,
        capture_output=True,
        timeout=120,
        check=False,
        **options,  # type: ignore[call-overload]
    )


def test_the_result_goes_to_standard_output_and_nothing_else_does(job: Path) -> None:
    done = as_process(job, "--rounds", 0)
    assert (done.returncode, done.stderr) == (0, b"")
    layout = layout_from_json(done.stdout)
    assert len(layout.placements) == 7
    assert (layout.rounds, layout.workers, layout.seed) == (0, 1, 0)


@pytest.mark.parametrize("workers", [1, 2])
def test_the_same_run_in_two_processes_gives_the_same_layout(workers: int) -> None:
    """Whatever the order of hashes: seed, rounds and workers decide alone."""
    job = PROJECT / "tests/nesting/jobs/two-garments-with-gap.json"
    results = []
    for hash_seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
        done = as_process(job, "--rounds", 6, "--seed", 3, "--workers", workers, env=environment)
        assert (done.returncode, done.stderr) == (0, b"")
        result = json.loads(done.stdout)
        del result["seconds"]
        results.append(json.dumps(result))
    assert results[0] == results[1]
    assert json.loads(results[0])["workers"] == workers


def test_a_timed_run_is_replayed_by_its_rounds(job: Path) -> None:
    def lengths(*limit: object) -> tuple[float, int]:
        layout = layout_from_json(as_process(job, *limit).stdout)
        return layout.length, layout.rounds

    length, rounds = lengths("--seconds", 3)
    assert lengths("--rounds", rounds) == (length, rounds)


def test_a_job_is_read_from_standard_input() -> None:
    done = as_process("-", "--rounds", 0, input=json.dumps(JOB).encode())
    assert done.returncode == 0
    assert len(layout_from_json(done.stdout).placements) == 7


def test_the_result_file_appears_whole_and_alone(job: Path, tmp_path: Path) -> None:
    output = tmp_path / "Ergebnis ✂.json"
    output.write_text("old", encoding="utf-8")
    assert in_process(job, "--rounds", 0, "--output", output, "--seed", 5) == 0
    assert layout_from_json(output.read_bytes()).seed == 5
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([output.name, job.name])


def test_parts_that_do_not_fit_are_told_and_the_partial_layout_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    short = {**JOB, "fabric": {"width": 250, "length": 100, "nap": False}}
    path, output = tmp_path / "job.json", tmp_path / "out.json"
    path.write_text(json.dumps(short), encoding="utf-8")
    assert in_process(path, "--rounds", 0, "--output", output) == 3
    layout = layout_from_json(output.read_bytes())
    assert layout.left_over
    assert len(layout.placements) >= 2
    assert "not fit on this length of cloth" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "No job file is named"),
        (["JOB", "--rounds", "-1"], "whole number from 0"),
        (["JOB", "--rounds", "1.5"], "whole number from 0"),
        (["JOB", "--seconds", "nan"], "not a number of seconds"),
        (["JOB", "--seconds", "-1"], "not a number of seconds"),
        (["JOB", "--seconds", "soon"], "not a number of seconds"),
        (["JOB", "--seconds", "1", "--rounds", "1"], "not allowed with"),
        (["JOB", "--workers", "0"], "whole number from 1 to 64"),
        (["JOB", "--workers", "65"], "whole number from 1 to 64"),
        (["JOB", "--seed", "x"], "whole number from 0"),
        (["JOB", "--colour"], "--colour"),
        (["MISSING"], "cannot be read: No such file"),
        (["FOLDER"], "cannot be read: Is a directory"),
        (["JOB", "--output", "MISSING/out.json"], "no folder to write"),
        (["JOB", "--output", "JOB/out.json"], "no folder to write"),
        (["JOB", "--output", "FOLDER"], "is a folder"),
    ],
)
def test_bad_arguments_are_one_sentence_and_nothing_is_written(
    job: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    before = sorted(job.parent.iterdir())
    places = {"JOB": str(job), "FOLDER": str(job.parent), "MISSING": str(job.parent / "missing")}
    for name, place in places.items():
        arguments = [one.replace(name, place) for one in arguments]
    assert in_process(*arguments) == 2
    shown = capsys.readouterr()
    assert words in shown.err
    assert shown.err.count("\n") == 1
    assert shown.out == ""
    assert sorted(job.parent.iterdir()) == before


def test_a_bad_job_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.json"
    path.write_text(json.dumps({**JOB, "fabric": {"width": 50}}), encoding="utf-8")
    assert in_process(path, "--output", tmp_path / "out.json") == 2
    shown = capsys.readouterr().err
    assert shown.startswith("Piece “Ärmel” needs fabric at least 10 cm wide")
    assert shown.count("\n") == 1
    assert not (tmp_path / "out.json").exists()


def test_a_terminal_that_knows_no_such_letters_gets_plainer_ones(tmp_path: Path) -> None:
    path = tmp_path / "job.json"
    path.write_text(json.dumps({**JOB, "fabric": {"width": 50}}), encoding="utf-8")
    done = as_process(path, env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 2
    assert b'"Armel"' in done.stderr


def test_a_result_that_cannot_be_written_is_one_sentence_and_leaves_nothing(
    job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    output = job.parent / "out.json"
    assert in_process(job, "--rounds", 0, "--output", output) == 2
    assert "cannot be written: No space left on device" in capsys.readouterr().err
    assert [path.name for path in job.parent.iterdir()] == [job.name]


def test_a_pipe_is_written_to_and_not_replaced(job: Path, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read: list[bytes] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    assert in_process(job, "--rounds", 0, "--output", pipe) == 0
    reader.join(timeout=30)
    assert layout_from_json(read[0])
    assert pipe.is_fifo()


def test_progress_is_written_on_a_terminal_alone(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        encoding = "utf-8"

        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    assert in_process(job, "--rounds", 0, "--output", tmp_path / "out.json") == 0
    (line,) = terminal.getvalue().splitlines()
    assert "s, round 0: " in line
    assert "% used (not possible below" in line


def test_progress_lines_do_not_repeat_themselves(capsys: pytest.CaptureFixture[str]) -> None:
    lines = command._ProgressLines()
    for seconds, length in ((0.1, 500.0), (0.2, 500.0), (0.9, 490.0), (1.5, 490.0), (2.0, 490.0)):
        lines(Progress(seconds, 1, length, 0.5, 400.0))
    shown = capsys.readouterr().err.splitlines()
    assert [line.split(" s,")[0].strip() for line in shown] == ["0.1", "0.9", "2.0"]


def test_the_first_ctrl_c_stops_and_keeps_the_best_so_far(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The signal comes while the search is at work; without it the search would never end."""

    def endless(problem: object, start: object, **hooks: object) -> int:
        signal.raise_signal(signal.SIGINT)
        assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
        while not hooks["should_stop"](3):  # type: ignore[operator]
            time.sleep(0.01)
        return 3

    def solving(*arguments: object, **options: object) -> object:
        return solve(*arguments, **options, search=endless)  # type: ignore[arg-type]

    monkeypatch.setattr(command, "solve", solving)
    before = signal.getsignal(signal.SIGINT)
    output = tmp_path / "out.json"
    assert in_process(job, "--seconds", 1000, "--output", output) == 0
    assert layout_from_json(output.read_bytes()).rounds == 3
    assert signal.getsignal(signal.SIGINT) is before


def test_the_clock_of_the_process_ends_the_run(job: Path) -> None:
    done = as_process(job, "--seconds", 0)
    assert done.returncode == 0
    assert layout_from_json(done.stdout).rounds == 0


def test_help_is_shown_and_names_the_ways_to_stop() -> None:
    done = as_process("--help")
    assert done.returncode == 0
    assert b"--seconds" in done.stdout
    assert b"Ctrl-C" in done.stdout
