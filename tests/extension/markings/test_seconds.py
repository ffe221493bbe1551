# SPDX-License-Identifier: GPL-2.0-or-later
"""A closed line that runs along inside a piece: its stitching line, or another size?"""

from __future__ import annotations

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.markings.listing import facts
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder, set_lay

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
DASHED = f"{LOOK};stroke-dasharray:4,2"
ASKED = "A closed line runs along inside it, and"


def drawing(
    *label: str, inner: str = LOOK, role: str = "", beside: str = "", size: str = ""
) -> SvgBuilder:
    """Return a piece with an outline, a line 6 mm inside it all round, an arrow and a label."""
    made = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    lay = {"size": size} if size else {}
    made.add_rect(50, 50, 212, 312, id="outer", style=LOOK, lay=lay)
    made.add_rect(56, 56, 200, 300, id="inner", style=inner, lay={"role": role} if role else {})
    made.add_line((100, 300), (100, 100), id="grain", style=f"{LOOK};marker-end:url(#h)")
    made.add_text("\n".join(label), 130, 150, font_size=8)
    if beside:
        made.add_text(beside, 330, 40, font_size=8)
    return made


def wants(made: SvgBuilder) -> list[str]:
    found: Proposals = propose(made.document())
    return [want for piece in found.pieces for want in piece.wants]


@pytest.mark.parametrize(
    ("label", "inner", "beside", "words"),
    [
        (("Front", "sizes 38 and 40", "Cut 2"), DASHED, "", "sizes 38 and 40"),
        (("Front", "sizes S-M", "Cut 2"), DASHED, "", "sizes S-M"),
        (("Vorderteil", "Gr. 38 + 40", "2x zuschneiden"), LOOK, "", "Gr. 38 + 40"),
        (("Front", "38 / 40", "Cut 2"), LOOK, "", "38 / 40"),
        (("Front", "38, 40", "Cut 2"), DASHED, "", "38, 40"),
        (("Front", "Cut 2"), LOOK, "Summer top, sizes 38, 40", "sizes 38, 40"),
    ],
)
def test_where_words_name_several_sizes_it_is_asked(
    label: tuple[str, ...], inner: str, beside: str, words: str
) -> None:
    asked = wants(drawing(*label, inner=inner, beside=beside))
    assert [want for want in asked if ASKED in want and words in want], asked


@pytest.mark.parametrize(
    ("label", "inner"),
    [
        (("Front", "Cut 2"), LOOK),
        (("Front", "Size 38", "Cut 2"), DASHED),
        (("Front", "36/38", "Cut 2"), DASHED),
        (("Front", "1 / 2", "Cut 2"), LOOK),
        (("Front", "Size 38", "Cut 2", "1.5 cm seam allowance included"), LOOK),
    ],
)
def test_where_nothing_speaks_of_sizes_it_is_a_stitching_line(
    label: tuple[str, ...], inner: str
) -> None:
    (piece,) = propose(drawing(*label, inner=inner).document()).pieces
    assert not [want for want in piece.wants if ASKED in want]
    assert "; stitching line 6 mm inside" in facts(piece)


@pytest.mark.parametrize("role", ["stitching", ""])
def test_how_far_inside_a_stitching_line_runs_is_told(role: str) -> None:
    (piece,) = propose(drawing("Front", "Cut 2", role=role).document()).pieces
    assert piece.seam == pytest.approx(6.0, abs=0.01)
    bare = drawing("Front", "Cut 2", role="mark")
    assert propose(bare.document()).pieces[0].seam is None


@pytest.mark.parametrize(
    ("inner", "within", "look", "asked"),
    [
        (LOOK, (310, 95, 150, 240), LOOK, True),
        (DASHED, (310, 95, 150, 240), LOOK, False),  # a line of its own look is no size
        (LOOK, (310, 95, 150, 240), DASHED, False),
        (LOOK, (310, 95, 60, 70), LOOK, False),  # a pocket drawn where it is sewn on
        (LOOK, (300, 90, 200, 250), LOOK, False),  # the same outline twice
    ],
)
def test_beside_outlines_that_may_be_sizes_a_line_along_may_be_one_too(
    inner: str, within: tuple[float, float, float, float], look: str, asked: bool
) -> None:
    made = drawing("Front", "Cut 2", inner=inner)
    made.add_rect(300, 90, 200, 250, id="back", style=LOOK)
    made.add_rect(*within, id="other", style=look)
    made.add_text("Back\nCut 1", 340, 150, font_size=8)
    front = next(piece for piece in propose(made.document()).pieces if piece.id == "outer")
    told = [want for want in front.wants if ASKED in want]
    assert bool(told) == asked
    assert all("outlines in other pieces may be other sizes" in want for want in told)


def test_once_she_says_what_it_is_nothing_is_asked() -> None:
    label = ("Front", "sizes 38 and 40", "Cut 2")
    assert not [w for w in wants(drawing(*label, role="stitching")) if ASKED in w]
    assert not [w for w in wants(drawing("Front", "Cut 2", "38 / 40", size="38")) if ASKED in w]


def test_numbers_that_do_not_tell_the_lines_apart_leave_the_piece_open() -> None:
    made = drawing("Front", "Cut 2")
    made.add_text("40", 52, 358, font_size=8)
    made.add_text("38", 66, 354, font_size=8)
    asked = wants(made)
    assert [want for want in asked if ASKED in want and "numbers" in want], asked


def test_sizes_set_on_both_make_two_pieces() -> None:
    made = drawing("Front", "Cut 2", size="40")
    (inner,) = (one for one in made.root if one.get("id") == "inner")
    set_lay(inner, size="38")
    reading = read_pieces(read_leaves(made.document()), ReadRequest(sizes=("38",)))
    assert [piece.size for piece in reading.pieces] == ["38"]
