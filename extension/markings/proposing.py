# SPDX-License-Identifier: GPL-2.0-or-later
"""From what is drawn on a sheet to a proposal for every piece, and to what only she can say."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from extension.language.words import folded
from extension.markings.asking import about_pieces
from extension.markings.associating import Sheet, sort_sheet
from extension.markings.blocks import Block, lines_of
from extension.markings.broken import about_homeless
from extension.markings.building import Builder, Found
from extension.markings.drawn_once import drawn_once
from extension.markings.fragments import fragments_of
from extension.markings.inner import inner_folds
from extension.markings.marking import settled, signs_of, without_fold
from extension.markings.matches import propose_matches
from extension.markings.merging import Words, is_about_fold_alone, words_of
from extension.markings.proposals import Proposals
from extension.markings.remembering import without_read
from extension.markings.seconds import second_lines
from extension.markings.sizewords import bare_sizes, listed_sizes
from extension.markings.sizing import Sizes, find_sizes
from extension.markings.things import Things
from extension.markings.told import notes_beside
from extension.markings.traces import crossed, drawn_letters, nested, sheet_questions
from extension.markings.views import about_views
from extension.pieces.attributes import Role, makes_piece, piece_details, says_leave_out
from extension.pieces.grain import Axis, direction
from extension.pieces.objects import Calling, carriers, piece_called, role_carrier, size_of
from extension.pieces.remnants import without_cloth, without_flaws
from extension.pieces.scope import too_far
from extension.pieces.squares import warned, without_squares
from extension.pieces.stand_ins import with_stand_ins
from extension.pieces.top import find_top
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.model import Group, Leaf


def propose(
    document: Document, *, overwrite: bool = False, match_notches: bool = False
) -> Proposals:
    """Return what a drawing says about its pieces; the drawing is not changed.

    What she set by hand holds against what is read, unless `overwrite`; with `match_notches` the
    match points that notches suggest are to be set. Raises DrawingError when
    the drawing, or an attribute on it, cannot be read.
    """
    present, _ = without_flaws(_present(without_cloth(with_stand_ins(read_leaves(document)))))
    present, _, squares = without_squares(present)
    leaves = without_read([leaf for leaf in present if not leaf.far])
    lines = lines_of(fragments_of(leaves, document.root, document.viewport))
    sizes = find_sizes(leaves, lines)
    sheet = sort_sheet(leaves, lines, sizes)
    said = {
        prepared
        for prepared, leaf in zip(sheet.leaves, leaves, strict=True)
        if role_carrier(leaf) is not None
    }
    things = Things(sheet)
    found = [_find(sheet, things, index, said, sizes) for index in sheet.candidates]
    chosen = [each for each in found if _has_evidence(each)]
    if not chosen:
        chosen = [each for each in found if each.shape.area >= 400.0]
    chosen = [each for each in chosen if _is_piece(sheet, each)]
    taken = {each.index for each in chosen}
    heads = _head_convention(chosen)
    ids = dict(zip(sheet.leaves, leaves, strict=True))
    letters = drawn_letters(sheet)
    asked = (nested(sheet), second_lines(sheet, sizes), drawn_once(chosen, sheet, sizes, ids))
    lettered = {index for owners in letters for index in owners}
    pieces = tuple(
        Builder(
            sheet,
            each,
            heads,
            sizes,
            ids[each.shape.leaf],
            overwrite,
            is_lettered=each.index in lettered,
            wants=[want for wants in asked for want in wants.get(each.index, ())],
        ).proposal()
        for each in chosen
    )
    questions = [
        *warned(squares),
        *sizes.questions,
        *sheet_questions(sheet, leaves, taken, letters),
        *(str(too_far(leaf)) for leaf in present if leaf.far),
        *about_homeless(_homeless(sheet, chosen)),
        *_about_allowance(sheet, chosen),
        *about_views(
            (piece.leaf for piece in pieces),
            (block.text for each in chosen for block in each.blocks),
        ),
    ]
    of_pieces = about_pieces(pieces)
    matches, of_notches = propose_matches(chosen, pieces, ids)
    return Proposals(
        pieces,
        {**_roles(chosen, ids), **_seams(ids)},
        tuple(dict.fromkeys(_unread(sheet, chosen))),
        tuple(dict.fromkeys([*questions, *of_pieces])),
        tuple(of_pieces),
        matches,
        of_notches,
        match_notches,
        tuple(block.area for block in sheet.unclosed),
        tuple(crossed(sheet, taken, letters)),
    )


def _with_bare_sizes(words: Words, drawn: Sequence[str]) -> Words:
    """Return words with the sizes that stand on a line without the word for it: `38-42`.

    They are such where the drawing has all of them; other numbers may mean anything.
    """
    known = {folded(size) for size in drawn}
    for text in words.unread if words.size is None else ():
        if listed_sizes(text) and known.issuperset(map(folded, bare_sizes(text))):
            others = tuple(one for one in words.unread if one != text)
            return replace(words, size=listed_sizes(text), unread=others)
    return words


def _present(leaves: Sequence[Leaf]) -> list[Leaf]:
    """Return what is visible and not marked to be left out."""
    return [
        leaf
        for leaf in leaves
        if not leaf.hidden
        and not any(
            says_leave_out(carrier.attributes, Calling(carrier), carrier.id)
            for carrier in carriers(leaf)
        )
    ]


def _find(sheet: Sheet, things: Things, index: int, said: Collection[Leaf], sizes: Sizes) -> Found:
    """Return what is on one outline; `said` are the leaves whose role she has given."""
    shape = sheet.shape(index)
    family = sheet.family[index]
    own, shared = things.on(index)
    near = things.beside(shape)
    given = _given(sheet, index)
    label = piece_called(shape.leaf, shape.leaf.id, given.get("name", ""))
    lines = [leaf for leaf in (*own, *shared) if leaf not in said and not _is_seam(leaf)]
    blocks = sheet.texts.get(family, ())
    inner = inner_folds(shape, lines, blocks)
    blocks = tuple(block for block in blocks if block not in inner)
    words = words_of(blocks)
    words = replace(words, unread=(*words.unread, *(block.plain for block in inner)))
    if list(sheet.family.values()).count(family) == 1 and size_of(shape.leaf) is None:
        words = _with_bare_sizes(words, [*sizes.of.values()])
    details = piece_details(given, label, shape.leaf.id)
    known = _with_role(own, "fold") is not None or details.fold is not None
    signs = signs_of(shape, lines, near, blocks, words.fold and not details.drawn_whole)
    signs = without_fold(signs) if details.drawn_whole else settled(signs) if known else signs
    return Found(
        index,
        shape,
        words,
        signs,
        blocks,
        details,
        given,
        _with_role(own, "grainline"),
        _with_role(own, "fold"),
        tuple(own),
    )


def _given(sheet: Sheet, index: int) -> dict[str, str]:
    """Return the attributes that stand on a piece already, its groups' and its outline's."""
    leaf = sheet.shape(index).leaf
    things = [g for g in sheet.structure.own_groups(index) if makes_piece(g.attributes)]
    merged: dict[str, str] = {}
    every: list[Leaf | Group] = [*things, leaf]
    for thing in every:
        merged.update(thing.attributes)
    return {name: text for name, text in merged.items() if name not in ("role", "read")}


def _is_seam(leaf: Leaf) -> bool:
    """Return whether a leaf is the stitching line of a piece."""
    return leaf.attributes.get("role") == "stitching"


def _with_role(leaves: Sequence[Leaf], role: str) -> Leaf | None:
    """Return the line that is marked as one of a role; words are no line."""
    for leaf in (one for one in leaves if one.rings):
        carrier = role_carrier(leaf)
        if carrier is not None and folded(carrier.attributes["role"]) == role:
            return leaf
    return None


def _has_evidence(found: Found) -> bool:
    """Return whether anything says that an outline is a piece."""
    counted = any(b.reading.demands and not is_about_fold_alone(b) for b in found.blocks)
    return bool(
        counted
        or found.words.name
        or found.signs.fold
        or found.signs.grain
        or found.given_grain
        or found.given_fold
        or makes_piece(found.given)
        or makes_piece(found.shape.leaf.attributes)
        or size_of(found.shape.leaf)
    )


def _is_piece(sheet: Sheet, found: Found) -> bool:
    """Return whether an outline is a piece: not one that lies unexplained in another."""
    return sheet.structure.standings[found.index].kind == "piece"


def _head_convention(found: Sequence[Found]) -> bool | None:
    """Return whether the heads of one-headed arrows mean the top; None when nothing tells.

    One choice per drawing: the labels that stand beside such arrows must agree.
    """
    votes: set[bool] = set()
    for each in found:
        arrow = each.signs.grain.arrow if each.signs.grain else None
        if arrow is None or all(arrow.heads):
            continue
        axis = Axis(direction(arrow.start, arrow.end), "grainline")
        labels = [leaf for leaf in each.own if leaf.text]
        told = find_top(axis, None, labels, "")
        if labels and not told.note and _told_by(labels, axis):
            at_end = abs((told.degrees - axis.degrees + 180.0) % 360.0 - 180.0) < 90.0
            votes.add(at_end == arrow.heads[1])
    return votes.pop() if len(votes) == 1 else None


def _told_by(labels: Sequence[Leaf], axis: Axis) -> bool:
    """Return whether a label tells which end of an axis is the top: it contradicts one of them."""
    return any(find_top(axis, end, labels, "").note for end in ("start", "end"))


def _roles(found: Sequence[Found], originals: Mapping[Leaf, Leaf]) -> dict[Leaf, Role]:
    """Return the roles of the drawn lines of all pieces, by the drawing's own leaves."""
    roles: dict[Leaf, Role] = {}
    for each in found:
        signs = each.signs
        closed = [leaf for leaf in signs.arrows if any(ring.closed for ring in leaf.rings)]
        for leaf in closed:
            roles.setdefault(leaf, "mark")
        for leaf in signs.notches:
            roles.setdefault(leaf, "notch")
    for each in found:
        signs = each.signs
        if signs.grain is not None and signs.grain.arrow.line is not None:
            roles[signs.grain.arrow.line] = "grainline"
        if signs.fold is not None:
            roles.update((leaf, "bracket") for leaf in signs.fold.leaves)
        if signs.fold is not None and signs.fold.line is not None:
            roles[signs.fold.line] = "fold"
    return {originals[leaf]: role for leaf, role in roles.items() if leaf in originals}


def _seams(originals: Mapping[Leaf, Leaf]) -> dict[Leaf, Role]:
    """Return the lines that were taken for stitching lines by their look."""
    return {
        leaf: "stitching"
        for prepared, leaf in originals.items()
        if _is_seam(prepared) and role_carrier(leaf) is None
    }


def _unread(sheet: Sheet, found: Sequence[Found]) -> list[str]:
    """Return the words that nothing was made of, on pieces and beside them."""
    words = [text for each in found for text in each.words.unread]
    families = {sheet.family[each.index] for each in found}
    others = [b for family, blocks in sheet.texts.items() if family not in families for b in blocks]
    loose = [*others, *sheet.loose, *(block for block, _, _ in sheet.between)]
    return [*words, *(block.plain for block in loose)]


def _homeless(sheet: Sheet, found: Sequence[Found]) -> list[Block]:
    """Return the labels with a count that belong to no outline, closed or not.

    A list of what to cut, beside the pieces, names those that are there.
    """
    names = {folded(each.words.name) for each in found if each.words.name}
    return [
        block
        for block in notes_beside(sheet.loose)
        if block.reading.counts
        and not is_about_fold_alone(block)
        and block not in sheet.unclosed
        and folded(block.reading.name or "") not in names
    ]


def _about_allowance(sheet: Sheet, found: Sequence[Found]) -> list[str]:
    """Ask about the allowance of all pieces where a note beside them says that none is drawn."""
    open_ones = [
        each for each in found if each.words.allowance is None and each.details.allowance is None
    ]
    lacking = [block for block in notes_beside(sheet.loose) if block.reading.lacks_allowance]
    if not open_ones or not lacking:
        return []
    return [
        f"The drawing says “{lacking[0].plain}”: choose how much seam allowance to add when you "
        "lay it out, or set it on the pieces, 0 mm where the outline is what is cut."
    ]
