# SPDX-License-Identifier: GPL-2.0-or-later
"""One proposal put together: what she set, what the sheet says, what the words and signs say."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from extension.language.errors import DrawingError
from extension.markings.arrows import Arrow
from extension.markings.associating import Sheet
from extension.markings.blocks import Block
from extension.markings.broken import about_mirrored
from extension.markings.marking import Signs
from extension.markings.merging import Words
from extension.markings.proposals import NewLine, Proposal, Source
from extension.markings.seconds import seam_inside
from extension.markings.sizing import LEGEND, Sizes
from extension.markings.told_measures import about_measures
from extension.pieces.attributes import PieceDetails, makes_piece, piece_details
from extension.pieces.containment import outline_fault
from extension.pieces.cutlist import Demand
from extension.pieces.folds import FoldEdge, fold_along
from extension.pieces.grain import Axis, direction
from extension.pieces.objects import called, given_name, piece_called, size_of
from extension.pieces.outlines import ClosedShape
from extension.pieces.sizes import same_size
from extension.pieces.straight import Run
from extension.pieces.top import find_top
from extension.svg.model import Leaf

LEANS = 20.0
"""Degrees that a grainline leans on a piece at least to agree with words for the bias."""
NO_COUNT = "No count was read, so it is cut once"
"""How the question about a piece without a count begins."""
NO_GRAIN = "It has no grainline and no fold edge: set its grain (command 4)."


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """What was found on one outline, before anything is compared between pieces."""

    index: int
    shape: ClosedShape
    words: Words
    signs: Signs
    blocks: tuple[Block, ...]
    details: PieceDetails
    given: Mapping[str, str]
    given_grain: Leaf | None
    given_fold: Leaf | None
    own: tuple[Leaf, ...]


class Builder:
    """Puts one proposal together."""

    def __init__(
        self,
        sheet: Sheet,
        found: Found,
        heads: bool | None,
        sizes: Sizes,
        leaf: Leaf,
        overwrite: bool,
        *,
        is_lettered: bool = False,
        wants: Sequence[str] = (),
    ) -> None:
        self._sheet, self._found, self._overwrite = sheet, found, overwrite
        self._is_lettered = is_lettered
        self._heads, self._sizes, self._leaf = heads, sizes, leaf
        self._wants = list(wants)
        self._sources: list[Source] = []
        self._attributes: dict[str, str] = {}
        self._lines: list[NewLine] = []

    def proposal(self) -> Proposal:
        """Return the proposal."""
        found, words = self._found, self._found.words
        self._from_words(block.plain for block in words.used)
        fault = outline_fault(found.shape)
        self._wants += [f"It {says}" for says in (fault and fault.says, found.shape.mended) if says]
        name = self._name(words)
        size = self._size()
        edge = self._fold()
        axis = self._grain(edge)
        self._wants += _about_bias(axis, found.blocks)
        self._wants += _about_cross(axis, found)
        area, is_half = found.shape.polygon, edge is not None
        self._wants += about_measures(area, found.blocks, on_fold=is_half)
        self._demands(edge is not None)
        self._turns()
        grain, certain = self._top(axis)
        self._seam_allowance(words)
        details = self._details(name)
        has_hand = any(one.hand == "same" or one.cut % 2 for one in details.demands)
        if edge is None and has_hand:
            self._wants += about_mirrored(found.blocks)
        self._wants += [*words.questions, *found.signs.questions]
        if not self._attributes and not makes_piece(found.given):
            self._attributes["role"] = "outline"
        return Proposal(
            id=self._leaf.id,
            leaf=self._leaf,
            shape=found.shape,
            name=name,
            size=size,
            grain=None if grain is None else round(grain, 4),
            fold=edge is not None,
            top_certain=certain,
            details=details,
            attributes=self._attributes,
            sources=tuple(dict.fromkeys(self._sources)),
            wants=tuple(dict.fromkeys(self._wants)),
            lines=tuple(self._lines),
            crossing=None if fault is None else fault.place,
            seam=seam_inside(self._sheet, found.index, found.own),
        )

    def _from_words(self, texts: Iterable[str]) -> None:
        """Note the words that something was read from."""
        self._sources += [Source(f"“{text}”", text) for text in texts]

    def _from_lines(self, seen: str, leaves: Iterable[Leaf]) -> None:
        """Note the lines that something was read from, which all are parts of one thing seen."""
        self._sources += [Source(seen, leaf.id) for leaf in leaves]

    def _size(self) -> str | None:
        """Return the size of the piece: given, by the sheet, or told by its label."""
        given = size_of(self._leaf)
        by_sheet, told = self._by_sheet(), self._found.words.size
        alone = sum(f == self._sheet.family[self._found.index] for f in self._sheet.family.values())
        size = given or by_sheet or (told if alone == 1 else None)
        if by_sheet and told and alone == 1 and not same_size(by_sheet, told):
            seen = self._sizes.sources[self._leaf].seen
            self._wants.append(f"Its label says size “{told}”, but {seen} says “{by_sheet}”.")
        if size is not None and given is None:
            self._attributes["size"] = size
            source = self._sizes.sources.get(self._leaf)
            self._sources += [source] if source else []
        return size

    def _by_sheet(self) -> str | None:
        """Return the size that the sheet tells; the label that says all sizes counts for more.

        Against a layer it is asked.
        """
        size, source = self._sizes.of.get(self._leaf), self._sizes.sources.get(self._leaf)
        if size is None or source is None or not self._found.words.every_size:
            return size
        if source.seen != LEGEND:
            self._wants.append(f"Its label says all sizes, but {source.seen} says “{size}”.")
        return None

    def _fold(self) -> FoldEdge | None:
        """Return the fold edge; a line is drawn where none lies on it."""
        found, mark = self._found, self._found.signs.fold
        label = self._label(found.words.name)
        if found.given_fold is not None or found.details.fold is not None:
            return self._given_fold(label)
        if mark is None:
            return None
        if found.words.forbids_fold or (found.words.pairs and not found.words.fold):
            self._wants.append(
                f"A fold is drawn, by {called(mark.leaves[0])}, but the label says otherwise: is "
                "it "
                "cut on the fold?"
            )
            return None
        try:
            edge = fold_along(found.shape.outline, mark.edge, label, self._leaf.id)
        except DrawingError as fault:
            self._wants.append(str(fault))
            return None
        self._from_words(mark.words)
        self._from_lines("the fold bracket" if mark.line is None else "the fold line", mark.leaves)
        if mark.line is None:
            self._lines.append(NewLine("fold", edge.start, edge.end))
        return edge

    def _given_fold(self, label: str) -> FoldEdge | None:
        """Return the fold edge that is marked already, as far as a line marks it."""
        leaf = self._found.given_fold
        if leaf is None:
            return None
        self._from_lines("the fold line", (leaf,))
        start, end = leaf.rings[0].points[0], leaf.rings[0].points[-1]
        try:
            outline = self._found.shape.outline
            return fold_along(outline, Run(start, end, 0, 1), label, self._leaf.id)
        except DrawingError as fault:
            self._wants.append(str(fault))
            return None

    def _grain(self, edge: FoldEdge | None) -> Axis | None:
        """Return the axis of the grain: of the grainline, or of the fold."""
        arrow = self._grain_arrow()
        if arrow is not None:
            return Axis(direction(arrow.start, arrow.end), "grainline")
        if edge is not None:
            return Axis(direction(edge.start, edge.end), "fold")
        if not self._found.signs.questions:
            self._wants.append(NO_GRAIN)
        return None

    def _grain_arrow(self) -> Arrow | None:
        """Return the grainline, its own or one that lies on another size of the piece."""
        found = self._found
        if found.given_grain is not None:
            self._from_lines("the grainline", (found.given_grain,))
            points = found.given_grain.rings[0].points
            return Arrow(points[0], points[-1], (False, False), (), None)
        mark = found.signs.grain
        if mark is None:
            return None
        arrow = mark.arrow
        self._from_words(block.plain for block in mark.words)
        self._from_lines("the grainline", arrow.leaves)
        if arrow.line is None:
            self._lines.append(NewLine("grainline", arrow.start, arrow.end))
        elif not set(arrow.leaves) <= set(found.own) and arrow.line not in found.own:
            self._attributes["grain"] = arrow.line.id
        return arrow

    def _demands(self, on_fold: bool) -> None:
        """Propose what is cut: as read where it is not given, or once."""
        found = self._found
        if found.words.demands and self._may_set("cut"):
            self._attributes["cut"] = cut_text(found.words.demands)
        elif found.details.cut is not None:
            return
        elif on_fold:
            self._attributes["cut"] = "1"
            if self._is_lettered:
                self._wants.append(
                    "Letters on it are drawn as outlines and cannot be read: is it cut once?"
                )
        elif not found.words.questions:
            numbers = [words for words in _unknown(found.blocks) if any(map(str.isdigit, words))]
            more = f": does “{numbers[0]}” say how many?" if numbers else "."
            self._wants.append(f"{NO_COUNT}{more}")

    def _turns(self) -> None:
        """Propose which ways the piece may lie, where its label tells."""
        if self._found.words.nap and self._may_set("turns"):
            self._attributes["turns"] = "one-way"

    def _details(self, name: str) -> PieceDetails:
        """Return what the attributes say once those that are proposed stand beside hers."""
        all_of_them = {**self._found.given, **self._attributes}
        return piece_details(all_of_them, self._label(name), self._leaf.id)

    def _top(self, axis: Axis | None) -> tuple[float | None, bool]:
        """Return the direction of the grain to the top of the piece, and whether that is certain.

        What the layout makes of it counts; where that is unsure, the heads of the arrows do.
        """
        if axis is None:
            return None, False
        labels = [leaf for leaf in self._found.own if leaf.text]
        label = self._label(self._found.words.name)
        top = find_top(axis, self._found.details.top, labels, label)
        by_head = self._by_head(axis)
        if by_head is None or self._found.details.top is not None:
            self._wants += [top.note] if top.note else []
            return top.degrees, top.certain
        agree = abs((top.degrees - by_head + 180.0) % 360.0 - 180.0) < 90.0
        if not top.certain and not top.note:
            at_end = abs((axis.degrees - by_head + 180.0) % 360.0 - 180.0) < 90.0
            self._attributes["top"] = "end" if at_end else "start"
            return by_head, True
        if not agree:
            self._wants.append(
                "The head of its grainline and its place or label disagree on its top."
            )
            return top.degrees, False
        self._wants += [top.note] if top.note else []
        return top.degrees, top.certain

    def _by_head(self, axis: Axis) -> float | None:
        """Return the direction to the top that a one-headed arrow gives."""
        mark = self._found.signs.grain
        if self._heads is None or mark is None or all(mark.arrow.heads) or not mark.arrow.has_head:
            return None
        to_end = mark.arrow.heads[1] == self._heads
        return axis.degrees if to_end else (axis.degrees + 180.0) % 360.0

    def _label(self, name: str | None) -> str:
        """Return how messages call the piece."""
        return piece_called(self._leaf, self._leaf.id, name or given_name(self._leaf))

    def _may_set(self, name: str) -> bool:
        """Return whether an attribute is ours to set: she has not, or wants it read anew."""
        return self._overwrite or name not in self._found.given

    def _name(self, words: Words) -> str:
        """Return the name of the piece: given, read, or what it is called in the editor."""
        if words.name and self._may_set("name"):
            self._attributes["name"] = words.name
            return words.name
        return self._found.details.name or self._leaf.label or self._leaf.id

    def _seam_allowance(self, words: Words) -> None:
        """Propose none where the label says that it is included, and what it says to add."""
        told = words.allowance
        if told is None or not self._may_set("allowance"):
            return
        if told == "included":
            self._attributes["allowance"] = "0mm"
        elif not words.lacks_allowance:
            self._wants.append(
                "Its label does not say that the seam allowance is included: check that before you "
                "lay it out."
            )
        elif any(leaf.attributes.get("role") == "stitching" for leaf in self._found.own):
            self._wants.append(
                "Its label says that no seam allowance is included, but a stitching line is drawn: "
                "set how much to add, 0 mm where the outline is what is cut."
            )
        elif isinstance(told, float):
            self._attributes["allowance"] = f"{told:g}mm"
        else:
            self._wants.append(
                "Its label says that no seam allowance is included: set how much to add, 0 mm "
                "where the outline is what is cut."
            )


def _unknown(blocks: Sequence[Block]) -> list[str]:
    """Return the words of labels that nobody understood."""
    return [words for block in blocks for words in block.reading.unknown]


def _about_bias(axis: Axis | None, blocks: Sequence[Block]) -> list[str]:
    """Ask about a piece that is cut on the bias by its words, but whose grainline does not lean.

    It leans from the way the words are set, which stand upright on the piece.
    """
    told = [block for block in blocks if block.reading.grain == "bias"]
    if axis is None or axis.source != "grainline" or not told:
        return []
    x, y = told[0].lines[0].along
    off = direction((0.0, 0.0), (x, y)) - axis.degrees
    if abs((off + 45.0) % 90.0 - 45.0) >= LEANS:
        return []
    return [f"“{told[0].plain}” says bias, but the grainline is drawn straight: which is right?"]


def _about_cross(axis: Axis | None, found: Found) -> list[str]:
    """Ask about a piece that is cut on the cross grain by its words, with a line that she drew.

    That may be the grainline, or lie as the straight grain would; a line that she marked is known.
    """
    told = [block for block in found.blocks if block.reading.grain == "cross"]
    if axis is None or found.given_grain is not None or not told:
        return []
    seen = "its grainline" if axis.source == "grainline" else "its fold edge"
    return [f"“{told[0].plain}” says cross grain: does the grain run along {seen}, or across it?"]


def cut_text(demands: Sequence[Demand]) -> str:
    """Return demands as the attribute has them: `2`, or `2 main; 1 interfacing; 2 lining same`."""
    if len(demands) == 1 and demands[0].material == "main":
        return str(demands[0].cut) + (" main same" if demands[0].hand == "same" else "")
    return "; ".join(
        f"{demand.cut} {demand.material}" + (" same" if demand.hand == "same" else "")
        for demand in demands
    )
