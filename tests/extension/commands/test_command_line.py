# SPDX-License-Identifier: GPL-2.0-or-later
"""The lay-out command from file to file: done, or one plain line and nothing written."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import nesting.solve
from extension.commands.command_line import BAD_INPUT, COMMANDS, INTERRUPTED, parser, run, tied
from extension.commands.terminal import Terminal
from extension.job.options import options_from_text
from extension.job.settings import options_of
from extension.language.names import lay
from extension.operations.progress import progress_text
from extension.svg.document import parse
from nesting.search.improver import Improver
from nesting.search.keeper import Progress
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time, read_back
from tests.helpers.places import PROJECT
from tests.helpers.svg_builder import SvgBuilder


@pytest.fixture(autouse=True)
def _no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Be content with the first layout: these tests are about files and words."""

    def nothing_better(*_: object, **__: object) -> int:
        return 1

    def search() -> Improver:
        return nothing_better  # type: ignore[return-value]

    monkeypatch.setattr(nesting.solve, "default_search", search)


class Tty(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def command(*words: object, err: io.StringIO | None = None) -> tuple[int, str, str]:
    """Run a command; return its exit code and what it wrote on stdout and stderr."""
    terminal = Terminal(io.StringIO(), err or io.StringIO())
    code = run([str(word) for word in words], terminal, no_time)
    return code, terminal.out.getvalue(), terminal.err.getvalue()  # type: ignore[attr-defined]


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    """Return the path of a drawing of pieces."""
    return garment().write(tmp_path / "pieces.svg")


def lay_out(drawing: Path, *words: object, output: str = "out.svg") -> tuple[int, str, str]:
    target = drawing.with_name(output)
    usual = ["lay-out", drawing, "--fabric-width", "140cm", "--rounds", "1", "--workers", "1"]
    return command(*usual, "--output", target, *words)


def test_a_layout_is_written_beside_the_untouched_drawing(drawing: Path) -> None:
    before = drawing.read_bytes()
    code, out, err = lay_out(drawing)
    assert (code, err) == (0, "")
    assert out.splitlines()[0].startswith("Needs ")
    assert "lay every piece on it before the first cut" in out
    assert len(read_back(parse(drawing.with_name("out.svg"))).outlines) == 5
    assert drawing.read_bytes() == before
    assert sorted(path.name for path in drawing.parent.iterdir()) == ["out.svg", "pieces.svg"]


def test_the_drawing_is_written_over_only_when_it_is_named_as_output(drawing: Path) -> None:
    assert lay_out(drawing, output="pieces.svg")[0] == 0
    assert parse(drawing).root[-1].get(lay("layout")) == "1"


def test_every_choice_of_the_command_line_reaches_the_run(drawing: Path) -> None:
    choices = {
        "--fabric-width": "60in",
        "--width-is": "booked",
        "--gap": "1/8in",
        "--round-up": "5cm",
        "--end-allowance": "2in",
        "--allowance": "1/4in",
        "--material": "main",
        "--garments": "2",
        "--no-grain": "lay",
        "--seed": "9",
    }
    words = [word for pair in choices.items() for word in pair]
    code, _, err = lay_out(drawing, *words, "--no-nap", "--select", "front", "tab")
    assert (code, err) == (0, "")
    stored = parse(drawing.with_name("out.svg")).root[-1].get(lay("settings"), "")
    typed = {key.lstrip("-").replace("-", "_"): value for key, value in choices.items()}
    more = {"nap": "no", "rounds": "1", "workers": "1"}
    assert options_of(stored) == options_from_text({**typed, **more}, ["front", "tab"])


def test_sizes_and_garments_are_chosen(drawing: Path) -> None:
    sized = garment()
    for node in sized.root.iter("{*}g"):
        if node.get("id") in ("front", "back"):
            node.set(lay("size"), {"front": "38", "back": "40"}[node.get("id", "")])
    sized.write(drawing)
    assert lay_out(drawing, "--size", "38=2,40")[0] == 0
    found = read_back(parse(drawing.with_name("out.svg"))).outlines
    assert sorted(of for of, _ in found) == ["back"] + ["front"] * 4 + ["tab"] * 6


def test_the_report_is_written_when_asked_for(drawing: Path) -> None:
    report = drawing.with_name("r.json")
    assert lay_out(drawing, "--report", report)[0] == 0
    read = json.loads(report.read_text(encoding="utf-8"))
    assert read["length"] == read["buy"]["needed_mm"]
    assert len(read["placements"]) == 5


def test_two_runs_write_the_same_bytes(drawing: Path) -> None:
    lay_out(drawing, output="one.svg")
    lay_out(drawing, output="two.svg")
    one, two = (drawing.with_name(name).read_bytes() for name in ("one.svg", "two.svg"))
    assert one == two


def test_names_with_spaces_and_letters_of_any_script_work(tmp_path: Path) -> None:
    strange = garment()
    group = next(node for node in strange.root.iter("{*}g") if node.get("id") == "front")
    group.set("id", "Vorderstück_前")
    group.set(lay("name"), "Vorderstück 前身頃")
    path = strange.write(tmp_path / "mein Schnitt – größer.svg")
    assert lay_out(path, "--select", "Vorderstück_前", output="Ergebnis ü.svg")[0] == 0
    found = read_back(parse(path.with_name("Ergebnis ü.svg"))).outlines
    assert [of for of, _ in found] == ["Vorderstück_前"] * 2


BAD_WORDS: dict[str, tuple[list[str], str]] = {
    "width 0": (["--fabric-width", "0cm"], "fabric width"),
    "width negative": (["--fabric-width=-140cm"], "fabric width"),
    "width negative, apart": (["--fabric-width", "-5cm"], "fabric width must be more than nothing"),
    "gap negative": (["--gap", "-3mm"], "gap between parts must be between 0 and 500 mm"),
    "end allowance negative": (["--end-allowance", "-.5in"], "end allowance must be between"),
    "allowance negative": (["--allowance", "-15mm"], "seam allowance to add must be between"),
    "value forgotten": (["--gap", "--no-nap"], "There is no value behind --gap, so type one there"),
    "width no number": (["--fabric-width", "NaN"], "fabric width"),
    "width text": (["--fabric-width", "wide"], "fabric width"),
    "width without unit": (["--fabric-width", "140"], "no unit"),
    "too narrow for a piece": (["--fabric-width", "10cm"], "Front"),
    "unknown material": (["--material", "lining"], "No piece is cut from"),
    "unknown id": (["--select", "nobody"], "nobody"),
    "unknown size": (["--size", "38=1"], "38"),
    "garments": (["--garments", "0"], "number of garments"),
    "rounding": (["--round-up", "1ft"], "1/8yd"),
    "seed": (["--seed", "many"], "seed"),
    "unknown word": (["--colour", "red"], "--colour"),
    "shortened word": (["--gar", "2"], "--gar"),
    "both limits": (["--seconds", "2"], "--seconds"),
}


@pytest.mark.parametrize(("words", "said"), BAD_WORDS.values(), ids=BAD_WORDS.keys())
def test_bad_choices_are_one_line_and_nothing_is_written(
    drawing: Path, words: list[str], said: str
) -> None:
    code, out, err = lay_out(drawing, *words, "--report", drawing.with_name("r.json"))
    assert (code, out) == (BAD_INPUT, "")
    assert err.count("\n") == 1
    assert err.endswith((".\n", ")\n"))
    assert said in err
    assert "Traceback" not in err
    assert [path.name for path in drawing.parent.iterdir()] == ["pieces.svg"]


BAD_DRAWINGS: dict[str, tuple[Callable[[], bytes], str]] = {
    "damaged": (lambda: garment().data()[:-20], "damaged"),
    "empty": (lambda: b"", "empty"),
    "not SVG": (lambda: b"<html/>", "not an SVG"),
    "nothing drawn": (lambda: SvgBuilder().data(), "no piece"),
    "a bomb of entities": (
        lambda: (
            b'<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'
            b'<svg xmlns="http://www.w3.org/2000/svg">&b;</svg>'
        ),
        "entities",
    ),
}


@pytest.mark.parametrize(("data", "said"), BAD_DRAWINGS.values(), ids=BAD_DRAWINGS.keys())
def test_bad_drawings_are_one_line_and_nothing_is_written(
    tmp_path: Path, data: Callable[[], bytes], said: str
) -> None:
    path = tmp_path / "bad.svg"
    path.write_bytes(data())
    code, out, err = lay_out(path)
    assert (code, out, err.count("\n")) == (BAD_INPUT, "", 1)
    assert said in err
    assert [path.name for path in tmp_path.iterdir()] == ["bad.svg"]


def test_a_missing_drawing_is_told(tmp_path: Path) -> None:
    code, _, err = lay_out(tmp_path / "none.svg")
    assert (code, err.count("\n")) == (BAD_INPUT, 1)
    assert "none.svg" in err


def test_what_cannot_be_written_is_told_before_the_work_is_done(
    drawing: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("the work was begun")

    monkeypatch.setattr("extension.commands.lay_out.lay_out_materials", never)
    # A file as a parent folder: refused to everyone, the administrator included.
    for words in (["--report", drawing / "r.json"], ["--report", drawing.parent / "no" / "r.json"]):
        code, _, err = lay_out(drawing, *words)
        assert (code, err.count("\n")) == (BAD_INPUT, 1)
        assert "Cannot write" in err
    code, _, err = lay_out(drawing, "--output", drawing / "out.svg")
    assert code == BAD_INPUT
    assert "Cannot write" in err


@pytest.mark.parametrize("target", ["pieces.svg", "out.svg"])
def test_the_report_never_overwrites_a_drawing(drawing: Path, target: str) -> None:
    before = drawing.read_bytes()
    code, _, err = lay_out(drawing, "--report", drawing.with_name(target))
    assert code == BAD_INPUT
    assert "would overwrite" in err
    assert drawing.read_bytes() == before


def test_progress_is_shown_on_a_terminal_only(drawing: Path) -> None:
    assert "\r" in lay_out_on(Tty(), drawing)
    assert lay_out_on(io.StringIO(), drawing) == ""


def lay_out_on(stream: io.StringIO, drawing: Path) -> str:
    words = ["lay-out", drawing, "--fabric-width", "140cm", "--rounds", "1", "--workers", "1"]
    command(*words, "--output", drawing.with_name("out.svg"), err=stream)
    return stream.getvalue()


def test_a_progress_line_names_time_length_and_use() -> None:
    line = progress_text(Progress(4.2, 12, 1837.2, 0.8123, 1500.0))
    assert line == "4 s: 1.837 m, 81.2% of the cloth used"


def test_ctrl_c_keeps_the_best_so_far(drawing: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[bool] = []

    def interrupted(*_: object, should_stop: Callable[[int], bool], **__: object) -> int:
        asked.append(should_stop(0))
        os.kill(os.getpid(), signal.SIGINT)
        asked.append(should_stop(0))
        return 1

    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr(nesting.solve, "default_search", lambda: interrupted)
    assert lay_out(drawing, "--fabric-width", "40cm")[0] == 0
    assert asked == [False, True]
    assert drawing.with_name("out.svg").exists()
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_ctrl_c_ends_without_a_word_too_many(
    drawing: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object, **__: object) -> int:
        for _time in range(2):
            os.kill(os.getpid(), signal.SIGINT)
        return 1

    monkeypatch.setattr(nesting.solve, "default_search", lambda: interrupted)
    code, out, err = lay_out(drawing, "--fabric-width", "40cm")
    assert (code, out, err) == (INTERRUPTED, "", "Ended. Nothing was written.\n")
    assert [path.name for path in drawing.parent.iterdir()] == ["pieces.svg"]


def test_every_command_has_help_and_says_how_to_stop(capsys: pytest.CaptureFixture[str]) -> None:
    for name, module in COMMANDS.items():
        assert module.HELP
        with pytest.raises(SystemExit) as left:
            parser().parse_args([name, "--help"])
        assert left.value.code == 0
        out = capsys.readouterr().out
        assert "Ctrl+C" in out
        has_best = name in ("lay-out", "requirements", "tighten")
        assert ("keeps the best" in out, "nothing is written" in out) == (has_best, not has_best)


def test_only_a_value_behind_an_option_is_tied_to_it() -> None:
    words = "lay-out -5.svg --gap -3mm --select a -1 --gap=2 -2 -- -7"
    tied_words = words.replace("--gap -3mm", "--gap=-3mm")
    assert tied(words.split()) == tied_words.split()


@pytest.mark.parametrize("words", [[], ["spin"], ["lay-out"]])
def test_words_that_are_no_command_are_one_line(words: list[str]) -> None:
    code, _, err = command(*words)
    assert (code, err.count("\n")) == (BAD_INPUT, 1)
    assert "--help" in err


def test_the_program_itself_runs_with_the_real_search(drawing: Path) -> None:
    # On cloth so narrow that the first layout is not known to be the best.
    words = ["lay-out", drawing, "--fabric-width", "40cm", "--rounds", "1", "--workers", "1"]
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "extension",
            *map(str, words),
            "--output",
            drawing.with_name("o.svg"),
        ],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Needs ")
    assert len(read_back(parse(drawing.with_name("o.svg"))).outlines) == 5


def test_commands_are_ready_before_heavy_libraries_are_loaded() -> None:
    # Half a second and more, which those pay that search or join lines.
    code = (
        "import sys, extension.commands.command_line\n"
        "from extension.dialogs.hosted import command_names, command_of\n"
        "assert len([command_of(name) for name in command_names()]) == 10\n"
        "assert not {'numba', 'scipy', 'highspy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60, cwd=PROJECT)
