# SPDX-License-Identifier: GPL-2.0-or-later
"""Menu commands as inkex runs them, and inkex kept to the editor's door."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from subprocess import PIPE

import inkex
import pytest
from inkex.tester.xmldiff import xmldiff
from lxml import etree

from extension.dialogs.hold import Hold
from extension.dialogs.hosted import DONE, command_names, command_of
from extension.dialogs.lay_out import LayOut
from extension.job.options import LayOutOptions, usual_workers
from extension.language.names import lay
from extension.operations import KEEPS_BEST
from extension.operations.check import check_layouts
from extension.operations.details import set_details
from extension.operations.hold import hold_parts
from extension.operations.lay_out import lay_out
from extension.operations.read_markings import read_markings
from extension.operations.running import Run
from extension.svg.document import Document, parse
from extension.svg.identities import Identities
from tests.helpers.edited import Edited
from tests.helpers.layouts import no_time
from tests.helpers.menu import host, opened
from tests.helpers.places import EXTENSION, PROJECT, SAMPLES
from tests.test_house import modules, taken_by

APRON = SAMPLES / "first-apron.svg"
PART = "thriftlay-1-part-1"
STOPPED = Run(no_time, lambda _: True)


def laid() -> bytes:
    """Return a drawing with a layout."""
    return Edited().data


def plainly_laid(document: Document) -> bytes:
    """Return a drawing with a layout of its two ties."""
    cloth = LayOutOptions(1400.0, select=("apron-tie",), seconds=5.0, workers=usual_workers())
    return lay_out(document, cloth, STOPPED).drawing


CASES: dict[str, tuple[Callable[[], bytes], tuple[str, ...], Callable[[Document], bytes]]] = {
    "check": (laid, (), lambda one: check_layouts(one).drawing),
    "details": (
        APRON.read_bytes,
        ("--id=apron-pocket", "--cut=3", "--grain=up"),
        lambda one: set_details(one, ["apron-pocket"], {"cut": "3", "grain": "up"}).drawing,
    ),
    "hold": (laid, (f"--id={PART}",), lambda one: hold_parts(one, [PART]).drawing),
    "read-markings": (APRON.read_bytes, (), lambda one: read_markings(one).drawing),
    "lay-out": (APRON.read_bytes, ("--id=apron-tie", "--seconds=5"), plainly_laid),
}
"""A drawing, the words of a dialog, and the same done to a tree of lxml's own."""


@pytest.mark.parametrize("name", command_names())
def test_every_menu_command_is_inkexs_extension_with_files_of_one_name(name: str) -> None:
    command = command_of(name)(host())
    assert isinstance(command, inkex.EffectExtension)
    assert command.called == name
    file = name.replace("-", "_")
    for room in ("operations", "commands", "dialogs"):
        assert (EXTENSION / room / f"{file}.py").is_file()


def test_what_keeps_the_best_is_a_command() -> None:
    assert set(command_names()) > KEEPS_BEST


@pytest.mark.parametrize("last", [False, True])
def test_an_id_means_the_same_element_in_the_selection_and_for_every_operation(last: bool) -> None:
    """A word of some other program may carry the id of a part: it is nothing that is drawn."""
    edited = Edited()
    foreign = etree.Element("{urn:example:other}note", id=PART)
    edited.root.insert(len(edited.root) if last else 0, foreign)
    command = opened(Hold, f"--id={PART}", drawing=edited.data)
    assert command.selected_layouts() == [PART]
    (selected,) = command.selected()
    assert selected is Identities(command.drawing.root).find(PART)


def test_the_selection_is_inkexs_own_in_the_order_of_the_drawing() -> None:
    words = ("--id=apron-tie", "--id=nobody", "--id=apron-body")
    command = opened(LayOut, *words, drawing=APRON.read_bytes())
    assert isinstance(command.svg, inkex.SvgDocumentElement)
    assert set(command.svg.selection.ids) == {"apron-tie", "apron-body"}
    order = [one.get("id") for one in command.svg.iter() if one.get("id") in command.ids]
    assert [one.get("id") for one in command.selected()] == order
    # What the drawing lacks is not dropped: else nothing would be selected, and all be laid.
    assert command.ids == ["apron-tie", "nobody", "apron-body"]


@pytest.mark.parametrize("name", CASES)
def test_a_drawing_comes_out_of_the_door_as_from_a_tree_of_lxmls_own(
    name: str, tmp_path: Path
) -> None:
    made, words, plainly = CASES[name]
    file, output = tmp_path / "ink_ext.svgX", tmp_path / "out.svg"
    file.write_bytes(made())
    stopped = replace(host(), stop=lambda _: True)
    command_of(name)(stopped).run([f"--command={name}", *words, f"--output={output}", str(file)])
    assert output.read_bytes() == plainly(parse(file.read_bytes()))


def test_originals_come_back_byte_for_byte(tmp_path: Path) -> None:
    # A transform and a style that inkex would write in its own way, were they merely read by it.
    own = (
        '<g id="p" style="fill : none;;stroke:#000000 " transform="rotate(3.123456789 1 2)">'
        '<path id="front" class=" a " transform="translate( 1.00000001 )" d="M0 0h90v90z"/></g>'
    )
    page = 'width="200mm" height="200mm" viewBox="0 0 200 200"'
    file, output = tmp_path / "ink_ext.svgX", tmp_path / "out.svg"
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{own}</svg>', encoding="utf-8")
    stopped = replace(host(), stop=lambda _: True)
    command_of("lay-out")(stopped).run(["--id=front", f"--output={output}", str(file)])
    assert own in output.read_text(encoding="utf-8")
    root = etree.fromstring(output.read_bytes())
    layers = [one for one in root if one.get(lay("layout"))]
    assert layers
    for layer in layers:
        root.remove(layer)
    same, told = xmldiff(file.read_bytes(), etree.tostring(root))
    assert same, told


def test_inkex_is_taken_by_the_editors_door_alone() -> None:
    takers = {
        module
        for module, file in modules().items()
        if any(name.partition(".")[0] == "inkex" for name in taken_by(file))
    }
    assert takers == {"extension.dialogs.elements", "extension.dialogs.menu_command"}


WITHOUT_INKEX = """
import sys
sys.modules["inkex"] = None  # as where it cannot be installed
from extension.__main__ import main
sys.exit(main())
"""


@pytest.mark.parametrize(
    "words",
    [
        ("lay-out", "IN", "--fabric-width=140cm", "--rounds=1", "--output=OUT"),
        ("read-markings", "IN", "--output=OUT"),
        ("details", "IN", "--select=apron-pocket", "--set", "cut=3", "--output=OUT"),
        ("check", "IN", "--output=OUT"),
        ("requirements", "--help"),
    ],
    ids=lambda words: words[0],
)
def test_the_terminals_door_needs_no_inkex(words: tuple[str, ...], tmp_path: Path) -> None:
    drawing, output = tmp_path / "in.svg", tmp_path / "out.svg"
    drawing.write_bytes(laid() if words[0] == "check" else APRON.read_bytes())
    typed = [str(drawing) if word == "IN" else word.replace("=OUT", f"={output}") for word in words]
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_INKEX, *typed],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "--help" in words or output.is_file()


def test_a_menu_command_says_nothing_on_stderr(tmp_path: Path) -> None:
    # inkex switches warnings on, and a byte there opens a window of the editor's.
    python = [sys.executable, "-I", "-X", "utf8", str(EXTENSION / "dialogs/main.py")]
    words = ["--command=read-markings", f"--output={tmp_path / 'out.svg'}", str(APRON)]
    with subprocess.Popen([*python, *words], stdin=PIPE, stdout=PIPE, stderr=PIPE) as program:
        assert program.stderr is not None
        assert program.stderr.read() == b""
        assert program.wait(timeout=60) == DONE
