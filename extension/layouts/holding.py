# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts of a layout that stay where they are while the rest is laid out round them.

Held are parts that say so (`lay:held`), and parts that are chosen for a run.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from lxml import etree

from extension.drawn.frames import transform_text
from extension.drawn.kept import Kept
from extension.job.plan import Plan
from extension.job.settings import WIDTH_NOISE
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.language.vocabulary import material
from extension.language.words import listed
from extension.layouts.copies import Assigned, tally
from extension.layouts.found import FoundPart, astray, found_on, leaves_on, part_group
from extension.layouts.frame import Frame, frame_of, is_identity
from extension.layouts.layers import LayoutLayer, layout_layers, layout_of, one_layer
from extension.layouts.recognise import LaidPart, Recogniser, placement
from extension.pieces.objects import called
from extension.svg.document import Document, matrix_of
from extension.svg.identities import Identities, described, label_of
from extension.svg.model import Leaf
from extension.svg.transforms import inverse, multiply
from nesting.model import OPEN, Fabric, Placement, Section


@dataclass(frozen=True, slots=True)
class HoldRequest:
    """What is to be held. `layer` is the id of the layout that is run again, "" for none.

    `ids` are of parts, of groups of them, or of layouts, all of whose parts are meant. With neither
    parts are meant that say that they are held; where a `material` is named, on its layouts alone.
    """

    layer: str = ""
    ids: tuple[str, ...] = ()
    material: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Held:
    """The parts that are held: where they lie for the engine, and what they are drawn with.

    `fabric` is the cloth, folded as deep as it is under them; None when nothing is held.
    """

    placements: tuple[Placement, ...] = ()
    fabric: Fabric | None = None
    kept: Mapping[tuple[str, tuple[int, ...]], Kept] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def held_sources(document: Document, leaves: Sequence[Leaf], request: HoldRequest) -> list[str]:
    """Return the ids of the originals of all parts that are to be held, each once."""
    chosen = _chosen(document, leaves, request)
    return list(dict.fromkeys(part.of for part in chosen[1])) if chosen else []


def request_for(
    document: Document,
    leaves: Sequence[Leaf],
    request: HoldRequest,
    name: str,
    laid: Sequence[str],
) -> HoldRequest:
    """Return what is held of the layout of one material, in a run over those that are `laid`.

    What is asked for of one layout holds for its material, and for a layout that is alone; of the
    others parts stay that say so themselves. Raises DrawingError when parts are asked for on a
    layout of a material that is not laid.
    """
    if not (request.layer or request.ids):
        return replace(request, material=name)
    layer = _layer(document, leaves, request, elements_of(document, request.ids))
    own = name if layer is None or len(laid) == 1 else material(layer.options.material)
    if layer is not None and request.ids and own not in laid:
        raise DrawingError(
            f"{layer.title} is of {own}, which is not laid out this time, so nothing on it can be "
            "held: name that material as well, or hold other parts.",
            layer.id,
        )
    return request if own == name else HoldRequest(material=name)


def held_parts(
    document: Document, leaves: Sequence[Leaf], plan: Plan, request: HoldRequest
) -> Held:
    """Return the parts that a run holds; `leaves` are everything drawn, `plan` what is to be laid.

    Raises DrawingError when a part cannot be held: its original was edited or is gone, it was
    resized, it is a clone, or there is one too many of it.
    """
    chosen = _chosen(document, leaves, request)
    if chosen is None:
        return Held()
    layer, held = chosen
    fabric = _fabric_under(layer, held, plan.job.fabric)
    plan = replace(plan, job=replace(plan.job, fabric=fabric))
    frame = frame_of(document, layer, leaves_on(leaves, layer))
    # What is measured from the lower selvedge for the engine is drawn from the upper one.
    frame = replace(frame, width=fabric.width, is_drawn=True)
    ids = {str(one.get("id")) for one in document.root.iter(etree.Element) if one.get("id")}
    recogniser = Recogniser(plan, frame, layer.result.get("outlines") or {}, ids)
    # All of them: whether an original was edited shows in parts that are not held as well.
    every = recogniser.recognised([*found_on(leaves_on(leaves, layer)).parts, *_strays(held)])
    names = {id(part.shape.leaf) for part in held}
    parts = [part for part in every if id(part.found.shape.leaf) in names]
    usable = [part for part in parts if part.trouble != "not asked for"]
    _refuse(usable)
    counted = tally(plan.cuts, usable)
    if counted.surplus:
        part = counted.surplus[0]
        raise DrawingError(
            f"{_name(part)} is held, but more of it lie there than are cut: hold one less.",
            part.found.id,
        )
    kept = {}
    placements = []
    for one in counted.assigned:
        assert one.pose is not None
        spot = placement(one.part, one.pose, one.copies)
        placements.append(spot)
        own = _kept(document, layer, frame, one.part.found)
        kept[spot.piece, spot.copies] = replace(own, start=one.part.spot.start)
    return Held(tuple(placements), fabric, kept, _notes(layer, counted.assigned, parts))


def _strays(parts: Sequence[FoundPart]) -> list[FoundPart]:
    """Return those of the parts that do not lie on their layout."""
    return [part for part in parts if part.astray]


# --- which parts --------------------------------------------------------------------------------


def _chosen(
    document: Document, leaves: Sequence[Leaf], request: HoldRequest
) -> tuple[LayoutLayer, list[FoundPart]] | None:
    """Return the one layout whose parts are held, and these parts; None when nothing is held."""
    wanted = elements_of(document, request.ids)
    layer = _layer(document, leaves, request, wanted)
    if layer is None:
        return None
    found = found_on(leaves_on(leaves, layer))
    parts = [*found.parts, *(astray(leaves) if request.ids else [])]
    held = [part for part in parts if part.held or is_within(part, wanted)]
    for id_, element in wanted.items():
        if not any(is_within(part, {id_: element}) for part in parts):
            seen = next((called(one) for one in leaves if one.id == id_), None)
            what = seen or described(id_, label_of(element), "what is chosen")
            raise DrawingError(f"{what} is no part of a layout, so it cannot be held.", id_)
    return (layer, held) if held else None


def _says_held(thing: etree._Element) -> bool:
    """Return whether something says that it is a held part; on a piece the word says nothing."""
    is_part = thing.get(lay("of")) is not None or layout_of(thing) is not None
    return bool(thing.get(lay("held"))) and is_part


def _layer(
    document: Document,
    leaves: Sequence[Leaf],
    request: HoldRequest,
    wanted: Mapping[str, etree._Element],
) -> LayoutLayer | None:
    """Return the layout that is run again, or that the chosen parts lie on.

    With neither it is the only one that has parts which say that they are held.
    """
    if request.layer:
        return one_layer(document, request.layer)
    layers = {
        id(one): one for element in wanted.values() if (one := layout_of(element)) is not None
    }
    if len(layers) > 1:
        raise DrawingError("The parts to be held lie on several layouts: hold those of one.")
    if layers:
        (element,) = layers.values()
        return one_layer(document, Identities(document.root).id_of(element))
    if wanted:
        return one_layer(document, "")
    if not any(_says_held(one) for one in document.root.iter(etree.Element)):
        return None
    holding = [
        layer
        for layer in layout_layers(document)
        if request.material in ("", material(layer.options.material))
        and any(part.held for part in found_on(leaves_on(leaves, layer)).parts)
    ]
    if len(holding) > 1:
        titles = listed([layer.title for layer in holding])
        raise DrawingError(
            f"Parts are held on several layouts, {titles}: say which of them is to be laid out "
            "again, or release the others (Hold or Release Parts)."
        )
    return holding[0] if holding else None


def elements_of(document: Document, ids: Sequence[str]) -> dict[str, etree._Element]:
    """Return the elements of ids. Raises DrawingError when there is none of an id."""
    identities = Identities(document.root)
    found = {}
    for id_ in ids:
        element = identities.find(id_)
        if element is None:
            raise DrawingError(f"Nothing in the drawing is called “{id_}”: choose a part.", id_)
        found[id_] = element
    return found


def is_within(part: FoundPart, wanted: Mapping[str, etree._Element]) -> bool:
    """Return whether a part is, lies in, or holds one of these elements."""
    outline = part.shape.leaf.element
    lines: list[etree._Element] = [outline, *outline.iterancestors()]
    if part.is_clone:
        return not wanted.keys().isdisjoint(_names_round_clone(part, lines))
    if any(element is one for element in wanted.values() for one in lines):
        return True
    group = part_group(part)
    return group is not None and any(
        one is group for element in wanted.values() for one in element.iterancestors()
    )


def _names_round_clone(part: FoundPart, original: Sequence[etree._Element]) -> Iterator[str]:
    """Yield the ids of a clone and of what it lies in, but not those of the part that it shows."""
    own = {one.get("id") for one in original}
    leaf = part.shape.leaf
    is_round = True
    for id_ in (*(group.id for group in leaf.groups), leaf.id):
        is_round = is_round and id_ in own
        if is_round or id_ not in own:
            yield id_


def _fabric_under(layer: LayoutLayer, held: Sequence[FoundPart], fabric: Fabric) -> Fabric:
    """Return the cloth of a run with the depths that it is folded to under held parts.

    Raises DrawingError when it is to lie in another way than under them.
    """
    laid = layer.sections or (OPEN,)
    same = len(laid) == len(fabric.sections) and all(map(_may_be_laid, fabric.sections, laid))
    if layer.sections and abs(fabric.width - layer.options.usable_width) > WIDTH_NOISE:
        same = False
    if not same:
        raise DrawingError(
            f"{held[0].called} is held on cloth that lies in another way or has another width: lay "
            "it out "
            "again on cloth that lies as it did, or release it (Hold or Release Parts).",
            held[0].id,
        )
    sections = tuple(Section(one.lower, one.upper, one.crosswise, one.turned) for one in laid)
    return replace(fabric, sections=sections)


def _may_be_laid(asked: Section, laid: Section) -> bool:
    """Return whether a section lies as it is asked for; a depth that is searched may be any."""
    return (asked.crosswise, asked.turned) == (laid.crosswise, laid.turned) and all(
        wanted is None or (depth is not None and abs(wanted - depth) <= WIDTH_NOISE)
        for wanted, depth in zip(asked.depths, laid.depths, strict=True)
    )


# --- whether they can be held -------------------------------------------------------------------


def _refuse(parts: Collection[LaidPart]) -> None:
    """Raise for the first part that cannot be held as it is."""
    for part in parts:
        why = {
            "edited": "its original was edited after the layout: release it, and lay it out again",
            "resized": "it has been resized: undo that, or release it",
            "lost": "it has lost its outline: undo that, or release it",
            "changed": "another outline stands in its place: undo that, or release it",
            "several": "its outline holds several parts: break it apart (Path > Break Apart)",
            "original": "its original is no longer in the drawing: delete the part, or restore it",
        }.get(part.trouble)
        if part.found.is_clone:
            why = "it is a clone: unlink it first (Edit > Clone > Unlink Clone)"
        if why:
            raise DrawingError(f"{_name(part)} cannot be held, because {why}.", part.found.id)


def _name(part: LaidPart) -> str:
    """Return how messages call a part."""
    return f"“{part.cut.title}” ({part.found.id})" if part.cut else part.found.called


def _notes(
    layer: LayoutLayer, held: Sequence[Assigned], parts: Sequence[LaidPart]
) -> tuple[str, ...]:
    """Return which parts are held, and which say so but are not laid out this time."""
    names = [one.label for one in held]
    notes = [f"Held where they lay on {layer.title}: {listed(names, most=12)}."] if names else []
    others = [part.found.called for part in parts if part.trouble == "not asked for"]
    if others:
        notes.append(f"Held, but not cut in this layout: {listed(others)}.")
    return tuple(notes)


# --- what they are drawn with -------------------------------------------------------------------


def _kept(document: Document, layer: LayoutLayer, frame: Frame, part: FoundPart) -> Kept:
    """Return the elements of a part, with the transforms between them and the sheet."""
    outline = part.shape.leaf.element
    group = part_group(part)
    marks: tuple[etree._Element, ...] = ()
    if group is not None and outline.getparent() is group:
        marks = tuple(
            child
            for child in group.iterchildren(etree.Element)
            if child is not outline and child.get(lay("role")) != "label"
        )
    lines = list(outline.iterancestors())
    if layer.element in lines:
        inside = lines[: lines.index(layer.element)]
        base = matrix_of(document, layer.element)
    else:
        inside, base = lines[:-1], document.page
    from_layer = multiply(inverse(frame.from_sheet), base)
    texts = [one.get("transform", "").strip() for one in reversed(inside)]
    if not is_identity(from_layer):
        texts.insert(0, transform_text(from_layer))
    return Kept(outline, marks, tuple(text for text in texts if text))
