# SPDX-License-Identifier: GPL-2.0-or-later
"""The sheets without attributes: German, French, on layers, by hand; then they can be laid."""

from __future__ import annotations

from functools import cache

import pytest

from extension.job.reading import ReadRequest, read_pieces
from extension.language.names import NAMESPACE
from extension.operations.read_markings import read_markings
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.drafting.to_read import SIZES, TO_READ
from tests.helpers.places import PROJECT

Row = tuple[str, str | None, tuple[tuple[int, str], ...], bool]
FOLDER = PROJECT / "sample_svgs" / "to_read"

BODY, LINED, FUSED = ((1, "main"),), ((2, "main"), (2, "lining")), ((2, "main"), (2, "interfacing"))
EXPECTED: dict[str, list[Row]] = {
    "apron-german.svg": [
        ("Schürze", None, BODY, True),
        ("Tasche", None, ((2, "main"),), False),
        ("Nackenband", None, ((1, "main"),), False),
        ("Bindeband", None, ((2, "main"),), False),
    ],
    "skirt-french.svg": [
        ("Dos", None, ((1, "main"), (1, "lining")), True),
        ("Devant", None, LINED, False),
        ("Parementure", None, FUSED, False),
        ("Fond de poche", None, LINED, False),
        ("Ceinture dos", None, ((1, "main"), (1, "interfacing")), True),
        ("Ceinture devant", None, FUSED, False),
        ("Lien", None, ((2, "main"),), False),
    ],
    "smock-sizes-on-layers.svg": [
        row
        for size in SIZES
        for row in (
            ("Smock front", size, BODY, True),
            ("Smock back", size, ((2, "main"),), False),
            ("Raglan sleeve", size, ((2, "main"),), False),
        )
    ],
    "apron-by-hand.svg": [
        ("Apron body", None, BODY, True),
        ("Pocket", None, ((2, "main"),), False),
        ("Neck strap", None, ((1, "main"),), False),
        ("Waist tie", None, ((2, "main"),), False),
    ],
}

each_sheet = pytest.mark.parametrize("name", list(TO_READ))


@cache
def outcome(name: str) -> tuple[bytes, dict[str, list[dict[str, object]]]]:
    result = read_markings(parse(FOLDER / name))
    return result.drawing, result.report


@each_sheet
def test_the_file_is_what_is_drawn_and_carries_nothing_of_ours(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert text == TO_READ[name]().text_file(), "python -m tests.helpers.drafting.to_read"
    names = [key for node in parse(FOLDER / name).root.iter() for key in node.attrib]
    assert not [key for key in names if str(key).startswith(f"{{{NAMESPACE}}}")]
    assert "Invented sample" in text


@each_sheet
def test_every_piece_count_grainline_and_fold_is_right(name: str) -> None:
    report = outcome(name)[1]
    found = [
        (p["name"], p["size"], tuple((d["cut"], d["material"]) for d in p["demands"]), p["fold"])  # type: ignore[attr-defined]
        for p in report["pieces"]
    ]
    assert found == EXPECTED[name]
    assert all(piece["grain"] == pytest.approx(90.0, abs=0.2) for piece in report["pieces"])
    assert all(piece["top"] == "certain" for piece in report["pieces"])
    assert report["questions"] == []


@each_sheet
def test_what_was_read_is_what_the_layout_reads(name: str) -> None:
    sizes = SIZES if "sizes" in name else None
    pieces = read_pieces(read_leaves(parse(outcome(name)[0])), ReadRequest(sizes=sizes)).pieces
    found = [
        (p.name, p.size, tuple((d.cut, d.material) for d in p.demands), p.fold is not None)
        for p in pieces
    ]
    assert found == EXPECTED[name]
    assert all(piece.grain == pytest.approx(90.0, abs=0.2) for piece in pieces)
    assert all(piece.grain_from == "grainline" for piece in pieces)
