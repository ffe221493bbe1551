# SPDX-License-Identifier: GPL-2.0-or-later
"""What the commands say when they are through: what is done, and where it is to be found."""

from __future__ import annotations

import io
import json
import threading
import time
from collections.abc import Iterable
from pathlib import Path

from extension.dialogs.hosted import DONE, run_hosted
from extension.dialogs.menu_command import SEE, SEE_BEHIND
from extension.drawn.place import BELOW, RIGHT
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.svg_builder import SvgBuilder


class Quiet:
    """The stdin of a launcher that never says "stop"."""

    def read(self, size: int, /) -> bytes:
        threading.Event().wait()
        return b""


class Ran:
    """What a command left and said."""

    def __init__(self, folder: Path, drawing: bytes, name: str, *words: str) -> None:
        into, out = folder / "in.svg", folder / "out.svg"
        into.write_bytes(drawing)
        told, begun = io.BytesIO(), time.perf_counter()
        command = [f"--command={name}", *words, f"--output={out}", str(into)]
        code = run_hosted(command, Quiet(), told, lambda: time.perf_counter() - begun)
        assert code == DONE, told.getvalue()
        lines = [json.loads(line) for line in told.getvalue().splitlines()]
        self.messages = [line["text"] for line in lines if line["kind"] == "message"]
        self.hints = [line["text"] for line in lines if line["kind"] == "hint"]
        (self.done,) = (line["text"] for line in lines if line["kind"] == "done")
        self.drawing = out.read_bytes()


def sides(leaves: Iterable[Leaf]) -> tuple[float, float, float, float]:
    boxes = [leaf.box for leaf in leaves]
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def test_a_layout_is_where_it_is_said_to_be(tmp_path: Path) -> None:
    lay = ("lay-out", "--seconds=1", "--fabric_width=90 cm")
    first = Ran(tmp_path, garment().data(), *lay)
    leaves = read_leaves(parse(first.drawing), include_layouts=True)
    before = len(read_leaves(parse(garment().data())))
    assert first.done.endswith(f"ayout is on a new layer {RIGHT}{SEE_BEHIND}")
    assert sides(leaves[before:])[0] > sides(leaves[:before])[2]

    second = Ran(tmp_path, first.drawing, *lay)
    again = read_leaves(parse(second.drawing), include_layouts=True)
    assert second.done.endswith(f"ayout is on a new layer {BELOW}{SEE_BEHIND}")
    assert sides(again[len(leaves) :])[1] > sides(leaves[before:])[3]


def test_a_count_that_only_a_label_has_is_worth_a_look(tmp_path: Path) -> None:
    drawing = SvgBuilder("400mm", "400mm", (0, 0, 400, 400))
    drawing.add_rect(0, 0, 200, 300, id="a", label="Front")
    drawing.add_text("cut 2", 40, 100, font_size=12)
    ran = Ran(tmp_path, drawing.data(), "lay-out", "--seconds=1", "--fabric_width=90 cm")
    (hint,) = ran.hints
    assert "“Front” (a) is cut once, though its label counts otherwise" in hint


def test_what_does_not_fit_is_worth_a_look(tmp_path: Path) -> None:
    ran = Ran(
        tmp_path,
        garment().data(),
        "lay-out",
        "--seconds=1",
        "--fabric_length=21 cm",
        "--fabric_width=40 cm",
    )
    assert ran.messages == []
    assert any("Did not fit: " in text for text in ran.hints)
    assert ran.done == f"Done: the layout is on a new layer {RIGHT}{SEE_BEHIND}"


def test_a_piece_that_is_not_laid_for_want_of_a_grainline_is_worth_a_look(tmp_path: Path) -> None:
    drawing = garment()
    drawing.add_rect(500, 20, 30, 40, id="loop", lay={"name": "Loop", "cut": "1"})
    ran = Ran(tmp_path, drawing.data(), "lay-out", "--seconds=1", "--fabric_width=90 cm")
    assert "Not laid, having no grainline: Loop. Set the grain" in ran.hints[0]


def test_a_clean_check_needs_no_message_and_says_what_it_found(tmp_path: Path) -> None:
    edited = Edited()
    ran = Ran(tmp_path, edited.data, "check")
    assert (ran.messages, ran.hints) == ([], [])
    assert ran.done.startswith("Done: ")
    assert "no overlap" in ran.done
    assert ran.done.endswith(SEE)  # without a dialog there is nothing else to close


def test_faults_are_worth_a_look(tmp_path: Path) -> None:
    edited = Edited()
    edited.transform("front", 2, "translate(-60, -100)")
    ran = Ran(tmp_path, edited.data, "check")
    assert (ran.messages, len(ran.hints)) == ([], 1)
    assert ran.done == f"Done: faults are marked on the layout, and listed beside its far end{SEE}"


def test_details_that_cannot_be_seen_are_told(tmp_path: Path) -> None:
    ran = Ran(tmp_path, garment().data(), "details", "--id=front", "--note=cut last")
    assert ran.messages == []
    assert ran.done.startswith("Done: Set note on “Front” (front)")


def test_held_parts_are_named(tmp_path: Path) -> None:
    edited = Edited()
    part = edited.part("front", 1)
    ran = Ran(tmp_path, edited.data, "hold", f"--id={part.get('id')}")
    assert ran.messages == []
    assert ran.done.startswith("Done: Held: “")
