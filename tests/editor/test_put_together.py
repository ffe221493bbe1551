# SPDX-License-Identifier: GPL-2.0-or-later
"""Pages from real PDFs, opened by the real editor in both of its ways, and put together."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from extension.operations.put_together import PagesOutcome, pages_options, put_together
from extension.svg.document import parse
from extension.svg.leaves import Leaf, read_leaves
from tests.helpers import truths
from tests.helpers.editor import Profile, editor_version
from tests.helpers.paged import Paging, as_drawing, cut
from tests.helpers.printed import by_browser, by_editor, opened_at_once, opened_one_by_one
from tests.helpers.truths import Truth, pieces

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

RUN = "org.thriftlay.put-together.noprefs"
TRUTH = pieces(3, 640.0, 760.0, 5)
PAGINGS = {
    "overlap": Paging(overlap=(10.0, 10.0), marks="triangles"),
    "edge to edge": Paging(marks="diamonds", clip=False, numbers="cell", frame="lines"),
    "letters": Paging(overlap=(8.0, 12.0), marks="letters", inside=True),
}


def put(drawings: list[Path]) -> tuple[PagesOutcome, list[Leaf]]:
    """Put pages together; return the outcome, and what is drawn on the sheet."""
    outcome = put_together([parse(one) for one in drawings], pages_options("", "", ""))
    leaves = read_leaves(parse(outcome.drawing), tolerance_mm=0.01)
    return outcome, [x for x in leaves if any("sheet" in one.attributes for one in x.groups)]


def too_wide() -> float:
    """Return by how many mm each page is wider than it was drawn.

    Measured: 1.4 writes several pages in whole points, 595.276 as 596, and stretches what is on
    them as much.
    """
    return 0.0 if editor_version() < (1, 3) else (596.0 - 595.276) * 25.4 / 72.0


def assert_solid_lines_are_true(
    leaves: list[Leaf], truth: Truth, *, dashed: bool, within: float = 0.2
) -> None:
    """Assert that lines lie so many mm from the truth; dashed ones where a writer keeps them."""
    found = [(r.points, r.closed) for x in leaves if x.style.get("fill") == "none" for r in x.rings]
    kept = [line for line in truth.lines if dashed or not line.dashes]
    shift = truths.corner([x.points for x in kept]) - truths.corner([points for points, _ in found])
    for closed in (True, False):
        true = [line.points for line in kept if line.closed == closed]
        lines = truths.shifted(
            [points for points, is_closed in found if is_closed == closed], shift
        )
        assert truths.farthest(true, lines, closed) < within


@pytest.mark.parametrize("name", PAGINGS)
@pytest.mark.parametrize("way", ["at once", "one by one"])
def test_pages_that_the_editor_wrote(name: str, way: str, tmp_path: Path) -> None:
    paging = PAGINGS[name]
    sheets = cut(TRUTH, paging)
    pdf = tmp_path / "pages.pdf"
    by_editor(sheets, paging, pdf)
    files = opened_at_once(pdf) if way == "at once" else opened_one_by_one(pdf, len(sheets))
    outcome, leaves = put(files)
    # Four columns of pages: the fourth lies as far off as three are too wide.
    within = 0.2 + 3.0 * too_wide()
    assert_solid_lines_are_true(leaves, TRUTH, dashed=True, within=within)
    assert outcome.report["overlap_mm"] == pytest.approx(paging.overlap, abs=0.1 + too_wide())
    if way == "at once":
        said = [leaf.text for leaf in leaves if leaf.text]
        words = [text.words for text in TRUTH.words]
        assert Counter(said) == Counter(words)


@pytest.mark.browser
@pytest.mark.parametrize("name", ["overlap", "edge to edge"])
def test_pages_that_a_browser_printed(name: str, tmp_path: Path) -> None:
    paging = PAGINGS[name]
    pdf = tmp_path / "pages.pdf"
    by_browser(cut(TRUTH, paging), paging, pdf)
    outcome, leaves = put(opened_at_once(pdf))
    # It fills the dashes of a line, so that those are shapes.
    assert_solid_lines_are_true(leaves, TRUTH, dashed=False)
    assert outcome.report["lines_joined"] >= 20


def test_the_menu_command_puts_pages_together(tmp_path: Path, profile: Profile) -> None:
    paging = PAGINGS["overlap"]
    drawing = tmp_path / "pages.svg"
    drawing.write_bytes(as_drawing(cut(TRUTH, paging), paging))
    steps = profile.undo(drawing, RUN)
    leaves = read_leaves(parse(steps.done))
    closed = [x for x in leaves if x.rings and x.style.get("fill") == "none" and x.rings[0].closed]
    assert len(closed) == 2 * len(TRUTH.heads)
    assert np.isfinite(closed[0].box).all()
    assert b"sheet-of" not in steps.undone
