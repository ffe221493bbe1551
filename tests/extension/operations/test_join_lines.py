# SPDX-License-Identifier: GPL-2.0-or-later
"""From a drawing of broken lines to the drawing with outlines: what is drawn, told and left."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError
from extension.operations.join_lines import JoinOptions, JoinOutcome, join_lines
from extension.pieces.stand_ins import with_stand_ins
from extension.svg.building import path_data
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.broken import Points, bodice, grown, pieces, rectangle
from tests.helpers.chopping import apart, cut_at, dashed, edge_by_edge, edges
from tests.helpers.drafting import sizes
from tests.helpers.joined import DASHES, STROKE, d, joined_leaves, outlines, run, sheet
from tests.helpers.places import SAMPLES
from tests.helpers.svg_builder import SvgBuilder

# --- what is drawn ---


def test_outlines_come_on_a_new_layer_in_the_look_of_their_lines() -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), (8.0, 2.0, 1.0, 2.0))), id="dashes", style=STROKE)
    outcome = run(drawing)
    assert outcome.drawing is not None
    root = etree.fromstring(outcome.drawing)
    layer = root[-1]
    assert layer.get("{http://www.inkscape.org/namespaces/inkscape}groupmode") == "layer"
    assert layer.get("{http://www.inkscape.org/namespaces/inkscape}label") == "Joined outlines"
    (leaf,) = joined_leaves(parse(outcome.drawing))
    assert apart(np.array(leaf.rings[0].points), bodice()) < 0.02
    assert leaf.rings[0].closed
    assert leaf.style["stroke"] == "#1c4587"
    assert leaf.style["fill"] == "none"
    assert float(leaf.style["stroke-width"]) == pytest.approx(0.7)
    assert "stroke-dasharray" not in leaf.style
    assert leaf.attributes == {"dashes": "8 2 1 2", "joined-from": '["dashes"]'}


def test_the_original_lines_stay_as_they_were() -> None:
    drawing = sheet()
    group = drawing.add_group(transform="translate(3,4) scale(1.5)")
    drawing.add_path(d(dashed(bodice() / 2.0, DASHES)), group, style=STROKE)
    before = etree.tostring(drawing.root, method="c14n")
    outcome = run(drawing)
    assert outcome.drawing is not None
    root = etree.fromstring(outcome.drawing)
    root.remove(root[-1])
    assert etree.tostring(root, method="c14n") == before


@pytest.mark.parametrize(
    ("width", "view_box"),
    [("700mm", (0, 0, 700, 700)), ("7in", (0, 0, 70, 70)), ("300px", (-50, 20, 900, 900))],
)
def test_the_outline_lies_on_its_lines_whatever_the_page(
    width: str, view_box: tuple[float, float, float, float]
) -> None:
    drawing = SvgBuilder(width, width, view_box)
    x, y, side, _ = view_box
    truth = rectangle(x + 0.1 * side, y + 0.1 * side, 0.6 * side, 0.5 * side)
    drawing.add_path(d(edges(truth)), style="stroke:#000")
    document = drawing.document()
    (a, c, e), (b, f, g) = document.page
    on_page = truth @ np.array([[a, b], [c, f]]) + np.array([e, g])
    (found,) = outlines(join_lines(document, JoinOptions()))
    assert apart(found, on_page) < 1e-6


def test_a_second_run_joins_what_is_new_on_a_second_layer_with_ids_of_its_own() -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), DASHES)), id="dashes", style=STROKE)
    drawing.add_rect(0, 0, 5, 5, id="joined-2")
    first = run(drawing)
    assert first.drawing is not None
    assert [one["id"] for one in first.report["outlines"]] == ["joined-1-outline-1"]
    again = parse(first.drawing)
    new = SvgBuilder().add_path(d(dashed(rectangle(10, 500, 90, 90), DASHES)), style=STROKE, id="n")
    again.root.append(new)
    second = join_lines(again, JoinOptions())
    assert second.drawing is not None
    layers = [node.get("id") for node in etree.fromstring(second.drawing) if node.tag.endswith("g")]
    assert layers == ["joined-1", "joined-2-2"]
    assert [one["id"] for one in second.report["outlines"]] == ["joined-2-outline-1"]
    assert (
        "Already joined, and not joined again: the outline of 25 × 60 cm (joined-1-outline-1)."
        in " ".join(second.summary)
    )


def _again(first: bytes | None, *selected: str, tolerance: float = 1.0) -> JoinOutcome:
    """Press Apply once more on what a run has written."""
    assert first is not None
    return join_lines(parse(first), JoinOptions(tolerance, selected))


@pytest.mark.parametrize("selected", [(), ("dashes",), ("joined-1",), ("joined-1-outline-1",)])
@pytest.mark.parametrize("tolerance", [1.0, 2.0])
def test_what_is_joined_is_not_joined_again(selected: tuple[str, ...], tolerance: float) -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), DASHES)), id="dashes", style=STROKE)
    second = _again(run(drawing).drawing, *selected, tolerance=tolerance)
    assert second.drawing is None
    assert second.report["outlines"] == []
    assert second.summary[0].startswith("Already joined, and not joined again: the outline of ")
    assert second.summary[0].endswith(
        "(joined-1-outline-1). To have lines joined once more, delete the outline that was made of "
        "them first."
    )


def test_lines_that_are_used_in_part_are_not_joined_again_either() -> None:
    drawing = sheet()
    stray = np.array([[650.0, 650.0], [690.0, 650.0]])
    drawing.add_path(d([*dashed(bodice(), DASHES), stray]), id="all", style=STROKE)
    first = run(drawing)
    (outline,) = joined_leaves(parse(first.drawing or b""))
    assert outline.attributes["joined-from"] == "[]"
    second = _again(first.drawing)
    assert second.drawing is None
    assert "Already joined" in second.summary[0]


def test_a_joined_outline_that_was_moved_is_joined_all_the_same() -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), DASHES)), id="dashes", style=STROKE)
    moved = parse(run(drawing).drawing or b"")
    moved.root[-1][0].set("transform", "translate(2000,0)")
    assert _again(etree.tostring(moved.root)).drawing is None


def test_lines_whose_outline_was_deleted_are_joined_once_more() -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), DASHES)), id="dashes", style=STROKE)
    without = parse(run(drawing).drawing or b"")
    without.root[-1].remove(without.root[-1][0])
    again = _again(etree.tostring(without.root))
    assert len(again.report["outlines"]) == 1
    assert not any("Already" in line for line in again.summary)


def test_the_same_drawing_gives_the_same_bytes() -> None:
    drawing = sheet()
    drawing.add_path(d(dashed(bodice(), DASHES)), style=STROKE)
    assert run(drawing).drawing == run(drawing).drawing


def test_a_real_dash_pattern_on_a_whole_line_needs_nothing() -> None:
    drawing = sheet()
    look = STROKE + ";stroke-dasharray:6,3"
    drawing.add_path(path_data(bodice().tolist(), closed=True), id="whole", style=look)
    drawing.add_path(d(edges(rectangle(300, 100, 200, 100))), id="cut", style=look)
    outcome = run(drawing)
    (found,) = outlines(outcome)
    assert apart(found, rectangle(300, 100, 200, 100)) < 1e-6
    assert outcome.report["left"] == []
    assert outcome.drawing is not None
    assert b'lay:dashes="6 3"' in outcome.drawing


def test_dots_that_are_drawn_as_strokes_of_no_length_close_an_outline() -> None:
    drawing = sheet()
    truth = rectangle(50, 50, 200, 100)
    dots = " ".join(f"M {x:.4f},{y:.4f} h 0" for x, y in (p[0] for p in dashed(truth, (0.0, 2.0))))
    drawing.add_path(dots, id="dots", style=STROKE + ";stroke-linecap:round")
    (found,) = outlines(run(drawing))
    assert apart(found, truth) < 0.02


def test_places_in_doubt_get_a_ring_that_is_never_read() -> None:
    drawing = sheet()
    both = [*edges(rectangle(0, 0, 100, 100)), *edges(rectangle(100, 100, 100, 100))]
    for number, part in enumerate(both):
        drawing.add_path(d([part]), id=f"edge{number}", style=STROKE)
    outcome = run(drawing)
    (place,) = outcome.report["ambiguous"]
    assert math.dist(place["place_mm"], (100.0, 100.0)) < 1.0
    assert set(place["ids"]) <= {f"edge{number}" for number in range(8)}
    assert place["decided"]
    assert outcome.drawing is not None
    (ring,) = etree.fromstring(outcome.drawing).iter("{*}circle")
    assert ring.get("id") == "joined-1-look-1"
    assert len(joined_leaves(parse(outcome.drawing))) == 2
    assert any("more than one way" in line for line in outcome.warnings)


def test_a_line_of_another_look_that_closes_an_outline_is_still_read() -> None:
    # The fold edge says more than that the outline is closed there.
    drawing = sheet()
    *rest, centre = edges(bodice())[1:] + edges(bodice())[:1]
    drawing.add_path(
        d(part for edge in rest for part in dashed(edge, DASHES, closed=False)),
        id="cut",
        style=STROKE,
    )
    drawing.add_path(d([centre]), id="fold", style="stroke:#aa0000")
    outcome = run(drawing)
    assert outcome.drawing is not None
    (leaf,) = joined_leaves(parse(outcome.drawing))
    assert json.loads(leaf.attributes["joined-from"]) == ["cut"]
    assert outcome.report["left"] == []


# --- what is told ---


def test_the_report_counts_segments_and_gaps() -> None:
    drawing = sheet()
    parts = dashed(rectangle(0, 0, 180, 90), DASHES)
    drawing.add_path(d(parts), id="dashes", style=STROKE)
    drawing.add_path(d(parts[3:5]), id="again", style=STROKE)
    drawing.add_line((20, 20), (60, 60), id="alone", style=STROKE)
    report = run(drawing).report
    assert report["outlines"] == [
        {
            "id": "joined-1-outline-1",
            "segments": 60,
            "gaps_closed": 60,
            "longest_gap_mm": pytest.approx(3.0),
        }
    ]
    assert report["duplicates"] == 2
    assert report["ambiguous"] == []
    assert report["left"] == [
        {"id": "alone", "reason": "nothing within reach clearly continues it"}
    ]


def test_a_path_that_is_used_in_part_says_how_much_is_left() -> None:
    drawing = sheet()
    alone = np.array([[300.0, 300.0], [350.0, 330.0]])
    drawing.add_path(d([*edges(rectangle(0, 0, 200, 100)), alone]), id="all", style=STROKE)
    outcome = run(drawing)
    assert outcome.report["left"] == [
        {"id": "all", "reason": "1 of its 5 strokes: nothing within reach clearly continues it"}
    ]
    assert outcome.drawing is not None
    (leaf,) = joined_leaves(parse(outcome.drawing))
    assert leaf.attributes["joined-from"] == "[]"


def test_an_outline_that_stays_open_is_told_with_the_places_of_its_ends() -> None:
    drawing = sheet()
    truth = rectangle(50, 50, 200, 100)
    parts = dashed(truth, DASHES)
    drawing.add_path(d(edges(rectangle(400, 400, 100, 100))), id="whole", style=STROKE)
    drawing.add_path(d(parts[:30] + parts[36:]), id="open", style=STROKE)
    outcome = run(drawing)
    (left,) = outcome.report["left"]
    assert left["id"] == "open"
    assert "stays open" in left["reason"]
    assert any("still open" in line for line in outcome.warnings)


# --- laws over whole drawings ---


def plain(parts: Sequence[Points]) -> SvgBuilder:
    drawing = SvgBuilder("1000mm", "1000mm", (-500, -500, 1000, 1000))
    drawing.add_path(d(parts), style=STROKE)
    return drawing


def scattered(parts: Sequence[Points], data: st.DataObject) -> SvgBuilder:
    """Return the same lines shuffled, in several paths, in transformed groups in groups."""
    drawing = SvgBuilder("1000mm", "1000mm", (-500, -500, 1000, 1000))
    order = data.draw(st.permutations(range(len(parts))))
    homes = [(drawing.add_group(), np.eye(3), 1.0)]
    for angle, scale, mirrored in ((30.0, 2.0, False), (-75.0, 0.5, True)):
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        sign = -1.0 if mirrored else 1.0
        matrix = np.array(
            [[scale * cos * sign, -scale * sin, 11.0], [scale * sin * sign, scale * cos, -7.0]]
        )
        text = " ".join(f"{value:.12g}" for value in matrix.T.ravel())
        parent, above, wide = homes[-1]
        group = drawing.add_group(parent, transform=f"matrix({text})")
        homes.append((group, above @ np.vstack([matrix, [0, 0, 1]]), wide * scale))
    cuts = sorted(data.draw(st.sets(st.integers(1, len(parts) - 1), max_size=12)))
    for low, high in zip([0, *cuts], [*cuts, len(parts)], strict=True):
        group, matrix, wide = homes[data.draw(st.integers(0, len(homes) - 1))]
        back = np.linalg.inv(matrix)
        own = [parts[number] @ back[:2, :2].T + back[:2, 2] for number in order[low:high]]
        look = f"fill:none;stroke:#1c4587;stroke-width:{0.7 / wide:.12g}"
        drawing.add_path(d(own), group, style=look)
    return drawing


@settings(max_examples=25)
@given(pieces(), st.integers(1, 2), st.data())
def test_shuffling_splitting_and_nesting_in_groups_change_nothing(
    piece: Points, count: int, data: st.DataObject
) -> None:
    patterns = (DASHES, (10.0, 2.0, 1.0, 2.0))
    truths = [grown(piece, 6.0 * number) for number in range(count)]
    parts = [
        part for truth, one in zip(truths, patterns, strict=False) for part in dashed(truth, one)
    ]
    first, second = outlines(run(plain(parts))), outlines(run(scattered(parts, data)))
    assert len(first) == len(second) == count
    for one, other in zip(first, second, strict=True):
        assert apart(one, other) < 0.02
    for truth in truths:
        # The page's corner is (-500, -500) of the drawing.
        assert min(apart(one, truth + 500.0) for one in first) < 0.2


# --- the sample ---


@cache
def joined_sample() -> JoinOutcome:
    """Return the sheet of three sizes, joined."""
    return join_lines(parse(SAMPLES / "rain-jacket-sizes.svg"), JoinOptions())


def test_the_sheet_of_three_sizes_comes_out_of_its_pdf_whole() -> None:
    outcome = joined_sample()
    found = outlines(outcome)
    truths = [
        sizes.outline(draft, size) + np.array([at.real, at.imag])
        for draft, at in sizes.placed()
        for size in sizes.STYLES
    ]
    assert len(found) == len(truths) == 45
    nearest = [min(range(45), key=lambda n: apart(found[n], truth)) for truth in truths]
    assert sorted(nearest) == list(range(45))
    assert max(apart(found[n], t) for n, t in zip(nearest, truths, strict=True)) < 0.02
    assert outcome.warnings == ()


def test_the_line_styles_of_the_sheet_are_read_with_its_outlines() -> None:
    outcome = joined_sample()
    assert outcome.drawing is not None
    styles = [
        tuple(map(float, leaf.attributes["dashes"].split()))
        for leaf in joined_leaves(parse(outcome.drawing))
    ]
    for pattern in sizes.STYLES.values():
        assert sum(one == pytest.approx(pattern, abs=0.05) for one in styles) == 15
    leaves = read_leaves(parse(outcome.drawing))
    joined = {
        name for one in leaves for name in json.loads(one.attributes.get("joined-from", "[]"))
    }
    assert len(joined) > 1000
    assert not joined & {leaf.id for leaf in with_stand_ins(leaves)}, "no dash is read any more"


def test_sizes_that_lie_in_each_other_are_not_laid_out_unasked() -> None:
    outcome = joined_sample()
    assert outcome.drawing is not None
    with pytest.raises(DrawingError, match="inside"):
        read_pieces(read_leaves(parse(outcome.drawing)), ReadRequest())


def test_the_sample_is_small_and_says_that_it_is_invented(samples: Path) -> None:
    data = (samples / "rain-jacket-sizes.svg").read_bytes()
    assert len(data) < 1_500_000
    assert data.count(b"invented sample") >= 1
    assert "Invented sample: the pattern label Ottervane" in data.decode("utf-8")
    assert "rain-jacket-sizes.svg" in (samples / "README.md").read_text(encoding="utf-8")


def test_pieces_cut_anyhow_and_dashes_edge_by_edge_come_back_from_one_drawing() -> None:
    drawing = sheet()
    one, two = rectangle(20, 20, 200, 150), bodice() * 0.6 + np.array([260.0, 60.0])
    rng = np.random.default_rng(4)
    for part in cut_at(one, rng.random(60).tolist()):
        drawing.add_path(d([part]), style=STROKE)
    for part in edge_by_edge(two, DASHES):
        drawing.add_path(d([part]), style=STROKE)
    found = outlines(run(drawing))
    assert len(found) == 2
    assert apart(found[0], one) < 0.02
    assert apart(found[1], two) < 0.02
