# SPDX-License-Identifier: GPL-2.0-or-later
"""From what the editor's dialog passes to the options and files of a table."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from extension.dialogs.requirements import Requirements
from extension.language.errors import DrawingError, OptionError
from extension.requirements_table.options import TableOptions, table_options
from nesting.model import Repeat
from tests.helpers.graded import tunic
from tests.helpers.menu import opened


def options(*arguments: str) -> TableOptions:
    return opened(Requirements, *arguments).wanted()


def test_an_untouched_dialog_gives_the_defaults() -> None:
    found, plain = options(), table_options({"widths": "115cm,140cm,150cm"})
    assert (found.widths, found.naps, found.base) == (plain.widths, {"": (True, False)}, plain.base)
    assert (found.ends, found.step_of(found.widths[""][0])) == (50.0, "10cm")


def test_every_field_reaches_the_options() -> None:
    found = options(
        "--widths=45in; interfacing=20in",
        "--nap=with",
        "--no_nap=lining, interfacing",
        "--spread=twice",
        "--depths=20 cm, 30 cm",
        "--sides=apart",
        "--spread_by=lining = open",
        "--repeat_along=8 cm",
        "--repeat_across=main = 6 cm",
        "--half_drop=true",
        "--first_line=2 cm",
        "--selvedge=1in",
        "--end_allowance=4in",
        "--shrinkage=3 %",
        "--shrinkage_across=2 %",
        "--round_up=none",
        "--sizes=38,40",
        "--raise_sizes=false",
        "--gap=1/8in",
        "--allowance_is=add",
        "--allowance=1cm",
        "--lay_without_grain=true",
        "--write_layouts=true",
        "--price=main = 12.50, lining = 6",
        "--seconds=60",
        "--seed=7",
        "--id=b",
    )
    assert found.spreads == {"": ("twice 20 cm, 30 cm",), "lining": ("open",)}
    assert found.base.sides == "apart"
    design = found.design_of("main", ("main", "lining"))
    assert design is not None
    assert design.of_cloth == Repeat(80.0, 60.0, first=20.0, half_drop=True)
    assert found.design_of("lining", ("main", "lining")) is None
    assert found.naps == {"": (True,), "lining": (False,), "interfacing": (False,)}
    assert (found.base.selvedge, found.ends, found.base.shrinkage) == (25.4, 4 * 25.4, 0.03)
    assert found.base.shrinkage_across == 0.02
    assert (found.round_up, found.sizes, found.raise_sizes) == ("none", "38,40", False)
    assert (found.base.gap, found.base.allowance, found.base.no_grain) == (3.175, 10.0, "lay")
    assert (found.base.seconds, found.base.seed, found.base.select) == (60.0, 7, ("b",))
    assert found.write_layouts
    assert [found.price_of(name) for name in ("main", "lining", "felt")] == ["12.50", "6", ""]


def test_widths_may_be_between_the_selvedges() -> None:
    found = options("--widths=140cm", "--width_is=usable")
    assert found.usable_of(found.widths[""][0]) == 1400.0


def test_an_allowance_to_add_needs_its_width() -> None:
    with pytest.raises(OptionError, match="not how much"):
        options("--allowance_is=add", "--allowance= ")


def files(*arguments: str) -> tuple[Path | None, ...]:
    return opened(Requirements, *arguments).files()


def test_files_are_tried_before_the_work(tmp_path: Path) -> None:
    assert files() == (None, None, None)
    with pytest.raises(OptionError, match="would overwrite"):
        files(f"--page={tmp_path / 'a.html'}", f"--csv={tmp_path / 'a.html'}")
    with pytest.raises(DrawingError, match="Cannot write"):
        files(f"--page={tmp_path / 'not there' / 'a.html'}")


def hosted(tmp_path: Path, *arguments: str) -> tuple[int, list[dict[str, object]]]:
    drawing, told = tunic(("S",)).write(tmp_path / "ink_ext"), io.BytesIO()
    words = ["--command=requirements", f"--output={tmp_path / 'out.svg'}", *arguments, str(drawing)]
    # An empty stdin is the launcher's stop: each length is the first that was found.
    code = run_hosted(words, io.BytesIO(b""), told, lambda: 0.0)
    return code, [json.loads(line) for line in told.getvalue().splitlines()]


def test_the_menu_command_writes_the_drawing_and_the_files(tmp_path: Path) -> None:
    page, table = tmp_path / "table.html", tmp_path / "table.csv"
    code, lines = hosted(tmp_path, "--widths=main=140cm", f"--page={page}", f"--csv={table}")
    assert code == DONE
    *progress, hint, done = lines
    assert {line["kind"] for line in progress} <= {"progress"}
    assert (hint["kind"], "lengths are rough" in str(hint["text"])) == ("hint", True)
    assert (done["kind"], str(page) in done["text"]) == ("done", True)
    assert b"lay:table" in (tmp_path / "out.svg").read_bytes()
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert table.read_text(encoding="utf-8").startswith("size,material,")


def test_bad_input_is_a_message_and_no_result(tmp_path: Path) -> None:
    code, (line,) = hosted(tmp_path, "--widths=wide")
    assert (code, line["kind"]) == (REFUSED, "message")
    assert "is not a length" in str(line["text"])
    assert not (tmp_path / "out.svg").exists()


def test_a_name_without_an_ending_is_given_one(tmp_path: Path) -> None:
    names = {name: tmp_path / f"Coat 1.2 {name}" for name in ("page", "csv", "text")}
    told = files(*(f"--{name}={path}" for name, path in names.items()))
    endings = {"page": ".html", "csv": ".csv", "text": ".txt"}
    assert told == tuple(tmp_path / f"Coat 1.2 {name}{end}" for name, end in endings.items())
    kept = tmp_path / "table.HTM"
    assert files(f"--page={kept}")[0] == kept
