# SPDX-License-Identifier: GPL-2.0-or-later
"""Every sample reads to the pieces, counts, grain, folds and left-outs that its draft means."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pytest
import shapely

from extension.job.reading import ReadRequest, read_pieces
from extension.pieces.model import DrawnPiece, Reading
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.drafting import (
    apron,
    border_skirt,
    jacket,
    shirt,
    skirt,
    smock,
    striped_top,
    trousers,
)
from tests.helpers.drafting.curves import ring
from tests.helpers.drafting.draft import Draft
from tests.helpers.places import PROJECT

FOLDER = PROJECT / "sample_svgs"


@dataclass(frozen=True)
class Row:
    """What is expected of one piece; grain points to its top, degrees counter-clockwise."""

    id: str
    name: str
    cut: str
    grain: float = 90.0
    fold: bool = False


EXPECTED: dict[str, tuple[Row, ...]] = {
    "first-apron.svg": (
        Row("apron-body", "Apron body", "1 main", fold=True),
        Row("apron-pocket", "Pocket", "2 main"),
        Row("apron-strap", "Neck strap", "1 main"),
        Row("apron-tie", "Waist tie", "2 main"),
    ),
    "wrap-skirt.svg": (
        Row("back", "Back", "1 main; 1 lining", fold=True),
        Row("wrap-front", "Wrap front", "2 main; 2 lining"),
        Row("wrap-facing", "Wrap facing", "2 main; 2 interfacing"),
        Row("back-band", "Back band", "1 main; 1 interfacing", fold=True),
        Row("front-band", "Front band", "2 main; 2 interfacing"),
        Row("tie", "Tie", "2 main"),
        Row("pocket-bag", "Pocket bag", "2 main; 2 lining"),
    ),
    "lined-jacket.svg": (
        Row("front", "Front", "2 main"),
        Row("back", "Back", "1 main", fold=True),
        Row("top-sleeve", "Top sleeve", "2 main"),
        Row("under-sleeve", "Under sleeve", "2 main"),
        Row("front-facing", "Front facing", "2 main"),
        Row("top-collar", "Top collar", "1 main", fold=True),
        Row("under-collar", "Under collar", "2 main", grain=45.0),
        Row("neck-facing", "Neck facing", "1 main", fold=True),
        Row("pocket", "Pocket", "2 main"),
        Row("pocket-flap", "Pocket flap", "2 main; 2 lining"),
        Row("back-belt", "Back belt", "2 main", fold=True),
        Row("front-lining", "Front lining", "2 lining"),
        Row("back-lining", "Back lining", "1 lining", fold=True),
        Row("top-sleeve-lining", "Top sleeve lining", "2 lining"),
        Row("under-sleeve-lining", "Under sleeve lining", "2 lining"),
    ),
    "inch-trousers.svg": (
        Row("front-leg", "Front leg", "2 main"),
        Row("back-leg", "Back leg", "2 main"),
        Row("waistband", "Waistband", "1 main", grain=0.0, fold=True),
        Row("pocket-bag", "Pocket bag", "4 main", grain=70.0),
        Row("patch-pocket", "Patch pocket", "1 main"),
        Row("drawcord-strip", "Drawcord strip", "2 main same", grain=45.0),
    ),
    "untidy-smock.svg": (
        Row("smock-front", "Smock front", "1 main", fold=True),
        Row("smock-back-outline", "Smock back", "2 main"),
        Row("raglan-sleeve", "Raglan sleeve", "2 main"),
        Row("pocket", "Pocket", "1 main"),
        Row("second-pocket", "Second pocket", "1 main"),
        Row("strap", "Strap", "2 main"),
        Row("loop", "Loop", "1 main", grain=0.0),
    ),
    "checked-shirt.svg": (
        Row("shirt-front", "Front", "2 main"),
        Row("shirt-back", "Back", "1 main", fold=True),
        Row("shirt-sleeve", "Sleeve", "2 main"),
        Row("shirt-pocket", "Pocket", "1 main"),
        Row("shirt-collar", "Collar", "2 main", fold=True),
    ),
    "striped-top.svg": (
        Row("top-front", "Front", "1 main", fold=True),
        Row("top-back", "Back", "1 main", fold=True),
        Row("top-sleeve", "Sleeve", "2 main"),
        Row("top-pocket", "Pocket", "1 main"),
        Row("top-neckband", "Neckband", "1 main"),
    ),
    "border-skirt.svg": (
        Row("skirt-front", "Skirt front", "1 main", fold=True),
        Row("skirt-back", "Skirt back", "2 main"),
        Row("waistband", "Waistband", "1 main"),
        Row("pocket-bag", "Pocket bag", "4 main"),
    ),
}

LEFT_OUT = {
    ("page-frame", "frame"),
    ("test-square", "test square"),
    ("coffee-ring", "unmarked"),
    ("first-smock-front-outline", "hidden"),
    ("neck-binding", "no grainline"),
    ("old-collar", "marked to leave out"),
    ("spare-pocket-outline", "hidden"),
    ("legend-box", "locked"),
}
"""What the untidy sample leaves out; the other samples leave nothing out."""

DRAFTS: dict[str, dict[str, Draft]] = {
    "first-apron.svg": {draft.id: draft for draft in apron.drafts()},
    "wrap-skirt.svg": {draft.id: draft for draft in skirt.drafts()},
    "lined-jacket.svg": {draft.id: draft for draft in jacket.drafts()},
    "inch-trousers.svg": {draft.id: draft for draft in trousers.drafts()},
    "checked-shirt.svg": {draft.id: draft for draft in shirt.drafts()},
    "striped-top.svg": {draft.id: draft for draft in striped_top.drafts()},
    "border-skirt.svg": {draft.id: draft for draft in border_skirt.drafts()},
    "untidy-smock.svg": {
        "smock-front": smock.front(),
        "smock-back-outline": smock.back(),
        "raglan-sleeve": smock.sleeve(),
        "pocket": smock.pocket(),
        "second-pocket": smock.pocket(),
        "strap": smock.strap(),
        "loop": smock.strap(),
    },
}

each_sample = pytest.mark.parametrize("name", list(EXPECTED))


@cache
def reading(name: str) -> Reading:
    return read_pieces(read_leaves(parse(FOLDER / name)), ReadRequest())


def cut_text(piece: DrawnPiece) -> str:
    items = (
        f"{demand.cut} {demand.material}" + (" same" if demand.hand == "same" else "")
        for demand in piece.demands
    )
    return "; ".join(items)


@each_sample
def test_pieces_and_counts(name: str) -> None:
    found = [
        (piece.id, piece.name, cut_text(piece), piece.fold is not None)
        for piece in reading(name).pieces
    ]
    assert found == [(row.id, row.name, row.cut, row.fold) for row in EXPECTED[name]]


@each_sample
def test_grain_points_to_the_top(name: str) -> None:
    for piece, row in zip(reading(name).pieces, EXPECTED[name], strict=True):
        # Coordinates are written to a hundredth of a millimetre: 0.1 degrees on short arrows.
        assert piece.grain % 360.0 == pytest.approx(row.grain, abs=0.1), piece.id
        assert piece.top_certain, piece.id


@each_sample
def test_what_is_left_out(name: str) -> None:
    found = {(one.object_id, one.reason) for one in reading(name).left_out}
    assert found == (LEFT_OUT if name == "untidy-smock.svg" else set())


@each_sample
def test_outlines_are_those_of_the_draft_in_millimetres(name: str) -> None:
    """Whatever the units, clones and transforms of the drawing: size and area are the draft's."""
    for piece in reading(name).pieces:
        drafted = shapely.Polygon([(p.real, p.imag) for p in ring(DRAFTS[name][piece.id].cutting)])
        read = shapely.Polygon(piece.outline)
        assert read.area == pytest.approx(drafted.area, rel=1e-3), piece.id
        assert read.length == pytest.approx(drafted.length, rel=1e-3), piece.id


@each_sample
def test_marks_travel_with_their_piece(name: str) -> None:
    for piece in reading(name).pieces:
        draft = DRAFTS[name][piece.id]
        notches = len(draft.notch_lines())
        inner = len(draft.lines) + len(draft.darts) + len(draft.drills)
        roles = [mark.role for mark in piece.marks]
        loose = piece.id == "smock-back-outline"
        if loose:  # its notches have lost their roles, and lie on it all the same
            assert roles.count("mark") >= notches
        else:
            assert roles.count("notch") == notches
            assert roles.count("mark") == inner + (1 if draft.fold else 0)
        assert roles.count("fold") == (1 if draft.fold else 0)


def test_the_skirt_adds_its_allowance_and_the_others_include_it() -> None:
    for name in EXPECTED:
        expected = 15.0 if name == "wrap-skirt.svg" else 0.0
        for piece in reading(name).pieces:
            assert piece.allowance == expected
            grown = shapely.Polygon(piece.cutting).area > shapely.Polygon(piece.outline).area
            assert grown == (expected > 0.0)


def test_the_jacket_is_15_pieces_and_28_parts() -> None:
    pieces = reading("lined-jacket.svg").pieces
    counts = {
        material: sum(d.cut for piece in pieces for d in piece.demands if d.material == material)
        for material in ("main", "lining")
    }
    assert len(pieces) == 15
    assert counts == {"main": 19, "lining": 9}


def test_the_large_outlines_of_the_jacket_are_as_fine_as_drawn_curves_are() -> None:
    """Flattened within 0.05 mm and unfolded, they have 100 to 300 vertices."""
    whole = {
        piece.id: len(piece.outline) * (2 if piece.fold else 1)
        for piece in reading("lined-jacket.svg").pieces
    }
    fine = [count for count in whole.values() if 100 <= count <= 300]
    assert len(fine) >= 7
    assert max(whole.values()) <= 300
