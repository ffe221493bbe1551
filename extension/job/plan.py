# SPDX-License-Identifier: GPL-2.0-or-later
"""From what was read to what is laid out: pieces x sizes x garments of one material."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from extension.job.bordered import border_notes
from extension.job.matched import match_notes
from extension.job.materials import materials_in, not_cut_from
from extension.job.options import LayOutOptions
from extension.job.partners import lone_groups, lone_note, without_groups
from extension.job.portions import portioned
from extension.job.reading import ReadRequest
from extension.labels.demands import how_many
from extension.language.errors import DrawingError
from extension.language.vocabulary import is_inside, material
from extension.language.words import begun, listed, listed_pieces
from extension.pieces.cutlist import Demand
from extension.pieces.model import DrawnPiece, Reading
from extension.pieces.sizes import covers
from extension.svg.model import LeftOut
from nesting.cloth.hands import hands_of
from nesting.cloth.problem import allowed_turns
from nesting.model import Fabric, Job, Piece, Repeat


@dataclass(frozen=True, eq=False, slots=True)
class Cut:
    """A piece of the job, the drawn piece it comes from, and the demand it meets."""

    piece: Piece
    drawn: DrawnPiece
    demand: Demand

    @property
    def copies(self) -> int:
        """How many copies are cut from this cloth, over all garments."""
        return len(self.piece.numbers)

    @property
    def of(self) -> int:
        """How many are cut in all, those from other cloth included."""
        return self.piece.cut * self.piece.garments

    @property
    def title(self) -> str:
        """Name and size, as the label says them."""
        return titled(self.drawn)

    def label_of(self, copies: Sequence[int]) -> str:
        """Return how sentences name the part that cuts some copies: `Front (1 of 2)`."""
        if self.of == 1:
            return self.title
        return f"{self.title} ({' + '.join(map(str, copies))} of {self.of})"


@dataclass(frozen=True, eq=False, slots=True)
class Plan:
    """One layout to be made: the job, where each of its pieces comes from, what stays out."""

    job: Job
    cuts: Mapping[str, Cut]
    material: str
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]

    @property
    def parts(self) -> int:
        """How many parts are to be laid."""
        return sum(cut.copies for cut in self.cuts.values())


def titled(drawn: DrawnPiece) -> str:
    """Return what a piece is called on labels: its name, and its size if it has one."""
    return f"{drawn.name} {drawn.size}" if drawn.size else drawn.name


def request_of(options: LayOutOptions) -> ReadRequest:
    """Return what the reader must know of the options."""
    return ReadRequest(
        selected=options.select,
        sizes=tuple(size for size, _ in options.sizes) or None,
        no_grain=options.no_grain,
        default_allowance_mm=options.allowance or 0.0,
    )


def fabric_of(options: LayOutOptions) -> Fabric:
    """Return the cloth of the options."""
    return Fabric(
        options.usable_width,
        options.fabric_length,
        gap=options.gap,
        nap=options.nap,
        sections=options.sections,
        sides=options.sides,
        repeat=options.design,
        flaws=options.flaws,
        bands=options.bands,
        outline=options.remnant.outline if options.remnant else (),
        holes=options.remnant.holes if options.remnant else (),
    )


def make_plan(reading: Reading, options: LayOutOptions) -> Plan:
    """Return the job of a reading for one material.

    A piece of a chosen size is cut for that size's number of garments, a piece without a size for
    all of them. Pieces that this material does not need are left out and named. Raises
    DrawingError when nothing remains, OptionError for what was shared out with other copies.
    """
    wanted = material(options.material)
    cuts: dict[str, Cut] = {}
    others: list[LeftOut] = []
    for drawn in reading.pieces:
        demands = [demand for demand in drawn.demands if demand.material == wanted]
        for demand in demands:
            cut = _cut(drawn, demand, _garments(drawn, options), options.design)
            piece = portioned(cut.piece, options.portions)
            cuts[piece.id] = replace(cut, piece=piece)
        if not demands:
            others.append(LeftOut(drawn.id, "other material", drawn.name, drawn.label))
    if not cuts:
        raise _nothing_of(wanted, reading)
    lone = _lone(cuts, reading, options)
    notes = lone_note(_drawn_of(cuts).items(), lone)
    cuts = {id_: _freed(cut, lone) for id_, cut in cuts.items()}
    known = {left.object_id for left in reading.left_out}
    left_out = [_of_material(left, wanted, reading) for left in reading.left_out]
    return Plan(
        Job(fabric_of(options), tuple(cut.piece for cut in cuts.values())),
        cuts,
        wanted,
        (*left_out, *(left for left in others if left.object_id not in known)),
        (
            *_all_notes(reading, cuts),
            *_open_counts(reading, cuts, wanted),
            *notes,
            *match_notes(_drawn_of(cuts), options.design),
            *border_notes(_drawn_of(cuts), options.bands, is_told=not is_inside(wanted)),
        ),
    )


def consents(plan: Plan) -> tuple[str, ...]:
    """Return, one sentence each, what pieces may do that cloth does not allow unasked."""
    fabric = plan.job.fabric
    turns = {id_: allowed_turns(cut.piece, fabric) for id_, cut in plan.cuts.items()}
    kinds = (
        ("be turned across the grain", lambda turn: turn % 180.0 == 90.0),
        ("lie at a slant to the grain", lambda turn: turn % 90.0 != 0.0),
        ("lie against the nap", lambda turn: fabric.nap and turn == 180.0),
    )
    found = []
    for words, needs_consent in kinds:
        cuts = [cut for id_, cut in plan.cuts.items() if any(map(needs_consent, turns[id_]))]
        if cuts:
            found.append(f"By consent {_titles(cuts)} may {words}.")
    cuts = [cut for cut in plan.cuts.values() if _may_be_flipped(cut.piece)]
    if cuts:
        found.append(f"By consent {_titles(cuts)} may be cut with either side up.")
    cuts = [cut for cut in plan.cuts.values() if cut.piece.hidden]
    if cuts and fabric.flaws:
        found.append(f"By consent {_titles(cuts)} may lie over a flaw.")
    for degrees in sorted({cut.piece.off_grain for cut in plan.cuts.values()} - {0.0}):
        cuts = [cut for cut in plan.cuts.values() if cut.piece.off_grain == degrees]
        found.append(f"By consent {_titles(cuts)} may lie up to {degrees:g}° off the grain.")
    return tuple(found)


def _may_be_flipped(piece: Piece) -> bool:
    """Return whether copies of a piece may lie either way, which no half of a pair may."""
    return any(len(hands_of(piece, copy)) > 1 for copy in range(1, piece.cut + 1))


def uncertain_tops(plan: Plan) -> tuple[str, ...]:
    """Return the titles of pieces whose top is not certain; without nap it does not matter."""
    if not plan.job.fabric.nap:
        return ()
    return tuple(
        dict.fromkeys(cut.title for cut in plan.cuts.values() if not cut.drawn.top_certain)
    )


def _cut(drawn: DrawnPiece, demand: Demand, garments: int, design: Repeat | None) -> Cut:
    """Return the piece of the job that meets one demand.

    Copies of a symmetric piece have no hand: none need be flipped, so none may be.
    """
    said = drawn.details
    piece = Piece(
        id=drawn.id if len(drawn.demands) == 1 else f"{drawn.id}/{demand.material}",
        outline=drawn.cutting,
        name=titled(drawn),
        cut=demand.cut,
        garments=garments,
        hand="same" if drawn.symmetric else demand.hand,
        either_side=said.side_up == "either" and not drawn.symmetric,
        handed=drawn.handed,
        grain=drawn.grain,
        fold=drawn.fold,
        match=tuple(one.match for one in drawn.matched) if design is not None else (),
        **said.for_engine,
    )
    return Cut(piece, drawn, demand)


def _lone(cuts: Mapping[str, Cut], reading: Reading, options: LayOutOptions) -> frozenset[str]:
    """Return the groups of match points whose partners are not laid with them."""
    if options.design is None:
        return frozenset()
    laid = [(cut.drawn, cut.copies) for cut in cuts.values()]
    return lone_groups(laid, reading, is_selection=bool(options.select))


def _freed(cut: Cut, groups: Collection[str]) -> Cut:
    """Return what is cut without its match points of some groups."""
    drawn = without_groups(cut.drawn, groups)
    if drawn is cut.drawn:
        return cut
    piece = replace(cut.piece, match=tuple(point.match for point in drawn.matched))
    return replace(cut, piece=piece, drawn=drawn)


def _garments(drawn: DrawnPiece, options: LayOutOptions) -> int:
    """Return for how many garments a piece is cut."""
    if drawn.size is None or not options.sizes:
        return options.garments_in_all
    return sum(count for size, count in options.sizes if covers(drawn.size, size))


def _of_material(left: LeftOut, wanted: str, reading: Reading) -> LeftOut:
    """Return what is left out as it is told of one material: on the layout of its own alone."""
    elsewhere = wanted not in left.materials and set(left.materials) & {*materials_in([reading])}
    return replace(left, reason="other material") if elsewhere else left


def _all_notes(reading: Reading, cuts: Mapping[str, Cut]) -> tuple[str, ...]:
    """Return the notes on the drawing and on the pieces that are laid.

    What is said of several pieces alike is said in one sentence.
    """
    said_of: dict[str, list[DrawnPiece]] = {}
    whole: dict[str, str] = {}
    for drawn in {cut.drawn.id: cut.drawn for cut in cuts.values()}.values():
        for note in drawn.notes:
            rest = note.removeprefix(f"{drawn.label} ")
            said_of.setdefault(rest, []).append(drawn)
            whole[rest] = begun(note)
    together = (
        whole[rest]
        if len(pieces) == 1 or begun(rest) == whole[rest]
        else f"{begun(_listed(pieces))}: each {rest}"
        for rest, pieces in said_of.items()
    )
    return tuple(dict.fromkeys((*reading.notes, *together)))


def _open_counts(reading: Reading, cuts: Mapping[str, Cut], wanted: str) -> list[str]:
    """Return what is said of pieces that are not cut from a material, but perhaps should be."""
    laid = {cut.drawn.id for cut in cuts.values()}
    others = (drawn for drawn in reading.pieces if drawn.id not in laid)
    return [note for drawn in others for note in drawn.notes if how_many(wanted) in note]


def _listed(pieces: Sequence[DrawnPiece]) -> str:
    """Return pieces as a list: by their titles, or by what is seen of those without a name."""
    named = [titled(drawn) for drawn in pieces if drawn.is_named]
    return listed_pieces(named, [drawn.label for drawn in pieces if not drawn.is_named], 12)


def _drawn_of(cuts: Mapping[str, Cut]) -> dict[str, DrawnPiece]:
    """Return the drawn pieces that are cut, by their titles."""
    return {cut.title: cut.drawn for cut in cuts.values()}


def _titles(cuts: list[Cut]) -> str:
    """Return the titles of pieces as a list for a sentence."""
    return listed(list(dict.fromkeys(cut.title for cut in cuts)), most=12)


def _nothing_of(wanted: str, reading: Reading) -> DrawingError:
    """Return the fault that no piece is cut from the chosen material."""
    found = materials_in([reading])
    if not found:
        return DrawingError(
            "No piece to lay out was found: select closed outlines, or give pieces their "
            "cutting details."
        )
    return DrawingError(not_cut_from(wanted, found))
