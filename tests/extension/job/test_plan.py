# SPDX-License-Identifier: GPL-2.0-or-later
"""Pieces x sizes x garments of one material become the job; the rest is named."""

from __future__ import annotations

import pytest

from extension.job.options import LayOutOptions
from extension.job.plan import Plan, consents, titled, uncertain_tops
from extension.language.errors import DrawingError
from nesting.cloth.problem import build_problem
from nesting.jobs.validation import validated
from tests.helpers.cloth import between_selvedges
from tests.helpers.layouts import plan_of
from tests.helpers.svg_builder import SvgBuilder

WIDE = between_selvedges(1400.0)


def drawing(*pieces: dict[str, str], arrows: bool = True) -> SvgBuilder:
    """Return a drawing of pieces with a hand and grainlines, with these attributes of ours."""
    made = SvgBuilder("2000mm", "400mm", (0, 0, 2000, 400))
    for number, attributes in enumerate(pieces):
        x = 10 + 150 * number
        piece = made.add_group(id=f"piece{number}", lay={"name": f"Piece {number}", **attributes})
        made.add_path(f"M {x} 10 h 100 l -5 200 h -95 Z", piece, id=f"outline{number}")
        if arrows:
            role = {"role": "grainline"}
            made.add_line((x + 50, 190), (x + 50, 30), piece, id=f"grain{number}", lay=role)
    return made


def plan(*pieces: dict[str, str], options: LayOutOptions = WIDE) -> Plan:
    return plan_of(drawing(*pieces).document(), options)


def counts(made: Plan) -> dict[str, tuple[int, int]]:
    return {piece.id: (piece.cut, piece.garments) for piece in made.job.pieces}


def test_a_piece_becomes_a_piece_of_the_job_with_its_rules() -> None:
    made = plan(
        {"cut": "2 same", "turns": "four-way", "turns-on-nap": "allow", "off-grain": "2deg"}
    )
    (piece,) = made.job.pieces
    assert (piece.id, piece.name) == ("piece0", "Piece 0")
    assert (piece.cut, piece.hand) == (2, "same")
    assert piece.turns == (0.0, 90.0, 180.0, 270.0)
    assert piece.turns_on_nap
    assert piece.off_grain == 2.0
    assert not piece.either_side
    assert piece.grain == 90.0
    assert made.parts == 2


def test_the_fabric_is_the_usable_width_with_gap_and_nap() -> None:
    options = LayOutOptions(1500.0, width_is="booked", gap=4.0, nap=False)
    fabric = plan({"cut": "1"}, options=options).job.fabric
    assert (fabric.width, fabric.gap, fabric.nap, fabric.length) == (1475.0, 4.0, False, None)
    assert fabric.edge_margin == 0.0


def test_one_material_is_laid_and_pieces_of_others_are_named() -> None:
    pieces = ({"cut": "2 main; 1 interfacing"}, {"cut": "2 lining"}, {"cut": "1"})
    made = plan(*pieces)
    assert counts(made) == {"piece0/main": (2, 1), "piece2": (1, 1)}
    assert [(left.object_id, left.reason) for left in made.left_out] == [
        ("piece1", "other material")
    ]
    inside = plan(*pieces, options=between_selvedges(900.0, material="Fusible"))
    assert counts(inside) == {"piece0/interfacing": (1, 1)}
    assert inside.material == "interfacing"


def test_the_source_of_a_job_piece_is_the_drawn_piece() -> None:
    made = plan({"cut": "2 main; 1 interfacing"})
    assert made.cuts["piece0/main"].drawn.id == "piece0"
    assert made.cuts["piece0/main"].copies == 2


def test_sizes_are_cut_for_their_garments_and_a_piece_of_all_sizes_for_the_sum() -> None:
    pieces = ({"cut": "2", "size": "38"}, {"cut": "2", "size": "40"}, {"cut": "1"})
    options = between_selvedges(1400.0, sizes=(("38", 2), ("40", 1)))
    made = plan(*pieces, options=options)
    assert counts(made) == {"piece0": (2, 2), "piece1": (2, 1), "piece2": (1, 3)}
    assert made.parts == 4 + 2 + 3


def test_a_size_that_is_not_chosen_stays_out() -> None:
    pieces = ({"cut": "2", "size": "38"}, {"cut": "2", "size": "40"})
    made = plan(*pieces, options=between_selvedges(1400.0, sizes=(("40", 2),)))
    assert counts(made) == {"piece1": (2, 2)}
    assert titled(made.cuts["piece1"].drawn) == "Piece 1 40"


def test_without_sizes_everything_is_cut_for_the_number_of_garments() -> None:
    made = plan(
        {"cut": "2", "size": "38"}, {"cut": "1"}, options=between_selvedges(1400.0, garments=3)
    )
    assert counts(made) == {"piece0": (2, 3), "piece1": (1, 3)}


def test_a_size_is_found_however_it_is_written() -> None:
    made = plan(
        {"cut": "1", "size": "X-Large"}, options=between_selvedges(1400.0, sizes=(("x large", 2),))
    )
    assert counts(made) == {"piece0": (1, 2)}


def test_nothing_of_a_material_is_told_with_the_materials_there_are() -> None:
    with pytest.raises(DrawingError, match=r"“lining”: .* main \(1 piece\) and contrast"):
        plan(
            {"cut": "1"},
            {"cut": "1 contrast"},
            options=between_selvedges(1400.0, material="lining"),
        )


def test_the_job_passes_the_engines_own_checks() -> None:
    made = plan({"cut": "2"}, {"cut": "3"})
    assert validated(made.job) == made.job
    assert len(build_problem(made.job).parts) == made.parts


def test_consents_are_named_by_kind() -> None:
    made = plan(
        {"cut": "1", "turns": "four-way", "turns-on-nap": "allow"},
        {"cut": "1", "off-grain": "1.5deg"},
        {"cut": "1"},
    )
    assert consents(made) == (
        "By consent Piece 0 may be turned across the grain.",
        "By consent Piece 0 may lie against the nap.",
        "By consent Piece 1 may lie up to 1.5° off the grain.",
    )


@pytest.mark.parametrize(("cut", "is_said"), [("1", True), ("2", False), ("3", True)])
def test_either_side_up_is_a_consent_for_what_is_no_half_of_a_pair(cut: str, is_said: bool) -> None:
    made = plan({"cut": cut, "side-up": "either"}, {"cut": "1"})
    assert [piece.either_side for piece in made.job.pieces] == [True, False]
    said = "By consent Piece 0 may be cut with either side up."
    assert consents(made) == ((said,) if is_said else ())


def test_what_the_nap_forbids_is_no_consent() -> None:
    pieces = ({"cut": "1", "turns": "four-way"},)
    assert consents(plan(*pieces)) == ()
    free = plan(*pieces, options=between_selvedges(1400.0, nap=False))
    assert consents(free) == ("By consent Piece 0 may be turned across the grain.",)


def test_a_slant_is_a_consent_of_its_own() -> None:
    free = plan({"cut": "1", "turns": "free"}, options=between_selvedges(1400.0, nap=False))
    assert "By consent Piece 0 may lie at a slant to the grain." in consents(free)


def test_uncertain_tops_are_named_only_where_there_is_a_nap() -> None:
    made = SvgBuilder("400mm", "400mm", (0, 0, 400, 400))
    piece = made.add_group(id="band", lay={"name": "Band", "cut": "1"})
    made.add_rect(10, 10, 200, 40, piece)
    made.add_line((20, 30), (180, 30), piece, lay={"role": "grainline"})
    assert uncertain_tops(plan_of(made.document(), WIDE)) == ("Band",)
    assert uncertain_tops(plan_of(made.document(), between_selvedges(1400.0, nap=False))) == ()


def test_what_is_said_of_several_pieces_alike_is_said_once() -> None:
    made = plan({"cut": "3"}, {"cut": "3"}, {"cut": "5"})
    assert made.notes == (
        "Piece 0 and Piece 1: each is cut 3 times from main: in mirrored pairs, and one as drawn.",
        "“Piece 2” (piece2) is cut 5 times from main: in mirrored pairs, and one as drawn.",
    )
