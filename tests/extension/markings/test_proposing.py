# SPDX-License-Identifier: GPL-2.0-or-later
"""Every piece, count, grainline and fold of the samples is read with no hand work."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from extension.language.names import NAMESPACE
from extension.markings.building import NO_GRAIN
from extension.markings.proposals import Proposals
from extension.markings.proposing import propose
from extension.operations.join_lines import join_lines, join_options
from extension.pieces.cutlist import cut_list
from extension.svg.document import Document, parse
from tests.extension.test_samples import EXPECTED
from tests.helpers.drafting.sizes import STYLES
from tests.helpers.drafting.sizes import drafts as rain_jacket
from tests.helpers.splitting import nested, shuffled, split_texts
from tests.helpers.svg_builder import SvgBuilder

KEPT = ("layout", "settings", "of", "leave-out")
"""Attributes that are not for reading to find."""
SHEETS = ("first-apron.svg", "wrap-skirt.svg", "lined-jacket.svg", "inch-trousers.svg")


def bare(folder: Path, name: str) -> Document:
    """Return a sample without the details that stand on it: as a drawing from elsewhere."""
    document = parse(folder / name)
    for element in document.root.iter():
        for key in list(element.attrib):
            if str(key).startswith(f"{{{NAMESPACE}}}") and str(key).split("}")[1] not in KEPT:
                del element.attrib[key]
    return document


def facts(proposals: Proposals) -> list[tuple[object, ...]]:
    return sorted(
        (
            piece.id,
            piece.name,
            piece.size or "",
            str(piece.demands),
            piece.fold,
            None if piece.grain is None else round(piece.grain % 180.0, 1) % 180.0,
        )
        for piece in proposals.pieces
    )


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_without_attributes_is_read_as_it_is_meant(name: str, samples: Path) -> None:
    proposals = propose(bare(samples, name))
    found = {piece.id.removesuffix("-outline"): piece for piece in proposals.pieces}
    assert sorted(found) == sorted(row.id for row in EXPECTED[name])
    for row in EXPECTED[name]:
        piece = found[row.id]
        cuts = "; ".join(f"{each.cut} {each.material}" for each in piece.demands)
        assert piece.name == row.name
        assert cuts == row.cut.replace(" same", ""), row.id
        assert piece.fold == row.fold, row.id
        assert piece.grain == pytest.approx(row.grain, abs=0.2), row.id
        assert piece.top_certain, row.id
        assert piece.is_complete, piece.wants
    # One of the sheets says beside its pieces that no allowance is drawn: that is asked.
    said = [each for each in proposals.questions if "Drawn without seam allowance" in each]
    assert list(proposals.questions) == said
    assert bool(said) == (name == "wrap-skirt.svg")


CHANGES: dict[str, Callable[[Document], None]] = {
    "words": lambda document: split_texts(document, "words"),
    "letters": lambda document: split_texts(document, "letters"),
    "places of letters": lambda document: split_texts(document, "x list"),
    "another order": lambda document: shuffled(document, 7),
    "words in another order": lambda document: (
        split_texts(document, "words"),
        shuffled(document, 3),
    )[0],
    "turned groups": lambda document: nested(document, "rotate(37) translate(20,-14)"),
    "scaled groups": lambda document: nested(document, "scale(0.25) translate(3,8)"),
}


@pytest.mark.parametrize("change", list(CHANGES))
@pytest.mark.parametrize("name", ["wrap-skirt.svg", "lined-jacket.svg", "inch-trousers.svg"])
def test_how_it_is_written_changes_nothing(name: str, change: str, samples: Path) -> None:
    before = facts(propose(bare(samples, name)))
    document = bare(samples, name)
    CHANGES[change](document)
    assert facts(propose(document)) == before


def test_reading_is_the_same_every_time(samples: Path) -> None:
    one, other = (propose(bare(samples, "lined-jacket.svg")) for _ in range(2))
    assert facts(one) == facts(other)
    assert one.unread == other.unread


def test_a_sheet_of_three_dashed_sizes_from_a_pdf_needs_no_hand_work(samples: Path) -> None:
    document = parse(samples / "rain-jacket-sizes.svg")
    joined = join_lines(document, join_options("", ()))
    assert joined.drawing is not None
    proposals = propose(parse(joined.drawing))
    assert not proposals.questions
    drafts = {draft.name: draft for draft in rain_jacket()}
    assert sorted((piece.name, piece.size) for piece in proposals.pieces) == sorted(
        (name, size) for name in drafts for size in STYLES
    )
    for piece in proposals.pieces:
        draft = drafts[piece.name]
        assert piece.fold == (draft.fold is not None), piece.name
        cuts = [(each.cut, each.material) for each in piece.demands]
        assert cuts == [(each.cut, each.material) for each in cut_list(draft.cut)]
        assert piece.grain == pytest.approx(45.0 if draft.name == "Under collar" else 90.0, abs=0.2)
        assert piece.is_complete, piece.wants


def test_the_untidy_sheet_says_what_it_cannot_know(samples: Path) -> None:
    proposals = propose(bare(samples, "untidy-smock.svg"))
    unsure = {piece.name for piece in proposals.pieces if not piece.is_complete}
    assert unsure == {"Strap", "Neck binding"}
    (question,) = [each for each in proposals.questions if each.startswith("Not read as pieces")]
    assert all(name in question for name in ("coffee-ring", "legend-box"))
    assert "test-square" not in question
    assert {"cutting line", "given up", "Legend"} <= set(proposals.unread)
    assert "5 cm" not in proposals.unread


def test_words_that_are_marked_as_a_grainline_are_none() -> None:
    drawing = SvgBuilder("800mm", "600mm", (0, 0, 800, 600))
    piece = drawing.add_group(id="front", lay={"name": "Front", "cut": "1"})
    drawing.add_rect(100, 100, 200, 300, piece, id="outline")
    drawing.add_text("straight grain", 150, 200, piece, lay={"role": "grainline"})
    (found,) = propose(drawing.document()).pieces
    assert found.grain is None
    assert NO_GRAIN in found.wants
