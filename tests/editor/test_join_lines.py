# SPDX-License-Identifier: GPL-2.0-or-later
"""Broken lines from real PDFs, opened by the real editor and joined; and the menu command in it."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
from lxml import etree
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline

from extension.job.reading import ReadRequest, read_pieces
from extension.operations.join_lines import JoinOptions, join_lines
from extension.operations.read_markings import read_markings
from extension.svg.document import parse
from extension.svg.leaves import Leaf, read_leaves
from tests.helpers.broken import Points, bodice, grown
from tests.helpers.chopping import apart, dashed, edge_by_edge
from tests.helpers.drafting import sizes
from tests.helpers.drafting.through_pdf import imported
from tests.helpers.editor import Profile
from tests.helpers.screen import need

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

RUN = "org.thriftlay.join-lines.noprefs"
WIDTH, HEIGHT = 900.0, 700.0
"""mm of the page."""
SIZES_DRAWN = ("110", "116", "122")
SIZES = (((6.0, 3.0), "#000000"), ((10.0, 2.0, 1.0, 2.0), "#aa0000"), ((3.0, 2.0), "#0000aa"))


def outlines(drawing: bytes) -> list[Points]:
    return [
        np.array(leaf.rings[0].points)
        for leaf in read_leaves(parse(drawing))
        if any("joined" in group.attributes for group in leaf.groups)
    ]


def sheet_as_pdf(file: Path) -> list[Points]:
    """Write three nests of three sizes as PDF; return their outlines.

    The dashes of a size are one path, a path each, or a path each in a colour of their own.
    """
    figure = Figure(figsize=(WIDTH / 25.4, HEIGHT / 25.4))
    canvas = FigureCanvasPdf(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, WIDTH), ylim=(HEIGHT, 0.0))
    axes.set_axis_off()
    truths = []
    for place, x in enumerate((30.0, 310.0, 600.0)):
        for number, (pattern, colour) in enumerate(SIZES):
            truth = grown(bodice(), 6.0 * number) + np.array([x, 50.0])
            truths.append(truth)
            parts = (edge_by_edge if place == 2 else dashed)(truth, pattern)
            for some in [parts] if place == 0 else [[part] for part in parts]:
                axes.add_patch(
                    PathPatch(_one_path(some), fill=False, lw=1.0, ec=colour if place else "k")
                )
    with mpl.rc_context({"path.simplify": False}):
        canvas.print_pdf(file)
    return truths


def _one_path(parts: Sequence[Points]) -> Outline:
    codes = [[Outline.MOVETO, *[Outline.LINETO] * (len(part) - 1)] for part in parts]
    return Outline(np.vstack(parts), np.concatenate(codes))


def opened(pdf: Path) -> bytes:
    """Return a PDF as the editor opens it."""
    need("inkscape")
    drawing = pdf.with_suffix(".svg")
    subprocess.run(
        ["inkscape", "--export-type=svg", f"--export-filename={drawing}", str(pdf)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=120,
        check=True,
    )
    return drawing.read_bytes()


def worst(found: Sequence[Points], truths: Sequence[Points]) -> float:
    """Return how far (mm) outlines are from the truths at most; each has one of its own."""
    assert len(found) == len(truths)
    nearest = [min(range(len(found)), key=lambda n: apart(found[n], truth)) for truth in truths]
    assert sorted(nearest) == list(range(len(found)))
    return max(apart(found[n], truth) for n, truth in zip(nearest, truths, strict=True))


def test_a_pdf_of_another_program_is_joined_size_by_size(tmp_path: Path) -> None:
    pdf = tmp_path / "sheet.pdf"
    truths = sheet_as_pdf(pdf)
    outcome = join_lines(parse(opened(pdf)), JoinOptions())
    assert outcome.drawing is not None
    assert worst(outlines(outcome.drawing), truths) < 0.02
    assert outcome.warnings == ()


def test_the_sample_is_what_the_editor_makes_of_its_draft_today(samples: Path) -> None:
    # Its bytes depend on the editor's version, what it shows does not; nor what is read of it. From
    # 1.4 on a ligature does not break a line of text: 1.2 brings “Pocket ﬂap” in as three texts.
    need("inkscape")
    kept = (samples / "rain-jacket-sizes.svg").read_bytes()
    today = imported(sizes.sheet())
    for one, other in zip(drawn(kept), drawn(today), strict=True):
        assert one.box == pytest.approx(other.box, abs=0.05)
    assert "".join(texts(kept)) == "".join(texts(today))
    if texts(kept) != texts(today):
        assert read(kept) == read(today)
        assert ("Pocket flap", "110", ((2, "main"), (2, "lining"))) in read(today)


def drawn(drawing: bytes) -> list[Leaf]:
    """Return what is drawn but the texts, in order."""
    return [leaf for leaf in read_leaves(parse(drawing)) if not leaf.text]


def texts(drawing: bytes) -> list[str]:
    """Return the texts in order, without spaces."""
    return ["".join(leaf.text.split()) for leaf in read_leaves(parse(drawing)) if leaf.text]


@cache
def read(drawing: bytes) -> set[tuple[str, str, tuple[tuple[int, str], ...]]]:
    """Return name, size and cuts of all pieces after joining and reading."""
    joined = join_lines(parse(drawing), JoinOptions()).drawing
    assert joined is not None
    marked = read_markings(parse(joined)).drawing
    pieces = read_pieces(read_leaves(parse(marked)), ReadRequest(sizes=SIZES_DRAWN)).pieces
    assert len(pieces) == 45
    return {
        (one.name, one.size, tuple((each.cut, each.material) for each in one.demands))
        for one in pieces
    }


def test_the_menu_command_joins_what_a_pdf_brought_in(tmp_path: Path) -> None:
    pdf = tmp_path / "sheet.pdf"
    truths = sheet_as_pdf(pdf)
    drawing = tmp_path / "opened.svg"
    drawing.write_bytes(opened(pdf))
    profile = Profile(tmp_path / "profile ä")
    profile.install()
    steps = profile.undo(drawing, RUN)
    assert worst(outlines(steps.done), truths) < 0.02
    assert outlines(steps.undone) == []
    assert len(list(etree.fromstring(steps.undone).iter("{*}path"))) == len(
        list(etree.fromstring(profile.run(drawing, [])).iter("{*}path"))
    )
