# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points on a part: each has its name beside it, on nothing else where there is room."""

from __future__ import annotations

import shapely

from extension.drawn.frames import page_point
from extension.drawn.marks import DrawnMark, drawn_marks
from extension.drawn.repeat import match_signs
from extension.job.plan import make_plan, request_of
from extension.job.reading import read_pieces
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.transforms import IDENTITY
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import whole_outline
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.places import SAMPLES

OPTIONS = typed_between_selvedges({"fabric_width": "150cm", "repeat": "along=6cm,across=6cm"})


def test_names_of_match_points_keep_off_the_centre_line_and_off_each_other() -> None:
    document = parse(SAMPLES / "checked-shirt.svg")
    plan = make_plan(read_pieces(read_leaves(document), request_of(OPTIONS)), OPTIONS)
    seen = 0
    for cut in plan.cuts.values():
        drawn = cut.drawn
        corners = map(page_point, outline_tuple(whole_outline(cut.piece)))
        part = shapely.Polygon(list(corners)).buffer(0)
        marks = drawn_marks(drawn, part, IDENTITY)
        signs = match_signs(drawn, part, IDENTITY, plan.job.fabric.repeat, marks)
        names = [one for one in signs if one.is_text]
        assert len(names) == len(signs) / 2
        for name in names:
            others = [one.area for one in (*signs, *marks) if one is not name and _is_near(one)]
            assert not name.area.intersects(shapely.union_all(others))
            seen += 1
            if drawn.fold is not None:
                fold = shapely.LineString([page_point(end) for end in drawn.fold])
                assert not name.area.intersects(fold)
    assert seen >= 8


def _is_near(mark: DrawnMark) -> bool:
    """Return whether a mark is one that words may not lie on at all: no line of the stitching."""
    return mark.is_text or mark.area.area < 500.0
